"""Held lines read again, as they stand: the cells as written, with their corrections in place."""

from ledger.sheets.staging import stage_texts, take_none, take_written, understand
from ledger.sheets.written_lines import stage_written
from ledger.store.book import Book


def stage_held(book: Book, which: str = "sheets/held_lines") -> None:
    """Stage the held lines that a query names, as they read now, in `staged_parsed`.

    Those that can be booked now have no reason.
    """
    if stage_written(book, which):
        read_corrected(book)
        return
    take_none(book)


def read_written(book: Book, lines: int) -> None:
    """Read the lines written, so many, as they are, without their corrections."""
    take_written(book)
    understand(book, lines)


def read_corrected(book: Book) -> None:
    """Stage the lines written with all corrections of them in place, and read them."""
    understand(book, stage_texts(book, "sheets/lines_corrected"))
