"""Price lines of a file read for a quote: checked as they load, and kept nowhere."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import cast

from ledger.changes.rows import KnownPriceLine
from ledger.inputs import columns
from ledger.inputs.change_line_checks import LineChecks
from ledger.store.book import Book
from ledger.tables.small_tables import read_table
from ledger.tables.whole_files import read_text

# A quote may be of lines that belong to no change yet, and are not described to the owner.
OPTIONAL = ("change", "description")
QUOTE_LINES = tuple(
    replace(column, needed=False) if column.name in OPTIONAL else column
    for column in columns.CHANGE_LINES
)


@dataclass(frozen=True)
class LinesToQuote:
    """The lines of a file, its name, and the change that they are of, if they name one."""

    name: str
    change: str | None
    rows: tuple[KnownPriceLine, ...]


def read_lines(book: Book, job: str, path: Path) -> LinesToQuote:
    """Return the price lines of a file, which is of one change and one revision.

    Raises: Faults for what does not fit.
    """
    table = read_table(read_text(path), QUOTE_LINES)
    checks = LineChecks(book, job, table)
    for line in table.lines:
        checks.check(line)
        first = table.lines[0]
        for name, what in (("change", "change"), ("revision", "revision")):
            if line[name] != first[name]:
                table.fault(line.number, f"another {what} than above; a quote is of one", name)
    checks.check_whole(table.lines)
    if not table.lines:
        table.fault(1, "no lines to quote")
    table.settle()
    rows = tuple(cast(KnownPriceLine, dict(line.values)) for line in table.lines)
    return LinesToQuote(path.name, rows[0]["change"], rows)
