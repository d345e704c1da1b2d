"""How results reach a terminal, a pipe or a machine."""

import sys
from collections.abc import Collection, Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import typer

from ledger.cli import progress
from ledger.cli.colour import coloured_for
from ledger.cli.tables import as_table, table_width, title_of
from ledger.cli.wrapping import laid_out, wrapped
from ledger.domain.allocation import hours_of
from ledger.domain.spreadsheets import MARK, begins_formula

QUOTE = '"'
FORMATS = ("table", "json", "csv")


def to_json(value: Any) -> str:
    """Return JSON with decimals written as they are, never through a binary float."""
    return laid_out(_json(value, 0))


def _json(value: Any, indent: int) -> str:
    pad, inner = "  " * indent, "  " * (indent + 1)
    if isinstance(value, dict):
        rows = [f"{inner}{_text(str(k))}: {_json(v, indent + 1)}" for k, v in value.items()]
        return "{\n" + ",\n".join(rows) + f"\n{pad}}}" if rows else "{}"
    if isinstance(value, list | tuple):
        rows = [inner + _json(each, indent + 1) for each in value]
        return "[\n" + ",\n".join(rows) + f"\n{pad}]" if rows else "[]"
    if isinstance(value, bool) or value is None:
        return {True: "true", False: "false", None: "null"}[value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, int):
        return str(value)
    return _text(value.isoformat() if isinstance(value, date | datetime) else str(value))


def _text(value: str) -> str:
    import json

    return json.dumps(value, ensure_ascii=False)


def as_csv(head: Sequence[str], rows: Sequence[Sequence[object]]) -> str:
    """Return CSV with a head, lines ended by a line feed; no cell of it begins a formula."""
    lines = [",".join(map(_of_csv, row)) for row in (head, *rows)]
    return laid_out("".join(f"{line or QUOTE * 2}\n" for line in lines))


def _of_csv(cell: object) -> str:
    """Return a cell as a spreadsheet may open it: a number as it is, a text as no formula."""
    text = "" if cell is None else str(cell)
    if isinstance(cell, str) and begins_formula(cell):
        text = f"{MARK}{text}"
    if any(each in text for each in ',"\r\n'):
        return f"{QUOTE}{text.replace(QUOTE, QUOTE * 2)}{QUOTE}"
    return text


def hours_in_format(ms: int | None, format: str) -> Decimal | None:
    """Return a duration in hours: two places in a table, four for machines; None stays None."""
    return None if ms is None else hours_of(ms, 2 if format == "table" else 4)


def give_rows(
    format: str,
    head: Sequence[str],
    rows: Sequence[dict[str, Any]],
    words: Collection[str] = (),
) -> None:
    """Give rows in the columns of a head, in the format asked for.

    Columns of `words` hold words of the program: people read them without underscores.
    """
    if format == "table":
        rows = [{n: title_of(v) if n in words and v else v for n, v in r.items()} for r in rows]
    cells = [[row[name] for name in head] for row in rows]
    if format == "json":
        give(to_json([dict(zip(head, row, strict=True)) for row in cells]))
    else:
        give((as_csv if format == "csv" else as_table)(head, cells))


def say(text: str) -> None:
    """Talk to the user, aside from the output, in lines that fit the terminal."""
    progress.end()
    typer.echo(coloured_for(sys.stderr, wrapped(text, table_width())), err=True)


def say_all(lines: Iterable[str]) -> None:
    """Talk to the user, a line each."""
    for line in lines:
        say(line)


def give(text: str) -> None:
    """Write a result to the standard output: sentences in lines that fit the terminal."""
    progress.end()
    typer.echo(coloured_for(sys.stdout, wrapped(text, table_width())).rstrip("\n"))
