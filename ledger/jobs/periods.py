"""Periods closed and reopened: for each, the last batch that counts in its figures."""

from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from ledger.errors import Refused
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class Closing:
    """A closed period: its last day, the last batch that counts, the batch, when and by whom."""

    closed_to: date
    sequence: int
    closed_in: int
    recorded_at: datetime
    actor: str


def closings(book: Book) -> list[Closing]:
    """Return the closed periods in order."""
    return [Closing(*row) for row in book.rows("jobs/closings_known")]


def closing_of(book: Book, day: date) -> Closing | None:
    """Return the closed period that a day lies in, None when its period is open."""
    return next((each for each in closings(book) if day <= each.closed_to), None)


def close_period(book: Book, batch: Batch, day: date) -> int:
    """Close the whole yard's period that ends on a day; return the last batch that counts in it.

    Its figures are those known by now. Raises: Refused when the day is closed already, and before
    it has come: all that is recorded until then would be a late adjustment.
    """
    zone = ZoneInfo(book.setting("yard.zone", "UTC"))
    if day > batch.recorded_at.astimezone(zone).date():
        raise Refused("period_to_come", day=day)
    last = closings(book)[-1:]
    if last and day <= last[0].closed_to:
        raise Refused("period_closed", day=day, last=last[0].closed_to)
    known = batch.sequence - 1
    batch.append("closing", {"closed_to": [day], "sequence": [known], "reason": [None]})
    return known


def reopen_period(book: Book, batch: Batch, day: date, reason: str) -> int:
    """Reopen the period that was closed last; return the last batch that counted in it.

    Raises: Refused without a reason, and for a day that does not end the last closed period.
    """
    if not reason.strip():
        raise Refused("reason_missing")
    closed = closings(book)
    if not closed:
        raise Refused("period_none_closed")
    if day != closed[-1].closed_to:
        raise Refused("period_not_last", day=day, last=closed[-1].closed_to)
    batch.append("closing", {"closed_to": [day], "sequence": [None], "reason": [reason.strip()]})
    return closed[-1].sequence
