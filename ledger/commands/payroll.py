"""Hours paid beside hours booked."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.payroll.hours import HoursAsked, HoursFound, hours_booked
from ledger.payroll.reconciliation import PayRow, reconciled
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class HoursKnown(Outcome):
    """Hours booked by worker and week or day, and the batch they are known at."""

    asked: HoursAsked
    found: HoursFound
    stamp: Stamp


def hours(access: ReadAccess, asked: HoursAsked) -> HoursKnown:
    """Return hours booked by worker and week or day, with subtotals.

    Raises: Refused when there is no such job, or the days are turned round.
    """
    job = code_of(asked.job) if asked.job else None
    with access.reading() as book:
        if asked.end:
            access.as_closed(book, job, asked.end)
        chosen = replace(asked, job=job)
        return HoursKnown(chosen, hours_booked(book, chosen), book.stamp())


@dataclass(frozen=True)
class Opened(Outcome):
    """The lines that a worker's rows are made of: what was paid, and where time stands."""

    paid: list[dict[str, Any]]
    booked: list[dict[str, Any]]


@dataclass(frozen=True)
class Reconciled(Outcome):
    """What was paid and booked in the periods that end from a day to another.

    `opened` are the lines of the one worker asked for.
    """

    start: date
    end: date
    rows: Sequence[PayRow]
    opened: Opened | None
    stamp: Stamp


def reconciliation(access: ReadAccess, start: date, end: date, worker: str | None) -> Reconciled:
    """Return hours paid beside hours booked, of all or of one worker with the lines behind them.

    Raises: Refused when the days are turned round.
    """
    code = code_of(worker) if worker else None
    with access.reading() as book:
        access.as_closed(book, None, end)
        rows = [row for row in reconciled(book, start, end) if code in (None, row.worker_id)]
        opened = _opened(book, code, rows, end) if code else None
        return Reconciled(start, end, rows, opened, book.stamp())


def _opened(book: Book, worker: str, rows: Sequence[PayRow], end: date) -> Opened:
    """Return the lines of the periods of rows."""
    first = min((row.period_start for row in rows), default=end)
    last = max((row.period_end for row in rows), default=end)
    asked = {"worker": worker, "from": first, "to": last}
    paid, booked = "payroll/paid_lines", "payroll/booked_lines"
    return Opened(book.records(paid, **asked), book.records(booked, **asked))
