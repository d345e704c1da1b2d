"""The codes that nobody knows, as a load of sheets names them."""

from dataclasses import dataclass

from ledger.sheets.places import adds_entries
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class UntaggedCode:
    """A code, None where none is written, and the time in ms booked under it without a place."""

    code: str | None
    ms: int


def untagged_of_batch(book: Book, batch: Batch) -> list[UntaggedCode]:
    """Return the codes of the untagged time that a batch booked, most hours first."""
    if not adds_entries(batch):
        return []
    rows = book.rows("sheets/untagged_codes", batch=batch.sequence)
    return [UntaggedCode(code, ms) for code, ms in rows]
