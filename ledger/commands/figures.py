"""Figures of a job: performance and overrun, as known now or as its period was closed."""

from dataclasses import dataclass, replace
from datetime import date

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.performance import overrun as explaining
from ledger.performance import report as measuring
from ledger.performance.overrun import Overrun
from ledger.performance.report import Performance, PerformanceAsked
from ledger.performance.status_dates import status_date_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class PerformanceKnown(Outcome):
    """The performance of a job, the batch it is known at, and the end of its period if closed."""

    performance: Performance
    stamp: Stamp
    closed_to: date | None


@dataclass(frozen=True)
class OverrunKnown(Outcome):
    """The overrun of a job, the batch it is known at, and the end of its period if closed."""

    overrun: Overrun
    stamp: Stamp
    closed_to: date | None


def performance(access: ReadAccess, asked: PerformanceAsked) -> PerformanceKnown:
    """Return where a job stands and where it will end.

    Raises: Refused when there is no such job, or nothing to tell a status date from.
    """
    job = code_of(asked.job)
    with access.reading() as book:
        day = status_date_of(book, job, asked.status_date)
        closed_to = access.as_closed(book, job, day)
        measured = measuring.performance(book, replace(asked, job=job, status_date=day))
        return PerformanceKnown(measured, book.stamp(), closed_to)


def overrun(access: ReadAccess, job: str, status_date: date | None, unit: str) -> OverrunKnown:
    """Return step by step why the hours or the cost of a job changed.

    Raises: Refused as `performance` does.
    """
    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        explained = explaining.overrun(book, code, day, unit)
        return OverrunKnown(explained, book.stamp(), closed_to)
