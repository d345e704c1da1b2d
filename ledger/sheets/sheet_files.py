"""Files of sheets: which are meant, what they are, and how each is read."""

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger import __version__
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets.file_outcomes import ColumnsPassedOver, FilesPassedOver, TabsPassedOver
from ledger.sheets.sheet_tables import SheetTable, sheet_tables, unknown_columns
from ledger.store.book import Book
from ledger.tables.heads import left_out
from ledger.tables.layouts import Layout
from ledger.tables.whole_files import TextFile, read_beginning, read_text

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
