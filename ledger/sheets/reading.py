"""Files of sheets read: the texts of their lines staged, and what is understood of them."""

import contextlib
import re
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from ledger.errors import Refused
from ledger.sheets.file_parts import FilePart, bytes_of_part
from ledger.sheets.sheet_files import SheetFile
from ledger.sheets.sheet_tables import SheetTable
from ledger.sheets.staging import CsvFile, Staged, TabRows, begin, stage_csv, stage_tab, understand
from ledger.store.book import Book
from ledger.tables.raw_files import changed, version_of
from ledger.tables.whole_files import TextFile

# Any other path may stand for several files, or for a packed one, where the table is read.
_PLAIN_NAME = re.compile(r"^[\w /.,+()@-]*\.(?:csv|txt|tsv)$", re.IGNORECASE)


@dataclass(frozen=True)
class ReadLines:
    """What was read of a file: its sheet lines, and the rows that are none.

    `raw` is that of `Staged` where the lines were read as they stand.
    """

    lines: int
    rows_left_out: int
    raw: str | None = None


@dataclass(frozen=True)
class Unread:
    """The parts of a file that are to be read, others being known.

    `stretches` says from which of their rows on how many lines of the file are left out.
    """

    file_parts: tuple[FilePart, ...]
    stretches: Mapping[int, int]


def read_lines(book: Book, sheets: SheetFile, unread: Unread | None = None) -> ReadLines:
    """Stage the texts of a file's lines, and what is understood of them; or of some parts alone.

    Raises: Refused when a row does not fit its head, or the file has no line; NotInPlace.
    """
    if unread is not None:
        read = _read_parts(book, sheets, unread)
        understand(book, read.lines)
        return read
    read = read_texts(book, sheets)
    if not read.lines and not sheets.has_days:
        raise Refused("rows_missing", file=sheets.file.name)
    understand(book, read.lines)
    return read


def read_texts(book: Book, sheets: SheetFile, *, with_raw: bool = False) -> ReadLines:
    """Stage the texts of a file's lines, the raw text of each too where it is wanted.

    Raises: Refused when a row does not fit its head.
    """
    if sheets.file.is_workbook:
        begin(book)
    lines = rows_left_out = 0
    raw = None
    for table in sheets.tables:
        staged = _stage_table(book, sheets, table, with_raw=with_raw)
        lines += staged.lines
        rows_left_out += table.above + staged.rows - staged.rows_used
        raw = staged.raw
    return ReadLines(lines, rows_left_out, raw)


def _read_parts(book: Book, sheets: SheetFile, unread: Unread) -> ReadLines:
    """Stage the texts of the lines of some parts, under the file's head."""
    file, (table,) = sheets.file, sheets.tables
    has_head = bool(unread.file_parts) and unread.file_parts[0].number == 1
    head = "" if has_head else file.text.partition("\n")[0] + "\n"
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "parts.csv"
        with copy.open("wb") as out:
            out.write(head.encode())
            out.writelines(bytes_of_part(file, each) for each in unread.file_parts)
        text = copy.read_text(encoding="utf-8")
        csv_file = CsvFile(
            file.name, copy, text, table.head, table.layout.delimiter, stretches=unread.stretches
        )
        staged = stage_csv(book, csv_file, table.reading, sheets.job)
    return ReadLines(staged.lines, 0, staged.raw)


def _stage_table(book: Book, sheets: SheetFile, table: SheetTable, *, with_raw: bool) -> Staged:
    file, job = sheets.file, sheets.job
    if table.tab:
        below = enumerate(table.tab.rows[table.at + 1 :], start=table.at + 2)
        return stage_tab(book, TabRows(table.tab.name, table.head, below), table.reading, job)
    with plain_copy(file, table) as path:
        csv_file = CsvFile(
            file.name, path, table.text, table.head, table.layout.delimiter, table.at
        )
        return stage_csv(book, replace(csv_file, with_raw=with_raw), table.reading, job)


@contextlib.contextmanager
def plain_copy(file: TextFile, table: SheetTable) -> Iterator[Path]:
    """Give the file, or a copy from the head on in UTF-8 with line feeds alone, if it differs."""
    if file.plain and table.at == 1 and _PLAIN_NAME.search(str(file.path)):
        yield file.path
        if version_of(file.path) != file.version:
            raise changed(file.name)
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "sheets.csv"
        copy.write_text(table.text, encoding="utf-8", newline="")
        yield copy
