"""A layout proposed for a small file: which table it holds, and how it is written."""

import inspect
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.domain.allocation import hours_of, to_places
from ledger.domain.parsing import RATE_SCALE, parse_rate
from ledger.errors import Refused, messages
from ledger.inputs.column_words import ACROSS, OF_TITLES
from ledger.inputs.columns import FIELDS_BY_TABLE, LAID_OUT
from ledger.inputs.guessed_heads import Candidate, candidates, labels_above
from ledger.inputs.guessed_rows import find_titles, rows_left_out
from ledger.store.book import Book
from ledger.tables.file_tables import beside
from ledger.tables.guessed_texts import MARKS, find_marks
from ledger.tables.guessing import DATE, Guess, Rows, Unsure, beginning, date_order
from ledger.tables.heads import head_of_rows
from ledger.tables.laid_out import read_laid_out
from ledger.tables.layout_files import parse_layout
from ledger.tables.small_tables import FileColumn
from ledger.tables.whole_files import read_text
from ledger.tables.written_values import month_of

ROWS_SHOWN = 10
COLUMNS_SHOWN = 6
FAULTS_SHOWN = 5
# Whatever measures a package is measured by, where a file does not say it.
USUAL = {"technique": "percent_complete"}


@dataclass(frozen=True)
class TableRead:
    """The first rows of a file as a layout reads them, their lines before them, and its faults."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    faults: tuple[str, ...]
    refused: Refused | None = None


def likeliest(samples: Sequence[tuple[str, Rows]], tables: Sequence[str]) -> list[Candidate]:
    """Return what a file may hold, the likeliest first; none where no row looks like a head."""
    return sorted(candidates(samples, tables), key=lambda each: each.fit, reverse=True)


def propose(guess: Guess, candidate: Candidate, samples: Sequence[tuple[str, Rows]]) -> None:
    """Fill in the keys of a layout for a file whose head was found."""
    guess.keys = {"table": candidate.table, **guess.keys}
    if candidate.rows == 2:
        guess.keys["head_rows"] = 2
    guess.sections["columns"] = {
        name: candidate.written[at] for name, at in candidate.fields.items()
    }
    _tabs(guess, candidate, samples)
    _block(guess, candidate)
    _across(guess, candidate)
    rows_left_out(guess, candidate)
    find_titles(guess, candidate, _unsourced(guess, candidate))
    _fill_down(guess, candidate)
    _values(guess, candidate)
    _evidence(guess, candidate)
    _lacking(guess, candidate)


def _unsourced(guess: Guess, candidate: Candidate) -> list[str]:
    """Return the needed columns that nothing gives so far."""
    sections = ("block", "constants", "titles")
    sourced = {name for section in sections for name in guess.sections.get(section, {})}
    sourced |= _of_tab(guess)
    return [each.name for each in candidate.missing() if each.name not in sourced]


def _of_tab(guess: Guess) -> set[str]:
    tab = guess.keys.get("tab", [])
    return set(map(str, tab)) if isinstance(tab, list) else {str(tab)}


def _tabs(guess: Guess, candidate: Candidate, samples: Sequence[tuple[str, Rows]]) -> None:
    """Take a column from the names of tabs that have the same head, where nothing else gives it."""
    tabs = {name: below for name, rows in samples if (below := _below(candidate, rows)) is not None}
    candidate.beside = [
        row for name, below in tabs.items() if name != candidate.tab for row in below
    ]
    alike = list(tabs)
    lacking = _unsourced(guess, candidate)
    dates = [each.name for each in candidate.missing() if each.read_as == "date"]
    months = [name for name in alike if month_of(name, 2000)]
    if dates and len(months) == len(alike):
        guess.keys["tab"] = dates
        if any(month_of(name, None) is None for name in alike):
            guess.unsure.append(Unsure("year", tab=alike[0]))
    elif len(alike) > 1 and (field := next((x for x in OF_TITLES if x in lacking), None)):
        guess.keys["tab"] = [field]
        guess.unsure.append(Unsure("tab", field=field, tab=alike[0]))


def _below(candidate: Candidate, rows: Rows) -> Rows | None:
    """Return the rows of a tab below the same head, None without it."""
    for end in range(candidate.rows, len(rows) + 1):
        if head_of_rows(rows[end - candidate.rows : end]) == candidate.head:
            return rows[end:]
    return None


def _block(guess: Guess, candidate: Candidate) -> None:
    """Find columns that stand above the head, right of their label."""
    lacking = {*_unsourced(guess, candidate), *OF_TITLES} - _of_tab(guess)
    guess.sections["block"] = {
        name: label
        for name, label in labels_above(candidate).items()
        if name in lacking and beside(label.lower(), candidate.above)
    }


def _across(guess: Guess, candidate: Candidate) -> None:
    if not candidate.across:
        return
    field_name, value = ACROSS[candidate.table]
    guess.sections["across"] = {"field": field_name, "cells": value}
    if field_name == "date":
        guess.keys["date_heads"] = True
        return
    guess.sections["heads"] = {candidate.written[at]: text for at, text in candidate.across.items()}
    guess.unsure.append(Unsure("across", field=field_name, heads=list(candidate.across.values())))


def _fill_down(guess: Guess, candidate: Candidate) -> None:
    """Find columns that are written once for several rows."""
    lines = candidate.lines
    down = []
    for column in candidate.columns:
        at = candidate.fields.get(column.name)
        if not column.needed or at is None or column.read_as in ("hours", "number"):
            continue
        texts = [row[at].strip() if at < len(row) else "" for row in lines]
        if texts and texts[0] and 4 * texts.count("") >= len(texts):
            down.append(candidate.written[at])
    if down:
        guess.keys["fill_down"] = down
        guess.unsure.append(Unsure("fill_down", heads=down))


def _values(guess: Guess, candidate: Candidate) -> None:
    """Find the order of dates, the marks in numbers, and the marks that stand for nothing."""
    dates: list[str] = []
    numbers: list[str] = []
    marks: set[str] = set()
    kinds = {each.name: each.read_as for each in candidate.columns}
    places = {at: kinds[name] for name, at in candidate.fields.items()}
    places |= dict.fromkeys(candidate.across, "hours")
    for at, kind in places.items():
        texts = [text for text in candidate.texts(at) if text]
        marks |= {text for text in texts if text in MARKS}
        dates += texts if kind == "date" else []
        numbers += texts if kind in ("number", "hours") else []
    block = guess.sections["block"]
    of_days = [str(label).lower() for name, label in block.items() if kinds[name] == "date"]
    dates += [beside(label, candidate.above) or "" for label in of_days]
    dates += list(candidate.across.values()) if "date_heads" in guess.keys else []
    date_order(guess, [text for text in dates if DATE.fullmatch(text)])
    find_marks(guess, numbers, is_tab=guess.is_workbook)
    if marks:
        guess.keys["blanks"] = sorted(marks)
        guess.unsure.append(Unsure("blank_marks", marks=sorted(marks)))


def _evidence(guess: Guess, candidate: Candidate) -> None:
    used = {*candidate.fields.values(), *candidate.across}
    named = {*guess.sections["left_out"], *map(str, guess.sections.get("total", {}).values())}
    named |= {*map(str, guess.sections.get("titles", {}).values())}
    others = [cell for at, cell in enumerate(candidate.written) if at not in used]
    rest = [cell for cell in others if cell and cell not in named]
    if rest:
        guess.keys["evidence"] = rest
        guess.unsure.append(Unsure("columns_unknown", columns=rest))


def _lacking(guess: Guess, candidate: Candidate) -> None:
    """Name what nothing gives: with what is usual, else for the user to put in."""
    for name in _unsourced(guess, candidate):
        if name in USUAL:
            guess.sections.setdefault("constants", {})[name] = USUAL[name]
            guess.unsure.append(Unsure("constant", field=name, text=USUAL[name]))
        else:
            heads = [cell for cell in candidate.written if cell]
            guess.unsure.append(Unsure("column_missing", field=name, heads=heads))


def read_beginning(book: Book, path: Path, guess: Guess) -> TableRead:
    """Return the first rows of a file as the proposed layout reads them."""
    table = str(guess.keys["table"])
    layout = parse_layout(path.stem, guess.toml.encode(), FIELDS_BY_TABLE)
    columns = LAID_OUT[table]
    needed = [each for each in columns if each.needed][:COLUMNS_SHOWN]
    head = ("line", *(each.name for each in needed))
    file = beginning(read_text(path, layout.encoding), layout.delimiter)
    try:
        read = read_laid_out(book, file, layout, columns)
    except Refused as error:
        return TableRead(head, (), (), error)
    rows = tuple(
        (str(int(line.number)), *(_shown(each, line[each.target]) for each in needed))
        for line in read.lines[:ROWS_SHOWN]
    )
    return TableRead(head, rows, tuple(messages(read.faults)[:FAULTS_SHOWN]))


def _shown(column: FileColumn, value: object) -> str:
    if isinstance(value, int) and column.read_as == "hours":
        return str(hours_of(value))
    if isinstance(value, int) and inspect.unwrap(column.parse) is parse_rate:
        return str(to_places(value, 4, RATE_SCALE))
    return "" if value is None else str(value)
