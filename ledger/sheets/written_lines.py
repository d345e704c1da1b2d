"""Sheet lines of the book as they were written: their cells, from their own texts or their files.

A line that was held has its text beside it. That of a line booked at once stands in its file, as it
came: the file is read again as it was read then.
"""

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ledger.sheets.file_parts import KeptPart, kept_parts
from ledger.store.book import Book


def stage_written(book: Book, which: str, **inputs: object) -> int:
    """Stage held lines, and the cells of each as they were written; return how many."""
    lines = book.stage("held", which, **inputs)
    if lines:
        book.stage("written", "sheets/held_raw")
    else:
        book.stage_none("written", "sheets/held_raw")
    return lines


def stage_wanted(book: Book, which: str, **inputs: object) -> int:
    """Stage the lines that a query names, whose files are to be read; return how many."""
    return book.stage("line_wanted", which, **inputs)


def add_written_of_files(book: Book, which: str, **inputs: object) -> None:
    """Add the lines that a query names, of those whose text stands in their files alone.

    Raises: Refused when the text was erased.
    """
    if not stage_wanted(book, which, **inputs):
        return
    for file in book.records("sheets/files_of_lines"):
        _add_of_file(book, file)


def _add_of_file(book: Book, file: dict[str, Any]) -> None:
    # Figures read held lines again, but no file: the reading of files takes long to load.
    from ledger.sheets.reading import read_texts
    from ledger.sheets.sheet_files import ReadBy, sheet_file
    from ledger.tables.layout_files import layout_recorded
    from ledger.tables.layouts import PLAIN

    layout = layout_recorded(book, file["layout"])
    encoding = None if file["encoding"] == "workbook" else file["encoding"]
    by = ReadBy(layout, file["default_job"], encoding)
    which = (file["batch"], file["row"])
    # Of a plain list the parts of the lines alone are read, under its head.
    file_parts = [] if layout is not PLAIN else kept_parts(book, which, file["name"], whole=False)
    if not file_parts or any(part.first_line is None or b'"' in part.data for part in file_parts):
        file_parts = kept_parts(book, which, file["name"], whole=True)
    with tempfile.TemporaryDirectory() as folder:
        # The name decides nothing here but what a workbook is taken for.
        path = Path(folder) / f"sheets{Path(file['name']).suffix}"
        with path.open("wb") as copy:
            copy.writelines(part.data for part in file_parts)
        read_texts(book, sheet_file(book, path, file["name"], by), with_raw=True)
    _stage_stretches(book, file_parts)
    book.stage("written_of_file", "sheets/written_of_files", batch=which[0], file_row=which[1])
    book.execute("INSERT INTO staged_written BY NAME FROM staged_written_of_file")


def _stage_stretches(book: Book, file_parts: Sequence[KeptPart]) -> None:
    """Stage how many lines of the file were left out before each part that was read."""
    lines, left_out, line = [0], [0], 1
    for part in file_parts:
        if part.first_line is not None and part.first_line - line != left_out[-1]:
            lines.append(line)
            left_out.append(part.first_line - line)
        line += part.data.count(b"\n")
    book.stage("stretch_read", "sheets/stretches_read", lines=lines, left_out=left_out)


def raw_of(book: Book, line_batch: int, line_row: int) -> str | None:
    """Return the text of a sheet line as it was read. Raises: Refused when it was erased."""
    which = {"line_batch": line_batch, "line_row": line_row}
    stage_written(book, "sheets/line_of_book", **which)
    add_written_of_files(book, "sheets/line_of_file", **which)
    rows = book.rows("sheets/line_written")
    return str(rows[0][0]) if rows else None
