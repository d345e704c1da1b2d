"""Held lines read again, as they stand: the cells as written, with their corrections in place."""

from ledger.sheets.staging import stage_texts, take_none, take_written, understand
from ledger.sheets.written_lines import stage_written
from ledger.store.book import Book


def stage_held(book: Book, which: str = "sheets/held_lines") -> None:
    """Stage the held lines that a query names, as they read now, in `staged_parsed`.

    Those that can be booked now have no reason.
    """
    lines = stage_written(book, which)
    if not lines:
        take_none(book)
    elif has_corrections(book):
        read_corrected(book)
    else:
        read_written(book, lines)


def has_corrections(book: Book) -> bool:
    """Return whether any line was ever corrected."""
    return bool(book.rows("sheets/lines_there")[0][2])


def read_written(book: Book, lines: int) -> None:
    """Read the lines written, so many, as they are, without their corrections."""
    take_written(book)
    understand(book, lines)


def read_corrected(book: Book) -> None:
    """Read the lines written with all corrections of them in place."""
    understand(book, stage_texts(book, "sheets/lines_corrected"))
