"""The life of a sheet line and its entries: read, held, corrected, booked, moved, reversed."""

from typing import Any

from ledger.errors import Refused, Remedy
from ledger.sheets.reversals import entry_unknown, ids_of
from ledger.sheets.written_lines import raw_of
from ledger.store.book import Book


def life(book: Book, entry_or_line: str, *, of_line: bool = False) -> list[dict[str, Any]]:
    """Return what happened to an entry, or to a sheet line, each with who recorded it and when.

    Raises: Refused when there is no such entry or line.
    """
    line_batch, line_row = line_of(book, entry_or_line, of_line=of_line)
    try:
        raw = raw_of(book, line_batch, line_row)
    except Refused as refused:
        if refused.kind not in ("file_part_erased", "layout_erased"):
            raise
        raw = "erased"
    return book.records("sheets/line_life", line_batch=line_batch, line_row=line_row, raw=raw)


def line_of(book: Book, entry_or_line: str, *, of_line: bool = False) -> tuple[int, int]:
    """Return the sheet line of an entry, or that is named itself, by batch and row.

    Raises: Refused when there is no such entry or line.
    """
    ids_of([entry_or_line], "line" if of_line else "entry")
    lines = book.rows("sheets/line_named" if of_line else "sheets/line_of_entry", id=entry_or_line)
    if not lines and of_line:
        raise Refused("line_unknown", line=entry_or_line, remedy=Remedy("held"))
    if not lines:
        raise entry_unknown(entry_or_line)
    batch, row = lines[0]
    return int(batch), int(row)
