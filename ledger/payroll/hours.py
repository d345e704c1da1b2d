"""Hours booked by worker and week or day, with subtotals, Saturdays and overtime apart."""

from dataclasses import dataclass
from datetime import date

from ledger.jobs.jobs import job_card, week_start
from ledger.payroll.classes import (
    OvertimePolicy,
    overtime_policy,
    pay_classes,
    stage_crew_as_paid,
)
from ledger.payroll.reconciliation import refuse_turned
from ledger.store.book import Book


@dataclass(frozen=True)
class HoursAsked:
    """The days asked for, None for all; the job, None for all places; by week or by day."""

    start: date | None
    end: date | None
    job: str | None
    by: str


@dataclass(frozen=True)
class WorkerHours:
    """Hours of a worker in a week or on a day, in ms; overtime is of the hours worked."""

    worker_id: str
    period_start: date
    worked_ms: int
    paid_not_worked_ms: int
    other_ms: int
    saturday_ms: int
    overtime_ms: int

    @property
    def ms(self) -> int:
        """Return all hours."""
        return self.worked_ms + self.paid_not_worked_ms + self.other_ms


@dataclass(frozen=True)
class Subtotal:
    """Hours of a trade, a job or other place, or a pay class, in ms; of none where not known."""

    part: str
    name: str | None
    ms: int
    saturday_ms: int


@dataclass(frozen=True)
class HoursFound:
    """What is asked: rows of workers and subtotals, each part of which adds up to the rows.

    Overtime is over all jobs: with one job asked for there is none.
    """

    rows: list[WorkerHours]
    subtotals: list[Subtotal]
    policy: OvertimePolicy


def hours_booked(book: Book, asked: HoursAsked) -> HoursFound:
    """Return hours by worker and week or day, and subtotals.

    Raises: Refused when there is no such job, or the last day is before the first.
    """
    if asked.start and asked.end:
        refuse_turned(asked.start, asked.end)
    if asked.job:
        job_card(book, asked.job)
    days = {"from": asked.start, "to": asked.end}
    policy = overtime_policy(book)
    stage_crew_as_paid(book)
    of_week = {"week_start": week_start(book), "job": asked.job}
    book.stage("hour", "payroll/hours_booked", **days, **of_week, **pay_classes(book))
    limits = {"weekly_ms": policy.weekly_ms, "daily_ms": policy.daily_ms}
    if policy.is_set and not asked.job:
        leave = {"leave_counts": policy.leave_counts}
        book.stage("overtime", "payroll/overtime", **days, **limits, **leave)
    else:
        book.stage_none("overtime", "payroll/overtime")
    found = book.rows("payroll/hours_by_worker", by_day=asked.by == "day")
    rows = [WorkerHours(worker, day, *map(int, amounts)) for worker, day, *amounts in found]
    subtotals = [
        Subtotal(part, name, int(ms), int(saturday))
        for part, name, ms, saturday in book.rows("payroll/hours_subtotals")
    ]
    return HoursFound(rows, subtotals, policy)
