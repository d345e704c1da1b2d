"""A small file as it is given to a load: under our own names, or by a layout."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.store.book import Book
from ledger.tables.heads import GUESS_LAYOUT
from ledger.tables.laid_out import read_laid_out
from ledger.tables.layouts import Layout
from ledger.tables.small_tables import FileColumn, ReadTable, read_table
from ledger.tables.whole_files import read_text


@dataclass(frozen=True)
class InputFile:
    """A small file, and the layout it is read by; without one it has our own names."""

    path: Path
    layout: Layout | None = None


def read_input(book: Book, file: InputFile, columns: Sequence[FileColumn]) -> ReadTable:
    """Return a file's rows parsed.

    Raises: Refused when no head fits. Faults of rows are kept in the table: call `settle`.
    """
    if file.layout is None:
        return read_table(read_text(file.path), columns, GUESS_LAYOUT)
    return read_laid_out(book, read_text(file.path, file.layout.encoding), file.layout, columns)
