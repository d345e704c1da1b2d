"""What follows from the facts of a book, worked out again."""

from ledger.baseline.replaying import post_differences
from ledger.inputs.toml_files import write_calendar
from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import Book, open_book
from ledger.store.locking import Holder
from tests.conftest import Yard


def differences(yard: Yard) -> dict[str, int]:
    """Return how many rows working out again would post, by table; nothing is written."""
    counts: dict[str, int] = {}
    with open_book(yard.book, writer=Holder("Tester", "test")) as book:
        _count(book, counts)
    return {table: count for table, count in counts.items() if count}


def _count(book: Book, counts: dict[str, int]) -> None:
    class Done(Exception):
        pass

    try:
        with batch(book, Writing("Tester", "test")) as made:
            _post(book, made, counts)
            raise Done
    except Done:
        pass


def _post(book: Book, made: Batch, counts: dict[str, int]) -> None:
    post_differences(book, made, write_calendar)
    counts.update(made.counts)
