"""Files of sheets read: which are meant, their tables, and the texts of their lines staged."""

import contextlib
import re
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from ledger import __version__
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.file_parts import FilePart, bytes_of_part
from ledger.sheets.outcomes import ColumnsPassedOver, FilesPassedOver, TabsPassedOver
from ledger.sheets.sheet_tables import SheetTable, sheet_tables, unknown_columns
from ledger.sheets.staging import CsvFile, Staged, TabRows, begin, stage_csv, stage_tab, understand
from ledger.store.book import Book
from ledger.tables.heads import left_out
from ledger.tables.layouts import Layout
from ledger.tables.raw_files import changed, version_of
from ledger.tables.whole_files import TextFile, read_beginning, read_text

# Any other path may stand for several files, or for a packed one, where the table is read.
_PLAIN_NAME = re.compile(r"^[\w /.,+()@-]*\.(?:csv|txt|tsv)$", re.IGNORECASE)
# What a folder's other files are is not looked at.
ENDINGS = (".csv", ".txt", ".tsv", ".xlsx", ".xlsm", ".ods")


@dataclass(frozen=True)
class SheetFile:
    """A file of sheets with its tables, the layout it is read by, and the job of its lines.

    `job` is that of lines that name none. Of one that was read before, the beginning alone may be
    read: then it is not whole, and its lines are not to be had.
    """

    file: TextFile
    tables: Sequence[SheetTable]
    job: str | None
    is_whole: bool = True

    @property
    def layout(self) -> Layout:
        """Return the layout that fits the file, one of our own names where none was asked for."""
        return self.tables[0].layout

    @property
    def has_days(self) -> bool:
        """Whether a table is a grid: some of its rows may have no line."""
        return any(table.reading.days for table in self.tables)

    @property
    def has_totals(self) -> bool:
        return any(table.reading.total for table in self.tables)

    @property
    def names_workers(self) -> bool:
        """Whether a list under our own heads has names of workers beside or for their ids."""
        return any("worker_name" in table.head for table in self.tables)

    @property
    def is_in_lines(self) -> bool:
        """Whether the number of a line tells which sheet line it is: a list, in one text."""
        return not (self.file.is_workbook or self.has_days)


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


@dataclass(frozen=True)
class ReadBy:
    """By what files are read: a layout, the job of lines that name none, an encoding of their own.

    Without one the encoding is that of the layout.
    """

    layout: Layout
    job: str | None = None
    encoding: str | None = None


def sheet_file(book: Book, path: Path, name: str, by: ReadBy) -> SheetFile:
    """Read a file and find its tables.

    Raises: Refused when it cannot be read, or has no table of the layout.
    """
    file = read_text(path, by.encoding or by.layout.encoding, name)
    return SheetFile(file, sheet_tables(book, file, by.layout), by.job)


def known_sheet_file(book: Book, path: Path, name: str, by: ReadBy) -> SheetFile | None:
    """Return a file whose very bytes were read before in the same way, its beginning alone.

    This version of the program read all of it then, so that nothing in it is refused now. None for
    any other file, and where the beginning does not tell how it is read.
    """
    # Whatever is astray is said of the whole file.
    with contextlib.suppress(Refused):
        file = read_beginning(path, by.encoding or by.layout.encoding, name)
        if file and (layouts := layouts_read_by(book, file.sha256)):
            sheets = SheetFile(file, sheet_tables(book, file, by.layout), by.job, is_whole=False)
            return sheets if sheets.layout.recorded in layouts else None
    return None


def layouts_read_by(book: Book, sha256: str) -> list[str | None]:
    """Return by which layouts this version of the program read sheets of these very bytes."""
    rows = book.rows("sheets/layouts_read_by", sha256=sha256, program=__version__)
    return [layout for (layout,) in rows]


def named_files(paths: Sequence[Path]) -> tuple[list[tuple[Path, str]], list[Outcome]]:
    """Return the files, those of folders by their place in them, and the others.

    Raises: Refused when a folder has no file of a kind that is read.
    """
    files: list[tuple[Path, str]] = []
    passed_over: list[Outcome] = []
    for path in paths:
        if not path.is_dir():
            files.append((path, path.name))
            continue
        inside = sorted(each for each in path.rglob("*") if each.is_file() and _is_seen(path, each))
        fitting = [each for each in inside if each.suffix.lower() in ENDINGS]
        if not fitting:
            raise Refused("folder_without_sheets", folder=path.name, endings=tuple(ENDINGS))
        files += [(each, f"{path.name}/{each.relative_to(path).as_posix()}") for each in fitting]
        others = tuple(each.relative_to(path).as_posix() for each in inside if each not in fitting)
        passed_over += [FilesPassedOver(path.name, others)] if others else []
    return files, passed_over


def _is_seen(folder: Path, path: Path) -> bool:
    """Return whether a file is neither hidden nor the lock of an open workbook."""
    return not any(part.startswith((".", "~$")) for part in path.relative_to(folder).parts)


def passed_over(sheets: SheetFile) -> list[Outcome]:
    """Return the columns and tabs of a file that are not read."""
    file = sheets.file
    outcomes: list[Outcome] = [
        ColumnsPassedOver(file.name, table.tab.name if table.tab else None, tuple(names))
        for table in sheets.tables
        if (names := unknown_columns(table))
    ]
    rest = left_out(file, [table.tab for table in sheets.tables if table.tab])
    return outcomes + ([TabsPassedOver(file.name, tuple(rest))] if rest else [])


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
