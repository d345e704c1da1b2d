"""The life of a sheet line and its entries: read, held, corrected, booked, moved, reversed."""

from typing import Any

from ledger.errors import Refused, Remedy
from ledger.sheets.reversals import entry_unknown, ids_of
from ledger.sheets.written_lines import raw_of
from ledger.store.book import Book


def life(book: Book, given: str, *, of_line: bool = False) -> list[dict[str, Any]]:
    """Return what happened to an entry, or to a sheet line, each with who recorded it and when.

    Raises: Refused when there is no such entry or line.
    """
    line_batch, line_row = line_of(book, given, of_line=of_line)
    try:
        raw = raw_of(book, line_batch, line_row)
    except Refused as refused:
        if refused.kind not in ("file_part_erased", "layout_erased"):
            raise
        raw = "erased"
    return book.records("sheets/line_life", line_batch=line_batch, line_row=line_row, raw=raw)


def line_of(book: Book, given: str, *, of_line: bool = False) -> tuple[int, int]:
    """Return the sheet line of an entry, or that is named itself, by batch and row.

    Raises: Refused when there is no such entry or line.
    """
    ids_of([given], "line" if of_line else "entry")
    found = book.rows("sheets/line_named" if of_line else "sheets/line_of_entry", id=given)
    if not found and of_line:
        raise Refused("line_unknown", line=given, remedy=Remedy("held"))
    if not found:
        raise entry_unknown(given)
    batch, row = found[0]
    return int(batch), int(row)
