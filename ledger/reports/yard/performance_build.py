"""The performance report made from the book: the job's figures, its weeks, what matters most."""

import json
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import to_places
from ledger.domain.doubts import KINDS
from ledger.domain.key_dates import TradeReach
from ledger.domain.measures import Figure
from ledger.outcomes import Outcome
from ledger.performance.basis import Scope
from ledger.performance.forecast_range import FORMULAS, ForecastRange
from ledger.performance.measure import Measured
from ledger.performance.notes import open_notes
from ledger.performance.report import Performance, PerformanceAsked, PerformanceRow, performance
from ledger.performance.series import OverTime, SeriesAsked
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import stamp_of, yard_of
from ledger.reports.yard.performance import (
    AccountWeek,
    DoubtsOfKind,
    ForecastBy,
    Implausible,
    KeyDateShown,
    LabourFigures,
    OutsideShown,
    PerformanceReport,
    PlannedWeek,
    TimeStanding,
    TradeNeed,
    WeekStanding,
)
from ledger.sheets.doubts import doubts_known
from ledger.store.book import Book

MOST_PACKAGES = 10
AMOUNTS = ("bac", "pv", "ev", "ac", "eac")
Words = Callable[[Outcome], str]


@dataclass(frozen=True)
class ReportAsked:
    """The job and the day, and the end of the day's period if that is closed."""

    job: str
    day: date
    closed_to: date | None = None


def build_performance(
    book: Book, asked: ReportAsked, words: Words, commands: Commands = NONE
) -> PerformanceReport:
    """Return the performance of a job's labour by a day.

    `words` says why a figure is as it is; `commands` has the words of the one that makes it again.
    """
    return _Building(book, asked, words).report(commands)


class _Building:
    def __init__(self, book: Book, asked: ReportAsked, words: Words) -> None:
        self.book, self.asked, self.words = book, asked, words
        self.measured = Measured(book, asked.job, Scope(asked.day))
        self.baseline = self.measured.baseline
        self.known = self._performance("job")
        self.row = self.known.rows[0]

    def _performance(self, by: str) -> Performance:
        return performance(self.book, PerformanceAsked(self.asked.job, self.asked.day, by=by))

    def report(self, commands: Commands) -> PerformanceReport:
        job, day = self.asked.job, self.asked.day
        stamp = stamp_of(self.book)
        known, forecast = self.known, self.known.forecast
        assert known.anticipated_final is not None
        weeks, to_come, account_weeks = self._weeks()
        return PerformanceReport(
            yard=yard_of(self.book),
            job=job,
            title=self.baseline.card.title,
            status_date=day,
            closed_to=self.asked.closed_to,
            known_at=stamp,
            remade_by=commands.makes(Remade("performance", stamp.sequence, day, job)),
            rehearsal=self.book.rehearsal,
            whole=self._figures(self.row),
            percent_complete=_ratio(self.row.figures["percent_complete"], 1),
            tcpi_bac=_ratio(self.row.figures["tcpi_bac"]),
            tcpi_eac=_ratio(self.row.figures["tcpi_eac"]),
            method=self.words(forecast.method.reason) if forecast else "",
            forecast_range_ms=_range(forecast),
            forecasts=tuple(self._forecasts()),
            outside=tuple(map(_outside, known.outside)),
            anticipated_final_ms=known.anticipated_final,
            time=self._time(),
            weeks=weeks,
            to_come=to_come,
            account_weeks=account_weeks,
            accounts=tuple(map(self._figures, self._performance("control-account").rows)),
            packages=tuple(self._packages()),
            key_dates=tuple(self._key_dates()),
            incomplete=tuple(map(self.words, known.incomplete)),
            cpi_with_missing=_ratio(known.cpi_with_missing.get(job)),
            notes=tuple(self._notes()),
            doubts=tuple(self._doubts()),
        )

    def _figures(self, row: PerformanceRow) -> LabourFigures:
        bac, pv, ev, ac, eac = (_whole(row.figures[name]) for name in AMOUNTS)
        cpi, spi = _ratio(row.figures["cpi"]), _ratio(row.figures["spi"])
        return LabourFigures(row.key, self._title(row.key), bac, pv, ev, ac, eac, cpi, spi)

    def _title(self, key: str) -> str:
        change = self.baseline.changes.get(key)
        if change is not None:
            return str(change.facts["title"])
        package = self.baseline.package(key)
        return package["title"] if package else ""

    def _forecasts(self) -> Iterator[ForecastBy]:
        for name in FORMULAS:
            value = self.row.figures[name]
            why = self.row.undefined.get(name)
            yield ForecastBy(
                name, None if value is None else _whole(value), self.words(why) if why else ""
            )

    def _weeks(
        self,
    ) -> tuple[tuple[WeekStanding, ...], tuple[PlannedWeek, ...], tuple[AccountWeek, ...]]:
        """Return the job week by week, what is planned after, and the accounts by week."""
        job = self.asked.job
        over_time = OverTime(self.book, SeriesAsked(job, self.asked.day))
        series = over_time.series
        weeks = tuple(
            WeekStanding(
                row.period_end,
                row.pv,
                row.ev,
                row.ac,
                _ratio(row.cpi),
                _ratio(row.spi),
                _ratio(time.spi_time),
            )
            for row, time in zip(series.rows, over_time.time, strict=True)
        )
        to_come = tuple(PlannedWeek(end, pv) for end, pv in sorted(series.to_come[job].items()))
        by = OverTime(self.book, SeriesAsked(job, self.asked.day, by="control-account"))
        rows = (AccountWeek(r.key, r.period_end, r.pv, r.ev, r.ac) for r in by.series.rows)
        return weeks, to_come, tuple(rows)

    def _time(self) -> TimeStanding:
        time, outlook = self.known.time, self.known.outlook
        weeks = ("earned_schedule", "actual_time", "spi_time", "planned_duration")
        return TimeStanding(
            **{name: _ratio(getattr(time, name)) for name in weeks},
            planned_finish=self.baseline.card.planned_finish,
            forecast_finish=None if time.finished_on else time.forecast_finish,
            finished_on=time.finished_on,
            completion_date=outlook.completion.agreed,
            completion_with_days=outlook.completion.moved_to,
            days_granted=outlook.completion.days_granted,
            late_by=outlook.late_by,
            late_by_with_days=outlook.late_by_granted,
            spi_doubt=self.words(outlook.spi_doubt) if outlook.spi_doubt else "",
        )

    def _packages(self) -> Iterator[LabourFigures]:
        """Yield the packages and changes with the most hours at stake, ten at most, worst first."""
        rows = [
            row
            for row in map(self._figures, self._performance("work-package").rows)
            if row.at_stake_ms > 0
            and (row.key in self.baseline.changes or self.baseline.package(row.key))
        ]
        yield from sorted(rows, key=lambda row: (-row.at_stake_ms, row.key))[:MOST_PACKAGES]

    def _key_dates(self) -> Iterator[KeyDateShown]:
        """Yield the key dates with what of their packages is complete, by their days."""
        wanted = {
            each["name"]: set(each["packages"]) for each in json.loads(self.baseline.card.key_dates)
        }
        is_open = {cell.part for cell in self.measured.cells.values() if not cell.as_part.complete}
        for each in self.known.outlook.key_dates:
            packages = wanted[each.name]
            yield KeyDateShown(
                each.name,
                each.day,
                len(packages),
                len(packages - is_open),
                tuple(map(_need, each.trades)),
                each.reached_on,
                each.misses_by,
                self.words(each.why) if each.why else "",
            )

    def _notes(self) -> Iterator[Implausible]:
        """Yield what of the figures is worth a second look; before the freeze there is nothing."""
        if any(facts.frozen for facts in self.baseline.cells.values()):
            for note in open_notes(self.measured):
                yield Implausible(self.words(note.reason), note.rule, note.source)

    def _doubts(self) -> Iterator[DoubtsOfKind]:
        """Yield the open doubts about the job by kind, the gravest first."""
        known = [
            (each["severity"], each["kind"])
            for each in doubts_known(self.book)
            if not each["settled_by"] and self.asked.job in each["jobs"]
        ]
        for (severity, kind), count in Counter(known).items():
            yield DoubtsOfKind(kind, severity, KINDS[kind][1], count)


def _outside(row: PerformanceRow) -> OutsideShown:
    return OutsideShown(row.key, *(_whole(row.figures[name]) for name in ("bac", "ac", "eac")))


def _need(reach: TradeReach) -> TradeNeed:
    return TradeNeed(
        reach.trade or "no trade",
        reach.to_go_ms,
        to_places(reach.weeks_left, 1),
        None if reach.needed is None else to_places(reach.needed, 1),
        to_places(reach.people.count, 1),
    )


def _range(forecast: ForecastRange | None) -> tuple[int, int] | None:
    """Return the ends of the range in whole units; of a job without any budget there is nothing."""
    if forecast is None:
        return 0, 0
    spread = forecast.spread
    return (_whole(spread.low), _whole(spread.high)) if spread else None


def _whole(value: Figure) -> int:
    return int(to_places(value, 0)) if value is not None else 0


def _ratio(value: Figure, places: int = 6) -> Decimal | None:
    return None if value is None else to_places(Fraction(value), places)
