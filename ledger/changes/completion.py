"""The completion date of a contract: as signed, and as the days granted move it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from ledger.domain.calendar import days_later
from ledger.domain.change_life import ChangeState
from ledger.jobs.jobs import calendar_of
from ledger.store.book import Book

NO_DATE = "the job has no completion_date"
BEYOND = "the days granted lead beyond the job's calendar"


@dataclass(frozen=True)
class Completion:
    """The contract's completion date, the days granted, and the date they move it to.

    Days requested move nothing. `moved_to` is None where it is not defined; `why` says why.
    """

    agreed: date | None
    days_granted: int
    moved_to: date | None
    why: str = ""


def days_granted(states: Iterable[ChangeState]) -> int:
    """Return the days granted for all changes, of each as last decided."""
    return sum(state.days_granted for state in states)


def completion(
    book: Book, job: str, agreed: date | None, counted: str, states: Iterable[ChangeState]
) -> Completion:
    """Return a job's completion date; days are `counted` as working ones of its calendar or any."""
    granted = days_granted(states)
    if agreed is None:
        return Completion(None, granted, None, NO_DATE)
    calendar = calendar_of(book, job) if counted == "working" else None
    moved = days_later(agreed, granted, calendar)
    return Completion(agreed, granted, moved, "" if moved else BEYOND)
