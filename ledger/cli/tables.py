"""Plain text tables that fit a terminal: numbers to the right, long texts wrapped."""

import os
import shutil
import sys
import textwrap
from collections import defaultdict
from collections.abc import Collection, Sequence
from contextvars import ContextVar
from datetime import datetime
from decimal import Decimal

from ledger.cli.colour import joined, marked, spans_of, with_spans
from ledger.cli.wrapping import laid_out, wrapped
from ledger.domain.counting import grouped

# Whether every column was asked for, as wide as it is.
WIDE = ContextVar("WIDE", default=False)
GAP = "  "
# Texts are wrapped at blanks, words above one length anywhere, to no less than another width; what
# then does not fit is left out from the right.
LONGEST_WORD, LEAST_TEXT = 32, 24
LEAST_WIDTH = 40


def table_width() -> int | None:
    """Return the width of tables and sentences: COLUMNS, else the terminal's; None in a pipe."""
    if WIDE.get():
        return None
    if not os.environ.get("COLUMNS", "").isdigit() and not sys.stdout.isatty():
        return None
    return max(shutil.get_terminal_size().columns, LEAST_WIDTH)


def as_table(
    head: Sequence[str],
    rows: Sequence[Sequence[object]],
    exceptions: Collection[tuple[int, int]] = (),
) -> str:
    """Return a plain text table that fits the terminal, if there is one.

    Long texts and heads go over several lines; columns that then do not fit are left out from the
    right and named below the table. `exceptions` are the cells to be marked, by row and column.
    """
    titles, width = [title_of(name) for name in head], table_width()
    texts = [[_cell_text(cell) for cell in row] for row in rows]
    right = [any(isinstance(row[i], int | Decimal) for row in rows) for i in range(len(head))]
    widths = _widths(titles, texts, right, width)
    aligned = list(zip(widths, right, strict=False))
    marks: dict[int, set[int]] = defaultdict(set)
    for row_number, column in exceptions:
        marks[row_number].add(column)
    lines = [
        _lines_of(row[: len(widths)], aligned, marks.get(number, ()))
        for number, row in enumerate((titles, *texts), start=-1)
    ]
    left_out = titles[len(widths) :]
    more = f"not shown: {', '.join(left_out)}; `fairhours --wide` shows all"
    below = [wrapped(more, width)] if left_out else []
    return laid_out(joined("\n", [*(line for group in lines for line in group), *below]))


def title_of(name: str) -> str:
    """Return the head of a column for people: words without underscores."""
    return name.replace("_", " ")


def _widths(
    titles: list[str], texts: list[list[str]], right: list[bool], width: int | None
) -> list[int]:
    """Return the width of each column that fits, from the left."""
    bodies = [max((len(row[i]) for row in texts), default=0) for i in range(len(titles))]
    full = [max(len(title), body) for title, body in zip(titles, bodies, strict=True)]
    if width is None or _total(full) <= width:
        return full
    words = [
        max(map(_longest_word, (row[i] for row in texts)), default=0) for i in range(len(titles))
    ]
    least = [
        max(
            _longest_word(title),
            # What a row is called goes over several lines before a column is left out.
            body if numbers else max(min(word, LONGEST_WORD), min(body, LEAST_TEXT) if at else 0),
        )
        for at, (title, body, word, numbers) in enumerate(
            zip(titles, bodies, words, right, strict=True)
        )
    ]
    count = len(titles)
    while count > 1 and _total(least[:count]) > width:
        count -= 1
    fitted = full[:count]
    while _total(fitted) > width:
        spare = [wide - low for wide, low in zip(fitted, least, strict=False)]
        if not any(each > 0 for each in spare):
            break
        widest = max(range(count), key=lambda i: fitted[i] if spare[i] > 0 else -1)
        fitted[widest] -= 1
    return fitted


def _total(widths: Sequence[int]) -> int:
    return sum(widths) + len(GAP) * (len(widths) - 1)


def _longest_word(text: str) -> int:
    return max(map(len, text.split()), default=0)


def _lines_of(
    cells: Sequence[str], columns: Sequence[tuple[int, bool]], marks: Collection[int]
) -> list[str]:
    """Return a row's lines: as many as its longest cell needs; cells of the columns are marked."""
    wrapped = [
        textwrap.wrap(cell, width, break_on_hyphens=False) or [""] if len(cell) > width else [cell]
        for cell, (width, _) in zip(cells, columns, strict=True)
    ]
    lines = []
    for number in range(max(map(len, wrapped), default=1)):
        row = [cell[number] if number < len(cell) else "" for cell in wrapped]
        padded = [
            text.rjust(width) if to_right else text.ljust(width)
            for text, (width, to_right) in zip(row, columns, strict=True)
        ]
        for column in marks:
            if column < len(padded):
                padded[column] = marked(padded[column], row[column])
        line = joined(GAP, padded) if marks else GAP.join(padded)
        lines.append(with_spans(line.rstrip(), spans_of(line)))
    return lines


def _cell_text(cell: object) -> str:
    if cell is None:
        return "-"
    if isinstance(cell, Decimal):
        return grouped(cell)
    if isinstance(cell, datetime):
        return cell.isoformat(sep=" ", timespec="seconds")
    return str(cell)
