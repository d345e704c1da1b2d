"""Hours paid beside hours booked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.payroll.closed_rows import changed_since_closed
from ledger.payroll.hours import HoursAsked, HoursFound, hours_booked
from ledger.payroll.reconciliation import PayNote, PayRow, banked_by, notes_placed, reconciled
from ledger.payroll.signing import OffAsked, SignedOff
from ledger.payroll.signing import sign_off as off
from ledger.sheets.reversals import reason_of
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class HoursKnown(Outcome):
    """Hours booked by worker and week or day, and the batch they are known at."""

    asked: HoursAsked
    hours: HoursFound
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
class OffDone(Outcome):
    """What was signed off, and the batch."""

    signed: SignedOff
    finished: Finished


def sign_off(access: WriteAccess, asked: OffAsked) -> OffDone:
    """Sign off hours paid and booked in the periods asked for, as they stand.

    Raises: Refused when there is nothing to sign off, or a reason without words.
    """
    worker = code_of(asked.worker) if asked.worker else None
    why = None if asked.reason is None else reason_of(asked.reason)
    with access.writing("sign off") as (book, batch):
        signed = off(book, batch, replace(asked, worker=worker, reason=why))
        return OffDone(signed, finish(book, batch))


@dataclass(frozen=True)
class Opened(Outcome):
    """The lines that a worker's rows are made of: what was paid, and where time stands."""

    paid: list[dict[str, Any]]
    booked: list[dict[str, Any]]


@dataclass(frozen=True)
class Reconciled(Outcome):
    """What was paid and booked in the periods that end from a day to another.

    `closed_to` ends the closed period that it is read of, as closed, and is None of an open one.
    `changed` are rows of periods closed before these days that differ since, and are open or wait.
    `opened` are the lines of the one worker asked for; `banked` is what each has in a bank, in ms;
    `unused` are notes of these days that belong to no row, and explain nothing.
    """

    start: date
    end: date
    closed_to: date | None
    rows: Sequence[PayRow]
    changed: Sequence[PayRow]
    opened: Opened | None
    banked: Mapping[str, int]
    unused: Sequence[PayNote]
    stamp: Stamp


def reconciliation(access: ReadAccess, start: date, end: date, worker: str | None) -> Reconciled:
    """Return hours paid beside hours booked, of all or of one worker with the lines behind them.

    Raises: Refused when the days are turned round.
    """
    code = code_of(worker) if worker else None
    with access.reading() as book:
        closed_to = access.as_closed(book, None, end)
        late = changed_since_closed(book, start)
        changed = [row for row in late if code in (None, row.worker_id)]
        rows = [row for row in reconciled(book, start, end) if code in (None, row.worker_id)]
        notes = [each for each in notes_placed(book, start, end) if not each.is_used]
        unused = [each for each in notes if code in (None, each.worker_id)]
        opened = _opened(book, code, rows, end) if code else None
        banked = {each: ms for each, ms in banked_by(book, end).items() if code in (None, each)}
        return Reconciled(
            start, end, closed_to, rows, changed, opened, banked, unused, book.stamp()
        )


def _opened(book: Book, worker: str, rows: Sequence[PayRow], end: date) -> Opened:
    """Return the lines of the periods of rows."""
    first = min((row.period_start for row in rows), default=end)
    last = max((row.period_end for row in rows), default=end)
    asked = {"worker": worker, "from": first, "to": last}
    paid, booked = "payroll/paid_lines", "payroll/booked_lines"
    return Opened(book.records(paid, **asked), book.records(booked, **asked))
