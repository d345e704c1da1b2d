"""Entries written in any layout and dialect, split and ordered in any way, are the same entries."""

import tempfile
from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, example, given, settings
from hypothesis import strategies as st

from ledger.sheets.reading import read_lines
from ledger.sheets.sheet_files import ReadBy, sheet_file
from ledger.sheets.staging import scratch_book
from ledger.store.book import Book
from ledger.tables.layout_files import parse_layout
from tests._stage import JOB, copied, table
from tests.conftest import Yard, slow_beyond
from tests.tables._dialects import (
    DIALECTS,
    ENTRIES,
    MINUTE,
    Dialect,
    Entry,
    layout_of,
    write_sheet,
)

# A book is slow to make: the first example that fails is shown as it is.
UNSHRUNK = (Phase.explicit, Phase.generate)
SLOW_BOOK = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


@pytest.fixture(scope="module")
def scratch() -> Iterator[Book]:
    """An empty book in memory, to parse files in."""
    with scratch_book() as book:
        yield book


def read_back(
    book: Book, folder: Path, entries: list[Entry], dialect: Dialect
) -> tuple[Counter[Entry], int]:
    """Return the entries as they are parsed from a written sheet, and how many lines there were."""
    layout = parse_layout("any", layout_of(dialect).encode())
    path = write_sheet(folder, entries, dialect)
    lines = read_lines(book, sheet_file(book, path, path.name, ReadBy(layout))).lines
    rows = book.execute(
        "SELECT worker_id, day, ms, booking_code, coalesce(note, '') FROM staged_parsed"
    ).fetchall()
    found = Counter(Entry(worker, day, ms // MINUTE, *rest) for worker, day, ms, *rest in rows)
    return found, lines


@pytest.mark.parametrize("examples", slow_beyond(1, [20, 300]))
def test_entries_are_read_back_from_any_layout(scratch: Book, examples: int) -> None:
    """What was written in a layout and dialect is parsed to what it was, a line each."""

    @settings(deadline=None, max_examples=examples)
    @given(entries=ENTRIES, dialect=DIALECTS)
    @example(
        entries=[Entry("A1", date(2026, 3, 4), 450, "DECK", 'say "x"')],
        dialect=Dialect("grid", ";", ",", "dmy", "any", "windows-1252", end="cr", titles=2),
    )
    def read_as_written(entries: list[Entry], dialect: Dialect) -> None:
        with tempfile.TemporaryDirectory() as folder:
            found, lines = read_back(scratch, Path(folder), entries, dialect)

        assert found == Counter(entries)
        assert lines == len(entries)

    read_as_written()


def load(book: Yard, folder: Path, entries: list[Entry], dialect: Dialect) -> Counter[str]:
    """Load entries into a book in a dialect; return the counts of the file."""
    folder.mkdir(exist_ok=True)
    layout = folder / "ours.toml"
    layout.write_text(layout_of(dialect), encoding="utf-8")
    path = write_sheet(folder, entries, dialect)
    counts = book.json("load", "sheets", "--job", JOB, "--layout", layout, path)["files"][0]
    return Counter({name: counts[name] for name in BECAME})


BECAME = ("booked", "held", "already_booked", "already_held")


def booked(book: Yard) -> Counter[Entry]:
    return Counter(
        Entry(
            row["worker_id"],
            date.fromisoformat(row["day"]),
            int(row["ms"]) // MINUTE,
            row["booking_code"],
            row["note"],
        )
        for row in table(book, "entry")
    )


@pytest.mark.slow
@settings(deadline=None, max_examples=8, phases=UNSHRUNK, suppress_health_check=SLOW_BOOK)
@given(entries=ENTRIES, data=st.data())
def test_any_order_and_split_in_any_layouts_is_one_book(
    prepared: Path, entries: list[Entry], data: st.DataObject
) -> None:
    """Entries in any order, split over files in several layouts, loaded twice, are booked once."""
    mixed = data.draw(st.permutations(sorted(set(entries))))
    cut = data.draw(st.integers(0, len(mixed)))
    parts = [part for part in (mixed[:cut], mixed[cut:]) if part]
    dialects = [data.draw(DIALECTS) for _ in (*parts, *parts)]
    with tempfile.TemporaryDirectory() as folder:
        book = copied(prepared, Path(folder))
        counts = [
            load(book, Path(folder) / str(place), part, dialect)
            for place, (part, dialect) in enumerate(zip([*parts, *parts], dialects, strict=True))
        ]
        found = booked(book)
        holds = book.run("check").exit_code

    assert found == Counter(set(entries))
    assert sum(counts, Counter()) == Counter(booked=len(mixed), already_booked=len(mixed))
    assert holds == 0
