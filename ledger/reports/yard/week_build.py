"""A week of the yard made from the book: each figure by the code of the command that opens it."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from ledger.billing.claimable import claimable
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.overrun import STEPS
from ledger.domain.rest import WEEK_HOURS
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import calendar_of, job_card, week_start
from ledger.payroll.hours import HoursAsked, hours_booked
from ledger.payroll.reconciliation import reconciled
from ledger.performance.basis import Scope
from ledger.performance.change_list import ListedChanges
from ledger.performance.measure import Measured, row_of
from ledger.performance.overrun import OverrunExplained
from ledger.performance.report import Performance, PerformanceAsked, performance_of
from ledger.performance.status_dates import status_date_of
from ledger.reports.commands_named import NONE, Commands, Opens, Remade
from ledger.reports.identity import stamp_of, yard_of
from ledger.reports.yard.week import Figure, JobWeek, WeekRemark, WeekShown
from ledger.sheets.doubts import doubts_known
from ledger.store.book import Book

WEEK = timedelta(days=7)
# Pay periods that ended this long before the week's end are looked at.
PAY_SPAN = timedelta(days=35)
MOVED_MOST = 3


def build_week(
    book: Book, last: date, job: str | None = None, commands: Commands = NONE
) -> WeekShown:
    """Return the week that ends on a day, of one job or of all that have hours.

    Raises: Refused when there is no such job.
    """
    codes = [job] if job else _all_jobs(book)
    first = last - WEEK + timedelta(days=1)
    stamp = stamp_of(book)
    week = _Week(book, first, last, commands)
    return WeekShown(
        yard=yard_of(book),
        first=first,
        last=last,
        known_at=stamp,
        remade_by=commands.makes(Remade("week", stamp.sequence, last, job or "")),
        rehearsal=book.rehearsal,
        jobs=tuple(filter(None, map(week.of_job, codes))),
        of_yard=week.of_yard(),
    )


def _all_jobs(book: Book) -> list[str]:
    return sorted(row["job"] for row in book.current("job"))


def last_day_of(book: Book, job: str | None, day: date | None) -> date:
    """Return the last day of the week of a day; left out, of the latest usual status date.

    Raises: Refused when there is no such job, or no day to be told.
    """
    if day is None:
        codes = [job] if job else _all_jobs(book)
        usual_days = [each for each in (_usual_day(book, code) for code in codes) if each]
        if not usual_days:
            raise Refused("week_missing", remedy=Remedy("week_day"))
        day = max(usual_days)
    start = week_start(book)
    return day + timedelta(days=(start - 1 - day.weekday()) % 7)


def _usual_day(book: Book, job: str) -> date | None:
    try:
        return status_date_of(book, job, None)
    except Refused:
        return None


@dataclass(frozen=True)
class _Week:
    book: Book
    first: date
    last: date
    commands: Commands

    @cached_property
    def _doubts(self) -> Mapping[str, int]:
        doubts = doubts_known(self.book)
        return Counter(
            job
            for each in doubts
            if not each["settled_by"] and each["severity"] == "warn"
            for job in each["jobs"]
        )

    def of_job(self, job: str) -> JobWeek | None:
        """Return the lines of a job; None before it has a calendar and anything booked."""
        card = job_card(self.book, job)
        calendar_of(self.book, job)
        measured = Measured(self.book, job, Scope(self.last))
        now = performance_of(measured, PerformanceAsked(job, self.last))
        if not now.job_booked:
            return None
        return JobWeek(
            job,
            card.title,
            self.book.setting("yard.currency", ""),
            self._opened(self._lines(job, measured, now)),
        )

    def _lines(self, job: str, measured: Measured, now: Performance) -> Iterator[WeekRemark | None]:
        """Yield the lines of a job: it is measured once for the week and once for that before."""
        then = measured.on(self.last - WEEK)
        yield self._hours(job)
        yield self._to_date(job, now)
        yield self._sheets(job, now)
        yield self._looked_into(job)
        yield self._attention(job, measured)
        yield self._indices(job, now, then)
        yield self._final(job, measured, then)
        yield self._finish(job, now)
        yield from self._key_dates(job, now)
        yield self._claimable(job, measured)

    def _opens(self, command: str, job: str = "") -> Opens:
        return Opens(command, job, self.last)

    def _hours(self, job: str | None) -> WeekRemark:
        now = hours_booked(self.book, HoursAsked(self.first, self.last, job, "week")).rows
        earlier = HoursAsked(self.first - WEEK, self.last - WEEK, job, "week")
        then = hours_booked(self.book, earlier).rows
        sums = {
            name: (
                _h(sum(getattr(row, f"{name}ms") for row in now)),
                _h(sum(getattr(row, f"{name}ms") for row in then)),
            )
            for name in ("", "saturday_")
        }
        return WeekRemark(
            "hours",
            (
                Figure("booked", *sums[""], "hours"),
                Figure("saturday", *sums["saturday_"], "saturday_hours"),
            ),
            Opens("hours", job or "", None, self.first, self.last),
        )

    def _to_date(self, job: str, now: Performance) -> WeekRemark:
        booked, final = now.job_booked, now.anticipated_final
        return WeekRemark(
            "to_date",
            (
                Figure("booked", _h(booked), None, "incomplete/booked_hours"),
                Figure("final", _h(final), None, "anticipated_final"),
            ),
            self._opens("performance", job),
        )

    def _sheets(self, job: str, now: Performance) -> WeekRemark:
        complete = now.completeness
        return WeekRemark(
            "sheets",
            (
                Figure("in", complete.sheets_in, None, "incomplete/sheets_in"),
                Figure("expected", len(complete.sheets), None, "incomplete/sheets_expected"),
                Figure("held", _h(complete.held_ms), None, "incomplete/held_hours"),
                Figure("untagged", _h(complete.untagged_ms), None, "incomplete/untagged_hours"),
            ),
            self._opens("performance", job),
        )

    def _looked_into(self, job: str) -> WeekRemark:
        figure = Figure("count", self._doubts.get(job, 0), None, "doubts/#severity=warn")
        return WeekRemark("doubts", (figure,), self._opens("doubts", job))

    def _attention(self, job: str, measured: Measured) -> WeekRemark:
        listed = ListedChanges(self.book, job, self.last, measured).result()
        codes = tuple(each.standing.change.code for each in listed.worst_first)
        return WeekRemark(
            "attention",
            (
                Figure("count", len(codes), None, "changes/#attention"),
                Figure("changes", len(listed.changes), None, "changes/#"),
            ),
            self._opens("changes", job),
            codes,
        )

    def _indices(self, job: str, now: Performance, then: Measured) -> WeekRemark:
        before = row_of(list(then.cells.values()))
        figures = [
            Figure(
                "cpi",
                _index(now.rows[0].figures["cpi"]),
                _index(before.figures["cpi"]),
                "rows/0/cpi",
            ),
            Figure(
                "spi_time",
                _index(now.time.spi_time),
                _index(then.time.spi_time),
                "time/spi_time",
            ),
        ]
        return WeekRemark("indices", tuple(figures), self._opens("performance", job))

    def _final(self, job: str, now: Measured, then: Measured) -> WeekRemark | None:
        """Return the anticipated final with the steps that moved it most in the week."""
        steps, before = (
            OverrunExplained(measured).result().steps.amounts for measured in (now, then)
        )
        moved = sorted(STEPS[:-1], key=lambda step: (-abs(steps[step] - before[step]), step))
        steps_moved = [step for step in moved[:MOVED_MOST] if steps[step] != before[step]]
        figures = [
            Figure(step, _h(steps[step]), _h(before[step]), f"steps/step={step}/amount")
            for step in (STEPS[-1], *steps_moved)
        ]
        return WeekRemark("final", tuple(figures), self._opens("overrun", job), tuple(steps_moved))

    def _finish(self, job: str, now: Performance) -> WeekRemark:
        outlook = now.outlook
        return WeekRemark(
            "finish",
            (
                Figure("forecast", now.time.forecast_finish, None, "time/forecast_finish"),
                Figure("finished", now.time.finished_on, None, "time/finished_on"),
                Figure(
                    "completion",
                    outlook.completion.moved_to,
                    None,
                    "time/completion_date_with_days_granted",
                ),
                Figure(
                    "late", outlook.late_by_granted, None, "time/late_by_days_with_days_granted"
                ),
            ),
            self._opens("performance", job),
        )

    def _key_dates(self, job: str, now: Performance) -> Iterator[WeekRemark]:
        for number, each in enumerate(now.outlook.key_dates):
            if each.to_go_ms:
                at = f"time/key_dates/{number}"
                yield WeekRemark(
                    "key_date",
                    (
                        Figure("date", each.day, None, f"{at}/date"),
                        Figure("to_go", _h(each.to_go_ms), None, f"{at}/to_go_hours"),
                        Figure("misses_by", each.misses_by, None, f"{at}/misses_by_days"),
                    ),
                    self._opens("performance", job),
                    (each.name,),
                )

    def _claimable(self, job: str, measured: Measured) -> WeekRemark | None:
        """Return what may be claimed; nothing while a change cannot be priced."""
        try:
            claim = claimable(self.book, job, self.last, measured.baseline)
        except Refused:
            return None
        figure = Figure("due", claim.sums.due, None, "due")
        return WeekRemark("claimable", (figure,), self._opens("claimable", job))

    def of_yard(self) -> tuple[WeekRemark, ...]:
        """Return what is of all jobs together: hours, pay and long hours."""
        return self._opened((self._hours(None), self._pay(), self._long_hours()))

    def _opened(self, lines: Iterable[WeekRemark | None]) -> tuple[WeekRemark, ...]:
        """Return lines with the words of the commands that open them."""
        command_of = self.commands.opens
        return tuple(replace(each, opened_by=command_of(each.opens)) for each in lines if each)

    def _pay(self) -> WeekRemark:
        start = self.last - PAY_SPAN
        every = reconciled(self.book, start, self.last)
        rows = [row for row in every if not row.is_settled]
        left = sum(abs(row.unexplained_ms) for row in rows)
        unpaid = sum(-ms for row in every for reason, ms in row.reasons if reason == "unpaid")
        return WeekRemark(
            "pay",
            (
                Figure("open", len(rows), None, "rows/#settled=False"),
                Figure("hours", _h(left)),
                Figure("unpaid", _h(unpaid)),
            ),
            Opens("reconciliation", "", None, start, self.last),
        )

    def _long_hours(self) -> WeekRemark:
        rows = hours_booked(self.book, HoursAsked(self.first, self.last, None, "week")).rows
        long = [row for row in rows if row.worked_ms > WEEK_HOURS * 3_600_000]
        figure = Figure("people", len(long), None, f"rows/worked_hours>{WEEK_HOURS}")
        workers = tuple(row.worker_id for row in sorted(long, key=lambda row: -row.worked_ms))
        return WeekRemark(
            "long_hours", (figure,), Opens("hours", "", None, self.first, self.last), workers
        )


def _h(ms: int | None) -> Decimal | None:
    return None if ms is None else hours_of(ms)


def _index(value: Fraction | int | None) -> Decimal | None:
    return None if value is None else to_places(value, 3)
