"""Broken spreadsheets: a layout is guessed and the file read, or one message says why not."""

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from ledger.commands.layouts import TableProposal, guess_layout
from ledger.errors import FairhoursError
from ledger.inputs.columns import FIELDS_BY_TABLE, LAID_OUT
from ledger.sheets.staging import scratch_book
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.layout_files import parse_layout
from tests.inputs._spreadsheets import SPREADSHEETS

pytestmark = pytest.mark.slow
JUNK = (
    "NaN", "1e309", "inf", "=1/0", "#DIV/0!", "9" * 40, "-", "x", "03/04/2026", "31.2.26", "99:99",
    "1.234.567,89", "1,234", "Total", "Subtotal hull", "note", "h", "%", "\u00a0", "\u22125", "'7",
    "", "2026-13", "March", "Name", "Hours", 7, 1e300, 0.1, True, None,
)  # fmt: skip


@pytest.fixture(scope="module")
def scratch() -> Iterator[Book]:
    with scratch_book() as book:
        yield book


def rows_of(path: Path) -> dict[str, list[list[Any]]]:
    """Return the cells of a workbook, or of a text with semicolons."""
    if path.suffix == ".xlsx":
        tabs = openpyxl.load_workbook(path)
        return {tab.title: [list(row) for row in tab.iter_rows(values_only=True)] for tab in tabs}
    data = path.read_bytes()
    text = data.decode("utf-16" if data[:2] == b"\xff\xfe" else "windows-1252")
    return {path.stem: [line.split(";") for line in text.splitlines()]}


def broken(chance: random.Random, rows: list[list[Any]]) -> None:
    """Change a cell, or drop, double or move a row."""
    at = chance.randrange(len(rows))
    kind = chance.randrange(5)
    if kind < 3 and rows[at]:
        rows[at][chance.randrange(len(rows[at]))] = chance.choice(JUNK)
    elif kind == 3:
        rows.insert(chance.randrange(len(rows)), list(rows[at]))
    elif len(rows) > 1:
        rows.insert(chance.randrange(len(rows)), rows.pop(at))


def written(path: Path, tabs: dict[str, list[list[Any]]]) -> Path:
    if path.suffix != ".xlsx":
        lines = (";".join("" if x is None else str(x) for x in row) for row in tabs[path.stem])
        path.write_text("\n".join(lines), encoding="utf-8")
        return path
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in tabs.items():
        sheet = made.create_sheet(name)
        for row in rows:
            sheet.append(row)
    made.save(path)
    return path


@pytest.mark.parametrize("make", SPREADSHEETS, ids=lambda each: each.__name__)
def test_a_broken_spreadsheet_is_read_or_refused(make: Any, scratch: Book, tmp_path: Path) -> None:
    """Of four broken copies each is guessed and read, its faults named, or refused in words."""
    path = make(tmp_path).path
    whole = rows_of(path)
    outcomes = []
    for seed in range(4):
        chance = random.Random(f"{make.__name__} {seed}")
        tabs = {name: [list(row) for row in rows] for name, rows in whole.items()}
        for _ in range(chance.randint(1, 6)):
            broken(chance, chance.choice(list(tabs.values())))
        outcomes.append(outcome(scratch, written(path, tabs)))

    assert set(outcomes) <= {"read", "faults", "refused", "sheets"}
    assert set(outcomes) != {"refused"}


def outcome(book: Book, path: Path) -> str:
    """Return what comes of a file; whatever is no refusal in words goes on to the test."""
    try:
        guessed = guess_layout(path)
        if not isinstance(guessed, TableProposal):
            return "sheets"
        layout = parse_layout("ours", guessed.toml.encode(), FIELDS_BY_TABLE)
        table = read_input(book, InputFile(path, layout), LAID_OUT[guessed.table])
    except FairhoursError:
        return "refused"
    numbers = {line.number for line in table.lines}
    out = {row for each in table.rows_left_out for row in each.rows}
    assert layout.table == guessed.table
    assert numbers | out
    return "faults" if table.faults else "read"
