"""The entries that a command is about: the temporary table `staged_entry_chosen`."""

from ledger.store.book import Book


def choose_entries(book: Book, query: str, **inputs: object) -> int:
    """Stage the entries that a query names; return how many."""
    return book.stage("entry_chosen", query, **inputs)
