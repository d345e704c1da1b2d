"""All jobs of a yard on one page, made from the book: the week's lines, money, curves, steps."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from ledger.billing.account import account
from ledger.domain.overrun import STEPS
from ledger.errors import Refused
from ledger.performance.basis import Scope
from ledger.performance.change_list import ListedChanges
from ledger.performance.measure import Measured
from ledger.performance.overrun import OverrunExplained
from ledger.performance.report import PerformanceAsked, performance
from ledger.performance.series import SeriesAsked, series
from ledger.reports.commands_named import NONE, Commands, Opens, Remade
from ledger.reports.yard.overview import JobOverview, Overview, StepTold, WeekEnd
from ledger.reports.yard.week import Figure, JobWeek, WeekRemark
from ledger.reports.yard.week_build import build_week
from ledger.store.book import Book


def build_overview(book: Book, last: date, commands: Commands = NONE) -> Overview:
    """Return all jobs with hours as they stand at the end of the week that ends on a day."""
    week = build_week(book, last, commands=commands)
    made = _Jobs(book, last, commands)
    return Overview(
        yard=week.yard,
        first=week.first,
        last=last,
        known_at=week.known_at,
        remade_by=commands.makes(Remade("overview", week.known_at.sequence, last)),
        rehearsal=week.rehearsal,
        currency=book.setting("yard.currency", ""),
        jobs=tuple(map(made.of_job, week.jobs)),
        of_yard=week.of_yard,
    )


@dataclass(frozen=True)
class _Jobs:
    book: Book
    last: date
    commands: Commands

    def of_job(self, week: JobWeek) -> JobOverview:
        added = (self._missed(week.job), self._sums(week.job), *self._account(week.job))
        lines = (replace(each, opened_by=self.commands.opens(each.opens)) for each in added)
        return JobOverview(
            lines_of=replace(week, lines=(*week.lines, *lines)),
            weeks=tuple(self._weeks(week.job)),
            weeks_opened_by=self.commands.opens(self._opens("series", week.job)),
            steps=tuple(self._steps(week.job)),
            steps_opened_by=self.commands.opens(self._opens("overrun", week.job)),
        )

    def _opens(self, command: str, job: str) -> Opens:
        return Opens(command, job, self.last)

    def _missed(self, job: str) -> WeekRemark:
        """Return how many key dates will be missed as the work goes on."""
        dates = performance(self.book, PerformanceAsked(job, self.last)).outlook.key_dates
        missed = tuple(each.name for each in dates if each.misses_by)
        figures = (
            Figure("count", len(missed), None, "time/key_dates/#misses_by_days"),
            Figure("dates", len(dates), None, "time/key_dates/#"),
        )
        return WeekRemark("missed", figures, self._opens("performance", job), missed)

    def _sums(self, job: str) -> WeekRemark:
        """Return the contract sum as it moved; not known while a change cannot be priced."""
        sums = ListedChanges(self.book, job, self.last).result().sums
        figures = (
            Figure("adjusted", sums.adjusted if sums else None, None, "adjusted_sum"),
            Figure(
                "final", sums.anticipated_final if sums else None, None, "anticipated_final_sum"
            ),
        )
        return WeekRemark("sums", figures, self._opens("changes", job))

    def _account(self, job: str) -> Iterator[WeekRemark]:
        """Yield what the owner owes; nothing while a change cannot be priced."""
        try:
            to_date = account(self.book, job, self.last)
        except Refused:
            return
        figure = Figure("outstanding", to_date.outstanding, None, "outstanding")
        yield WeekRemark("account", (figure,), self._opens("account", job))

    def _weeks(self, job: str) -> Iterator[WeekEnd]:
        job_series = series(self.book, SeriesAsked(job, self.last))
        for row in job_series.rows:
            yield WeekEnd(row.period_end, row.pv, row.ev, row.ac)
        for end, planned in job_series.to_come.get(job, {}).items():
            yield WeekEnd(end, planned)

    def _steps(self, job: str) -> Iterator[StepTold]:
        steps = OverrunExplained(Measured(self.book, job, Scope(self.last))).result().steps.amounts
        for step in STEPS:
            yield StepTold(step, steps[step])
