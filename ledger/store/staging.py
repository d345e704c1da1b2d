"""Reading a CSV file into the temporary table `staged_raw`, all as text."""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Refused
from ledger.store.book import Book

LONGEST_LINE = 8_000_000
# Space, tab, line ends and the no-break space.
BLANKS = "' ' || chr(9) || chr(10) || chr(13) || chr(160)"


@dataclass(frozen=True)
class CsvFile:
    """A CSV file as it is to be read: where, its text, its head, and the columns wanted."""

    name: str
    path: Path
    text: str
    head: Sequence[str]
    wanted: Sequence[str]
    default_job: str | None = None


def stage_csv(book: Book, file: CsvFile) -> tuple[int, int]:
    """Stage the rows of a file with their line numbers and raw text.

    Returns how many were staged and how many blank ones were left out.

    Raises: Refused, naming the line, when a row has not as many cells as the head.
    """
    names = [name or f"column_{place}" for place, name in enumerate(file.head, start=1)]
    columns = ", ".join(f"{_quoted(name)}: 'VARCHAR'" for name in names)
    starts, empty = _starts(file)
    book.execute("DROP TABLE IF EXISTS staged_csv")
    book.execute(
        f"CREATE TEMP TABLE staged_csv AS SELECT * FROM read_csv($path, auto_detect = false,"
        f" header = true, delim = ',', quote = '\"', escape = '\"', columns = {{{columns}}},"
        f" max_line_size = {LONGEST_LINE}, strict_mode = true, skip = {_lines_above(file)})",
        {"path": str(file.path)},
    )
    _add_lines(book, file, names, starts)
    found = book.execute("SELECT count(*) FROM staged_raw").fetchone()
    staged = int(found[0]) if found else 0
    return staged, len(starts) + empty - staged


def _lines_above(file: CsvFile) -> int:
    """Return how many empty lines stand above the head."""
    return len(file.text) - len(file.text.lstrip("\n"))


def _quoted(name: str) -> str:
    return "'" + name.replace("'", "''") + "'"


def _identifier(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _starts(file: CsvFile) -> tuple[list[int], int]:
    """Return the line of each record and the number of empty lines; each fits the head."""
    reader = csv.reader(io.StringIO(file.text), strict=True)
    starts: list[int] = []
    last = empty = 0
    try:
        for cells in reader:
            first, last = last + 1, reader.line_num
            if not cells:
                empty += 1
                continue
            if len(cells) != len(file.head):
                raise Refused(
                    f"{file.name}:{first}: has {len(cells)} cells, the head {len(file.head)}; "
                    "mend the row and load again"
                )
            starts.append(first)
    except csv.Error as error:
        raise Refused(f"{file.name}:{reader.line_num}: {error}; mend the quotes") from None
    return starts[1:], empty


def _add_lines(book: Book, file: CsvFile, names: Sequence[str], starts: list[int]) -> None:
    wanted = ", ".join(
        f"nullif(trim({_identifier(name)}, {BLANKS}), '') AS {name}"
        if name in names
        else f"NULL::VARCHAR AS {name}"
        for name in file.wanted
    )
    packed = ", ".join(f"{_quoted(name)}: {_identifier(name)}" for name in names)
    blank = " AND ".join(
        f"nullif(trim({_identifier(name)}, {BLANKS}), '') IS NULL" for name in names
    )
    book.execute("DROP TABLE IF EXISTS staged_raw")
    book.execute(
        "CREATE TEMP TABLE staged_raw AS"
        f" SELECT NULL::BIGINT AS line_batch, NULL::BIGINT AS line_row,"
        # Row ids of a table made in this transaction do not begin at 0.
        " ($starts::BIGINT[])[c.rowid - (SELECT min(rowid) FROM staged_csv) + 1] AS line,"
        f" to_json({{{packed}}})::VARCHAR AS raw,"
        f" $default_job::VARCHAR AS default_job, {wanted}"
        f" FROM staged_csv AS c WHERE NOT ({blank})",
        {"starts": starts, "default_job": file.default_job},
    )
