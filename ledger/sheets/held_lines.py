"""Held lines read again, as they stand: the cells as written, with their corrections in place."""

from ledger.sheets.staging import stage_texts, take_none, take_written, understand
from ledger.store.book import Book


def stage_held(book: Book, which: str = "sheets/held_lines") -> None:
    """Stage the held lines that a query names, as they read now, in `staged_parsed`.

    Those that can be booked now have no reason.
    """
    if stage_written(book, which):
        read_corrected(book)
        return
    take_none(book)


def stage_written(book: Book, which: str, **inputs: object) -> int:
    """Stage held lines, and the cells of each as they were written; return how many."""
    lines = book.stage("held", which, **inputs)
    if lines:
        book.stage("written", "sheets/held_raw")
    else:
        book.stage_none("written", "sheets/held_raw")
    return lines


def read_written(book: Book) -> None:
    """Read the lines written as they are, without their corrections."""
    take_written(book)
    understand(book)


def read_corrected(book: Book) -> None:
    """Stage the lines written with all corrections of them in place, and read them."""
    stage_texts(book, "sheets/lines_corrected")
    understand(book)
