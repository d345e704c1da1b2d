"""Weeks and periods: sheets missing, periods closed and reopened, and their figures."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.jobs import periods as closing
from ledger.outcomes import Outcome
from ledger.payroll.closing import Checklist, checklist, refuse_unreconciled
from ledger.performance.periods import Period
from ledger.performance.periods import periods as figures_of_periods
from ledger.performance.sheets import Expected, day_of_sheets, expected_sheets
from ledger.sheets.held_lines import stage_held
from ledger.sheets.shares import entries_kept
from ledger.store.book import Stamp


@dataclass(frozen=True)
class PeriodClosed(Outcome):
    """A period closed to a day: its figures are those known at a batch."""

    to: date
    known_at: int
    checklist: Checklist
    finished: Finished


@dataclass(frozen=True)
class PeriodReopened(Outcome):
    """A period open again, and the batch at which its figures were known while it was closed."""

    to: date
    was_known_at: int
    finished: Finished


@dataclass(frozen=True)
class SheetsExpected(Outcome):
    """The sheets expected up to a day, by the calendar of a job or of all."""

    job: str | None
    day: date
    sheets: list[Expected]
    stamp: Stamp


@dataclass(frozen=True)
class PeriodFigures(Outcome):
    """The figures of each period, of a job or of the whole yard, in hours or cost."""

    job: str | None
    unit: str
    periods: list[Period]
    stamp: Stamp


def close_period(access: WriteAccess, to: date) -> PeriodClosed:
    """Close the yard's period up to a day, and return how it stood.

    Raises: Refused when it cannot be closed, or is not reconciled and the yard asks for that.
    """
    with access.writing("close period") as (book, batch):
        known_at = closing.close_period(book, batch, to)
        stood = checklist(book, to)
        refuse_unreconciled(book, stood)
        return PeriodClosed(to, known_at, stood, finish(book, batch))


def reopen_period(
    access: WriteAccess, to: date, reason: str, *, move_hours: bool = False
) -> PeriodReopened:
    """Reopen the period that was closed last."""
    with access.writing("reopen period") as (book, batch):
        known_at = closing.reopen_period(book, batch, to, reason)
        finished = finish(book, batch, move_hours=move_hours, reopened=True)
        return PeriodReopened(to, known_at, finished)


def missing_sheets(access: ReadAccess, job: str | None, day: date | None) -> SheetsExpected:
    """Return which sheets are in, missing or thin up to a day, as closed if its period is."""
    code = code_of(job) if job else None
    with access.reading() as book:
        upto = day_of_sheets(book, code, day)
        access.as_closed(book, code, upto)
        stage_held(book)
        return SheetsExpected(code, upto, expected_sheets(book, code, upto), book.stamp())


def periods(access: ReadAccess, job: str | None, unit: str) -> PeriodFigures:
    """Return each period's own figures and its late adjustments; of the yard in hours alone."""
    code = code_of(job) if job else None
    of = unit if code else "hours"
    with access.reading() as book:
        return PeriodFigures(code, of, figures_of_periods(book, code, of), book.stamp())


def kept_entries(access: ReadAccess) -> list[dict[str, Any]]:
    """Return the entries of closed periods that would be booked elsewhere now."""
    with access.reading() as book:
        return entries_kept(book)
