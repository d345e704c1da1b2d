"""A CSV text is read as the standard library's strict reader reads it, or refused."""

import csv
import io
import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import Refused
from ledger.sheets.staging import CsvFile, begin, scratch_book, stage_csv
from ledger.tables.readings import Reading
from tests.conftest import slow_beyond

BLANK = " \t\n\r\xa0"
PIECES = st.lists(
    st.sampled_from(["a", "b c", ",", ",", ",", '"', '""', "\n", "\n", 'x"y', "\\", "'", "#"]),
    max_size=24,
)


def by_the_library(text: str) -> list[tuple[str | None, ...]] | None:
    """Return the rows that are not blank, trimmed; None where a row does not fit or is no CSV."""
    try:
        rows = list(csv.reader(io.StringIO(text), strict=True))[1:]
    except csv.Error:
        return None
    if any(len(row) != 2 for row in rows if row):
        return None
    trimmed = [tuple(cell.strip(BLANK) or None for cell in row) for row in rows if row]
    return [row for row in trimmed if any(row)]


@pytest.mark.parametrize("examples", slow_beyond(1, [3, 25]))
def test_a_text_is_read_as_a_strict_reader_reads_it(examples: int) -> None:
    """Rows are those of another reader, in their order; what that refuses is refused."""

    @settings(deadline=None, max_examples=examples)
    @given(bodies=st.lists(PIECES, min_size=20, max_size=20))
    def read_alike(bodies: list[list[str]]) -> None:
        with scratch_book() as book, tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "week.csv"
            for body in bodies:
                text = "note,hours\n" + "".join(body)
                path.write_text(text, encoding="utf-8", newline="")
                begin(book)
                file = CsvFile("week.csv", path, text, ["note", "hours"])
                try:
                    stage_csv(book, file, Reading({}, as_written=True), None)
                except Refused:
                    continue
                # Texts stay as they stand until they are understood, which trims them first.
                rows = book.execute(
                    "SELECT bare(note), bare(hours) FROM staged_raw ORDER BY place"
                ).fetchall()

                assert rows == by_the_library(text)

    read_alike()
