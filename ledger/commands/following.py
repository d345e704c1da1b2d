"""What follows from a write: held lines read again, entries placed, hours shared out."""

from dataclasses import dataclass

from ledger.sheets.ending_outcomes import PlacesPosted
from ledger.sheets.places import post_new
from ledger.sheets.placing import post_places, reprocess_held
from ledger.sheets.shares import post_shares
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class Following:
    """Which hours are looked at: those of the batch, or everywhere, and which of these may move."""

    everywhere: bool
    move_hours: bool
    late_reason: str | None


def follow(book: Book, batch: Batch, following: Following) -> PlacesPosted:
    """Post what follows from a batch, and return it.

    Raises: Refused when hours would leave a job, unless they may.
    """
    everywhere, late_reason = following.everywhere, following.late_reason
    places = PlacesPosted()
    if everywhere:
        places = reprocess_held(
            book, batch, move_hours=following.move_hours, late_reason=late_reason
        )
    elif batch.counts.get("reversal"):
        post_places(book, batch)
    else:
        post_new(book, batch)
    shares = post_shares(book, batch, everywhere=everywhere, late_reason=late_reason)
    return places.together(shares)
