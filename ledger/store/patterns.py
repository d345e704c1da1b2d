"""Regular expressions are the database's own (linear time)."""

from ledger.errors import BookError
from ledger.store.book import Book


def pattern_fault(book: Book, pattern: str) -> str | None:
    """Return what is wrong with a regular expression, None when it can be used."""
    try:
        found = book.rows("store/pattern_tried", pattern=pattern)
    except BookError as error:
        return str(error.__cause__).rpartition(": ")[2]
    assert found
    return None
