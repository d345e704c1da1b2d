"""The codes that nobody knows, as a load of sheets names them."""

from dataclasses import dataclass

from ledger.domain.allocation import hours_of
from ledger.store.batches import Batch
from ledger.store.book import Book

CODES_SHOWN = 10


@dataclass(frozen=True)
class UntaggedCode:
    """A code, None where none is written, and the time in ms booked under it without a place."""

    code: str | None
    ms: int


def untagged_of_batch(book: Book, batch: Batch) -> list[UntaggedCode]:
    """Return the codes of the untagged time that a batch booked, most hours first."""
    if not batch.counts.get("entry"):
        return []
    rows = book.rows("sheets/untagged_codes", batch=batch.sequence)
    return [UntaggedCode(code, ms) for code, ms in rows]


def untagged_text(codes: list[UntaggedCode]) -> str:
    """Return the hours and the codes as one line; hours of two places, each rounded by itself."""
    named = [f"{each.code or 'no code'} ({hours_of(each.ms)} h)" for each in codes[:CODES_SHOWN]]
    rest = codes[CODES_SHOWN:]
    if rest:
        named.append(f"and {len(rest)} more ({hours_of(sum(each.ms for each in rest))} h)")
    return f"{hours_of(sum(each.ms for each in codes))} h untagged: {', '.join(named)}"
