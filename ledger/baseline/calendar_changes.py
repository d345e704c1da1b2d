"""The calendar of a frozen job, as its baseline changes have it."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.domain.calendar import WorkCalendar
from ledger.errors import Refused
from ledger.jobs.jobs import calendar_by, calendar_of
from ledger.jobs.working_days import OF_CALENDAR, working_days_of, write_days
from ledger.store.batches import Batch
from ledger.store.book import Book

Row = dict[str, Any]


@dataclass(frozen=True)
class CalendarChange:
    """A recorded baseline change that changes the calendar: what its card says of working days.

    `place` is the batch in the recorded order.
    """

    name: str
    day: date
    place: int
    says: Row


def calendar_changes(book: Book, job: str) -> list[CalendarChange]:
    """Return the recorded changes of a job's calendar in the order of their days."""
    return [
        CalendarChange(row["name"], row["day"], row["place"], {n: row[n] for n in OF_CALENDAR})
        for row in book.records("baseline/calendar_changes", job=job)
    ]


def with_calendar_in_force(book: Book, card: Row) -> Row:
    """Return a job's frozen card with the working days of its last change of the calendar."""
    changes = calendar_changes(book, card["job"])
    return {**card, **(changes[-1].says if changes else {})}


def change_calendar(book: Book, batch: Batch, job: str, name: str) -> WorkCalendar | None:
    """Write the working days after a change's day as it has them, if it acts in this batch.

    Returns the calendar before, None if the change leaves the calendar alone or has acted already.
    Raises: Refused when the calendar changes on a later day already.
    """
    changes = calendar_changes(book, job)
    own = next((each for each in changes if each.name == name), None)
    if own is None or own.place != batch.sequence:
        return None
    if changes[-1].day > own.day:
        raise Refused("calendar_since", name=name, since=changes[-1].day)
    before = calendar_of(book, job)
    card = next(row for row in book.current("job") if row["job"] == job)
    due = working_days_of(book, {**card, **own.says})
    weights = before.day_weights
    kept = {d: w for d, w in zip(before.days, weights, strict=True) if d <= own.day}
    write_days(book, batch, job, kept | {d: w for d, w in due.items() if d > own.day})
    return before


def calendar_at(book: Book, job: str, sequence: int) -> WorkCalendar:
    """Return a job's calendar without the changes recorded after a batch."""
    if any(each.place > sequence for each in calendar_changes(book, job)):
        return calendar_by(book, job, sequence)
    return calendar_of(book, job)
