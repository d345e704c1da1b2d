"""Sheet lines of the book as they were written: their cells, from their own texts or their files.

A line that was held has its text beside it. That of a line booked at once stands in its file, as it
came: the file is read again as it was read then.
"""

import tempfile
from pathlib import Path
from typing import Any

from ledger.sheets.file_parts import parts_kept
from ledger.sheets.reading import read_texts, sheet_file
from ledger.store.book import Book
from ledger.tables.layouts import layout_recorded


def stage_written(book: Book, which: str, **inputs: object) -> int:
    """Stage held lines, and the cells of each as they were written; return how many."""
    lines = book.stage("held", which, **inputs)
    if lines:
        book.stage("written", "sheets/held_raw")
    else:
        book.stage_none("written", "sheets/held_raw")
    return lines


def add_written_of_files(book: Book, which: str, **inputs: object) -> None:
    """Add the lines that a query names, of those whose text stands in their files alone.

    Raises: Refused when the text was erased.
    """
    if not book.stage("line_wanted", which, **inputs):
        return
    for file in book.records("sheets/files_of_lines"):
        _add_of_file(book, file)


def _add_of_file(book: Book, file: dict[str, Any]) -> None:
    of = (layout_recorded(book, file["layout"]), file["default_job"])
    encoding = None if file["encoding"] == "workbook" else file["encoding"]
    with tempfile.TemporaryDirectory() as folder:
        # The name decides nothing here but what a workbook is taken for.
        path = Path(folder) / f"sheets{Path(file['name']).suffix}"
        with path.open("wb") as copy:
            copy.writelines(parts_kept(book, (file["batch"], file["row"]), file["name"]))
        read_texts(book, sheet_file(book, path, file["name"], of, encoding))
    which = {"batch": file["batch"], "file_row": file["row"]}
    book.stage("written_of_file", "sheets/written_of_files", **which)
    book.execute("INSERT INTO staged_written BY NAME FROM staged_written_of_file")


def raw_of(book: Book, line_batch: int, line_row: int) -> str | None:
    """Return the text of a sheet line as it was read. Raises: Refused when it was erased."""
    which = {"line_batch": line_batch, "line_row": line_row}
    stage_written(book, "sheets/line_of_book", **which)
    add_written_of_files(book, "sheets/line_of_file", **which)
    found = book.rows("sheets/line_written")
    return str(found[0][0]) if found else None
