"""Hours booked by worker and week or day, with subtotals, Saturdays and overtime apart."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from ledger.domain.rest import LIMITS
from ledger.jobs.jobs import job_card, week_start
from ledger.payroll.classes import (
    OvertimePolicy,
    overtime_policy,
    pay_classes,
    refuse_turned,
    stage_crew_as_paid,
)
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
    """Hours of a trade, a job or other place, or a pay class, in ms; of none where not known.

    Overtime is shared out over the hours worked on its day or, of a week, in its week.
    """

    part: str
    name: str | None
    ms: int
    saturday_ms: int
    overtime_ms: int


@dataclass(frozen=True)
class Caution:
    """Days of a worker that rest or working time is worth a look in, and the ms worked in them."""

    caution: str
    worker_id: str
    day_from: date
    day_to: date
    ms: int


@dataclass(frozen=True)
class HoursFound:
    """What is asked: rows of workers and subtotals, each part of which adds up to the rows.

    Overtime and cautions are over all jobs: with one job asked for there are none.
    """

    rows: list[WorkerHours]
    subtotals: list[Subtotal]
    policy: OvertimePolicy
    cautions: tuple[Caution, ...]


def stage_premium(book: Book, start: date, end: date) -> None:
    """Stage overtime at the days to whose period it belongs, where it is paid as a premium alone.

    The crew is to be staged as it is paid.
    """
    policy = overtime_policy(book)
    if not policy.is_set or not policy.is_premium_only:
        book.stage_none("overtime", "payroll/overtime")
        return
    asked = HoursAsked(start, end, None, "day")
    _stage_hours(book, asked)
    _stage_overtime(book, asked, policy, at_week_end=True)


def _stage_hours(book: Book, asked: HoursAsked) -> None:
    of_week = {"week_start": week_start(book), "job": asked.job}
    days = {"from": asked.start, "to": asked.end}
    book.stage("hour", "payroll/hours_booked", **days, **of_week, **pay_classes(book))


def _stage_overtime(
    book: Book, asked: HoursAsked, policy: OvertimePolicy, *, at_week_end: bool = False
) -> None:
    limits = {"weekly_ms": policy.weekly_ms, "daily_ms": policy.daily_ms}
    counted = {"leave_counts": policy.leave_counts, "at_week_end": at_week_end}
    days = {"from": asked.start, "to": asked.end}
    book.stage("overtime", "payroll/overtime", **days, **limits, **counted)


def hours_booked(book: Book, asked: HoursAsked) -> HoursFound:
    """Return hours by worker and week or day, and subtotals.

    Raises: Refused when there is no such job, or the last day is before the first.
    """
    if asked.start and asked.end:
        refuse_turned(asked.start, asked.end)
    if asked.job:
        job_card(book, asked.job)
    policy = overtime_policy(book)
    stage_crew_as_paid(book)
    _stage_hours(book, asked)
    if policy.is_set and not asked.job:
        _stage_overtime(book, asked, policy)
    else:
        book.stage_none("overtime", "payroll/overtime")
    by_worker = book.rows("payroll/hours_by_worker", by_day=asked.by == "day")
    rows = [WorkerHours(worker, day, *map(int, amounts)) for worker, day, *amounts in by_worker]
    subtotals = [
        Subtotal(part, name, *map(int, amounts))
        for part, name, *amounts in book.rows("payroll/hours_subtotals")
    ]
    cautions = () if asked.job else tuple(_cautions(book))
    return HoursFound(rows, subtotals, policy, cautions)


def _cautions(book: Book) -> Iterator[Caution]:
    """Yield what the hours staged are worth a look for, by caution and worker."""
    for caution, worker, first, last, ms in book.rows("payroll/rest_cautions", **LIMITS):
        yield Caution(caution, worker, first, last, int(ms))
