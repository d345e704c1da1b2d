"""A job over time: planned, earned and booked by week or month, in one pass over its facts."""

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cached_property
from itertools import accumulate
from typing import NamedTuple

from ledger.baseline.job_baseline import CellFacts
from ledger.domain.calendar import last_days
from ledger.domain.measures import NO_AC, NO_BUDGET, NO_PV, index
from ledger.domain.schedule import TimeFigures, time_figures
from ledger.jobs.periods import closings
from ledger.outcomes import Reason
from ledger.performance.actuals import Booked
from ledger.performance.basis import Basis, Scope
from ledger.performance.grouping import in_order, key_of, kind_of, last_rows, place_of
from ledger.performance.measure import Measured, why_no_cost
from ledger.performance.report import Asked
from ledger.performance.unapproved import Unapproved
from ledger.store.book import Book

EVERY = ("week", "month")
ByDay = dict[date, int]


@dataclass(frozen=True)
class SeriesAsked(Asked):
    """What to show over time: as for one date, by week or month, as known now or then."""

    every: str = "week"
    as_known_then: bool = False

    @property
    def scope(self) -> Scope:
        """Return what is measured; there has to be a status date."""
        assert self.status_date is not None
        original = self.baseline == "original"
        return Scope(self.status_date, self.unit, original, every=self.every)


class SeriesRow(NamedTuple):
    """One key at the end of one period: whole units, cumulative and gained in the period."""

    key: str
    period_end: date
    bac: int
    pv: int
    ev: int
    ac: int
    pv_in_period: int
    ev_in_period: int
    ac_in_period: int

    @property
    def spi(self) -> Fraction | None:
        return index(self.ev, self.pv) if self.bac else None

    @property
    def cpi(self) -> Fraction | None:
        return index(self.ev, self.ac) if self.bac else None

    @property
    def undefined(self) -> dict[str, Reason]:
        """Return why an index is not defined, by its name."""
        whys = {"spi": NO_PV if self.bac else NO_BUDGET, "cpi": NO_AC if self.bac else NO_BUDGET}
        return {name: why for name, why in whys.items() if getattr(self, name) is None}


@dataclass(frozen=True)
class Curve:
    """One key over time: BAC, and PV, EV and AC cumulative, at the end of each period."""

    bac: list[int]
    pv: list[int]
    ev: list[int]
    ac: list[int]


@dataclass(frozen=True)
class Series:
    """Everything `fairhours series` says; `known_at` is the batch that each period is known at.

    `to_come` is PV, cumulative, at the ends of the periods after the status date.
    """

    asked: SeriesAsked
    status_date: date
    ends: list[date]
    curves: dict[str, Curve]
    to_come: dict[str, ByDay]
    known_at: list[int]
    undefined: Reason | None = None

    @property
    def rows(self) -> Iterator[SeriesRow]:
        """Yield a row for each key and period, by key."""
        for key, curve in self.curves.items():
            columns = (curve.pv, curve.ev, curve.ac)
            gained = map(_gained, columns)
            yield from map(
                SeriesRow._make,
                zip([key] * len(self.ends), self.ends, curve.bac, *columns, *gained, strict=True),
            )


NOTHING = Curve([0], [0], [0], [0])


def _gained(cumulative: list[int]) -> list[int]:
    return [now - before for now, before in zip(cumulative, [0, *cumulative], strict=False)]


def series(book: Book, asked: SeriesAsked) -> Series:
    """Return a job over time up to its status date, of which there has to be one.

    The scope of the status date holds at every earlier date. As known then, each period has the
    scope of its own end, and what the book knew when it was closed, else by the end of its last
    day; periods before the book had the job are left out.
    """
    over_time = OverTime(book, asked)
    return over_time.as_known_then if asked.as_known_then else over_time.series


class OverTime(Basis):
    """A job in a scope over time: what each row gained in each period."""

    def __init__(self, book: Book, asked: SeriesAsked) -> None:
        super().__init__(book, asked.job, asked.scope)
        self.asked = asked

    @cached_property
    def series(self) -> Series:
        """Return the job over time as the book is read."""
        why = self._why_no_cost
        if why:
            return Series(self.asked, self.day, [], {}, {}, [], why)
        ends = self.ends
        periods = _Periods(ends)
        curves = {key: self._curve(key, periods) for key in self.keys}
        known_at = [self.book.upto] * len(ends)
        return Series(self.asked, self.day, ends, curves, self._to_come, known_at)

    @property
    def as_known_then(self) -> Series:
        """Return the job over time, each period as it was known then."""
        return _as_known_then(self)

    @cached_property
    def _why_no_cost(self) -> Reason | None:
        if self.scope.unit != "cost" or not why_no_cost(self, Unapproved(self)):
            return None
        # Named is the day without a rate, not its week.
        return Measured(self.book, self.job, replace(self.scope, every="day")).undefined_cost

    @cached_property
    def ends(self) -> list[date]:
        """Return the last day of each period from the first with any figure to the status date.

        What was booked before the contract stands in the first period: a mistyped year must not
        bring rows of years.
        """
        planned, earned, booked = (
            min((day for days in sums.values() for day in days), default=self.day)
            for sums in (self._pv, self._ev, self._ac)
        )
        first = min(planned, earned, max(booked, self.baseline.card.contract_date))
        start = self.baseline.calendar.week_start
        return last_days(min(first, self.day), self.day, self.asked.every, start)

    @cached_property
    def keys(self) -> list[str]:
        """Return the keys of the rows, in order."""
        if self.asked.by == "job":
            return [self.job]
        return in_order({*self._bac, *self._pv, *self._ev, *self._ac, *last_rows(self)})

    def key(self, part: str, trade: str | None, kind: str) -> str:
        """Return the row that a part and trade belong to."""
        by = self.asked.by
        return self.job if by == "job" else key_of(place_of(self, part, trade, kind), by)

    @cached_property
    def _cells(self) -> list[tuple[str, CellFacts]]:
        """Return each budget that counts, with its row."""
        original = self.scope.original
        return [
            (self.key(facts.part, facts.trade, facts.package_kind), facts)
            for facts in self.measured
            if facts.frozen or not original
        ]

    @cached_property
    def _bac(self) -> dict[str, int]:
        sums: dict[str, int] = defaultdict(int)
        for key, facts in self._cells:
            changes = facts.frozen if self.scope.original else facts.changes
            sums[key] += sum(self.amount(change.ms, change.cost) for change in changes)
        return sums

    @cached_property
    def _pv(self) -> dict[str, ByDay]:
        """Return what each row has planned, by periods, those after the status date too."""
        sums: dict[str, ByDay] = defaultdict(lambda: defaultdict(int))
        for key, facts in self._cells:
            self._add_plan(sums[key], facts)
        return sums

    def _add_plan(self, sums: ByDay, facts: CellFacts) -> None:
        plan = facts.original_plan if self.scope.original else facts.plan
        for day, (ms, cost) in plan.items():
            sums[day] += self.amount(ms, cost)

    @cached_property
    def _ev(self) -> dict[str, ByDay]:
        """Return what each row earned, by days."""
        sums: dict[str, ByDay] = defaultdict(lambda: defaultdict(int))
        for (key, _), steps in zip(self._cells, self._steps, strict=True):
            self._add_gained(sums[key], steps)
        return sums

    @cached_property
    def _steps(self) -> list[list[tuple[date, int, int | None]]]:
        """Return what each budget earned, cumulative, as of the days on which it changes.

        In ms and in cost units.
        """
        original = self.scope.original
        return [self.baseline.earned_steps(facts, original=original) for _, facts in self._cells]

    def _add_gained(self, sums: ByDay, steps: list[tuple[date, int, int | None]]) -> None:
        """Add what each step brings beyond the one before."""
        before, in_hours = 0, self.scope.unit == "hours"
        for day, ms, cost in steps:
            amount = ms if in_hours else self.amount(ms, cost)
            sums[day] += amount - before
            before = amount

    @cached_property
    def _ac(self) -> dict[str, ByDay]:
        """Return what was booked to each row, by periods."""
        kinds = {facts.part: facts.package_kind for facts in self.measured}
        keys: dict[tuple[str, str | None], str] = {}
        sums: dict[str, ByDay] = defaultdict(lambda: defaultdict(int))
        for part, trade, day, amount in self._booked:
            key = keys.get((part, trade))
            if key is None:
                kind = kinds.get(part) or kind_of(self, part)
                key = "" if self.left_out(part) else self.key(part, trade, kind)
                keys[part, trade] = key
            if key:
                sums[key][day] += amount
        return sums

    @property
    def _booked(self) -> Iterable[tuple[str, str | None, date, int]]:
        """Return what was booked by place, period and, where it counts, trade worked."""
        if self.scope.unit == "cost" or self.asked.by == "trade":
            return map(_as_booked, [*self.actuals.booked, *self.premium])
        asked = {"job": self.job, "status_date": self.day, "every": self.asked.every}
        start = self.baseline.calendar.week_start
        rows = self.book.rows("performance/booked_by_period", week_start=start, **asked)
        return ((part, None, day, ms) for part, day, ms in rows)

    def _curve(self, key: str, periods: "_Periods") -> Curve:
        bac = [self._bac.get(key, 0)] * len(periods.ends)
        sums = (each.get(key, {}) for each in (self._pv, self._ev, self._ac))
        return Curve(bac, *map(periods.cumulative, sums))

    @property
    def _to_come(self) -> dict[str, ByDay]:
        """Return PV of each row at the ends of the periods after the status date."""
        found = {}
        for key in self.keys:
            planned = sorted(self._pv.get(key, {}).items())
            running = accumulate(amount for _, amount in planned)
            totals = zip((day for day, _ in planned), running, strict=True)
            found[key] = {day: total for day, total in totals if day > self.day}
        return found

    @property
    def time(self) -> list[TimeFigures]:
        """Return where the job stood in time at the end of each week, without level of effort.

        There is none by month, as time is measured in weeks.
        """
        if self.asked.every != "week" or self._why_no_cost:
            return []
        plan: ByDay = defaultdict(int)
        earned: ByDay = defaultdict(int)
        for (_, facts), steps in zip(self._cells, self._steps, strict=True):
            if not self.is_level_of_effort(facts.part, facts.package_kind):
                self._add_plan(plan, facts)
                self._add_gained(earned, steps)
        totals = zip(self.ends, _Periods(self.ends).cumulative(earned), strict=True)
        calendar = self.baseline.calendar
        return [time_figures(plan, total, calendar, end) for end, total in totals]


def _as_booked(booked: Booked) -> tuple[str, str | None, date, int]:
    return booked.part, booked.trade, booked.day, booked.amount


class _Periods(dict[date, int]):
    """The number of the period that a day lies in, by day; days after the last have the next."""

    def __init__(self, ends: list[date]) -> None:
        super().__init__()
        self.ends = ends

    def __missing__(self, day: date) -> int:
        self[day] = bisect_left(self.ends, day)
        return self[day]

    def cumulative(self, days: Mapping[date, int]) -> list[int]:
        """Return what was gained by the end of each period; days after the last do not count."""
        gained = [0] * (len(self.ends) + 1)
        for day, amount in days.items():
            gained[self[day]] += amount
        return list(accumulate(gained[:-1]))


def _as_known_then(now: OverTime) -> Series:
    """Return a job over time, each period as it was known then."""
    found: list[Series] = []
    for end, upto in _known_by(now.book, now.ends):
        then = now.book.known_by(upto)
        if then.rows("jobs/job_card", job=now.job):
            # A month is the coarsest there is: only its end is asked for.
            asked = replace(now.asked, status_date=end, every="month", as_known_then=False)
            found.append(OverTime(then, asked).series)
    why = next((each.undefined for each in found if each.undefined), None)
    if why:
        return Series(now.asked, now.day, [], {}, {}, [], why)
    keys = in_order({key for each in found for key in each.curves})
    return Series(
        now.asked,
        now.day,
        [each.status_date for each in found],
        {key: _joined([each.curves.get(key, NOTHING) for each in found]) for key in keys},
        {},
        [each.known_at[-1] for each in found],
    )


def _joined(curves: list[Curve]) -> Curve:
    """Return the last amounts of some curves as one."""
    return Curve(*([getattr(each, name)[-1] for each in curves] for name in Curve.__annotations__))


def _known_by(book: Book, ends: list[date]) -> Iterator[tuple[date, int]]:
    """Yield each period with the last batch that it is known at, 0 before there was any.

    That is the one at which its period was closed, else the last by the end of its last day; none
    is later than what is read.
    """
    closed = closings(book)
    read = book.upto
    for end in ends:
        sequence = next((each.sequence for each in closed if end <= each.closed_to), None)
        yield end, min(read, book.last_by(end) if sequence is None else sequence)
