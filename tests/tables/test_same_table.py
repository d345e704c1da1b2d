"""The same table as CSV, XLSX and ODS is the same facts."""

import csv
import tempfile
from collections.abc import Sequence
from datetime import date, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ledger.inputs.columns import RATES
from ledger.tables.small_tables import read_table
from ledger.tables.whole_files import read_text
from tests._stage import JOB, Content, content, copied
from tests.tables._workbooks import ods, xlsx

HEAD = ("trade", "grade", "worker_id", "effective_from", "cost_per_hour", "remark")
DAYS = st.dates(date(1901, 1, 1), date(2100, 12, 31))
# Letters of several alphabets, and what is easily lost: quotes, commas, line ends, apostrophes.
TEXTS = st.text(alphabet="aZé日ß<&>\"',;= \n", max_size=8).map(lambda text: f"x{text}x")
BLANK = st.none()
RATES_OF_A_TABLE = st.lists(
    st.tuples(
        TEXTS,
        BLANK | TEXTS,
        BLANK | TEXTS,
        DAYS,
        st.decimals(0, 99_999, places=4),
        BLANK | TEXTS | st.integers(0, 10**14) | st.booleans(),
    ),
    min_size=1,
    max_size=8,
)


def as_text(cell: object) -> str:
    """Return a cell as a CSV file has it."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, timedelta):
        return f"{cell // timedelta(hours=1)}:{cell // timedelta(minutes=1) % 60:02}"
    if isinstance(cell, time):
        return f"{cell.hour}:{cell.minute:02}"
    return str(cell)


def written(folder: Path, head: Sequence[str], rows: Sequence[Sequence[Any]]) -> list[Path]:
    """Write one table in each form."""
    plain = folder / "table.csv"
    with plain.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *([as_text(cell) for cell in row] for row in rows)])
    tabs = {"Table": [head, *rows]}
    return [plain, xlsx(folder / "table.xlsx", tabs), ods(folder / "table.ods", tabs)]


@settings(deadline=None, max_examples=60)
@given(rows=RATES_OF_A_TABLE)
def test_a_small_table_is_the_same_in_every_form(rows: list[tuple[Any, ...]]) -> None:
    """Rates written as CSV, XLSX or ODS are parsed to equal values on equal rows."""
    with tempfile.TemporaryDirectory() as folder:
        tables = [read_table(read_text(path), RATES) for path in written(Path(folder), HEAD, rows)]
    plain, *others = [[line.values for line in table.lines] for table in tables]

    assert [table.faults for table in tables] == [[], [], []]
    assert others == [plain, plain]
    assert len(plain) == len(rows)


SHEET = (
    "sheet",
    "worker_id",
    "date",
    "hours",
    "start",
    "finish",
    "break_minutes",
    "booking_code",
    "note",
)
# Five decimals of an hour are exact; times of a day are whole minutes.
HOURS = (
    st.decimals(0, 24, places=5).map(lambda hours: (hours, None, None, None))
    | st.integers(0, 26 * 60).map(lambda minutes: (timedelta(minutes=minutes), None, None, None))
    | st.tuples(BLANK, st.times(), st.times(), BLANK | st.integers(0, 60)).map(
        lambda four: (None, *(each.replace(second=0, microsecond=0) for each in four[1:3]), four[3])
    )
)
LINES = st.lists(
    st.tuples(
        BLANK | st.integers(1, 99),
        st.sampled_from(["A1", "b2", "X9"]),
        DAYS,
        HOURS,
        st.sampled_from(["DECK", "frame", "SHED"]),
        BLANK | TEXTS,
    ).map(lambda line: (*line[:3], *line[3], *line[4:])),
    min_size=1,
    max_size=12,
)


def unlike_raw(found: Content) -> Content:
    """Return content with the reason of held lines alone: what is kept of them has its place."""
    entries, waiting, places = found
    return entries, sorted(line.partition(":")[0] for line in waiting), places


@pytest.mark.slow
@settings(
    deadline=None, max_examples=6, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(lines=LINES)
@example(lines=[(None, "A1", date(2026, 3, 2), None, time(2, 16), time(3, 0), 45, "DECK", None)])
def test_sheets_are_the_same_in_every_form(prepared: Path, lines: list[tuple[Any, ...]]) -> None:
    """Sheets loaded as CSV, XLSX or ODS are the same entries, and loaded again are none."""
    with tempfile.TemporaryDirectory() as folder:
        paths = written(Path(folder), SHEET, lines)
        books = [copied(prepared, Path(folder) / path.suffix[1:]) for path in paths]
        for book, path in zip(books, paths, strict=True):
            book.run("load", "sheets", "--job", JOB, path)
        plain, *others = [unlike_raw(content(book)) for book in books]
        again = [books[0].json("load", "sheets", "--job", JOB, path)["files"][0] for path in paths]

    assert others == [plain, plain]
    assert [each["already_booked"] + each["already_held"] for each in again] == [len(lines)] * 3
