"""A job over time: planned, earned and booked by week or month, in one pass over its facts."""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import cache, cached_property
from itertools import accumulate, chain
from operator import sub
from typing import NamedTuple, TypeVar

from ledger.baseline.job_baseline import CellFacts
from ledger.domain.calendar import Periods
from ledger.domain.earned_value import EarnedSteps
from ledger.domain.measures import NO_AC, NO_BUDGET, NO_PV, index
from ledger.domain.schedule import TimeFigures, time_figures
from ledger.jobs.periods import closings
from ledger.outcomes import Reason
from ledger.performance.basis import Basis, Scope
from ledger.performance.grouping import in_order, key_of, kind_of, last_rows, place_of
from ledger.performance.job_time import Standing, finished_on
from ledger.performance.measure import Measured, why_no_cost
from ledger.performance.report import PerformanceAsked
from ledger.performance.unapproved import Unapproved
from ledger.store.book import Book

EVERY = ("week", "month")
ByDay = dict[date, int]
# Whole units by the number of a period.
ByPeriod = dict[int, int]
# A day, or the number of a period.
Of = TypeVar("Of", date, int)


@dataclass(frozen=True)
class SeriesAsked(PerformanceAsked):
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


class Curve(NamedTuple):
    """One key over time: BAC, and PV, EV and AC cumulative, at the end of each period."""

    bac: list[int]
    pv: list[int]
    ev: list[int]
    ac: list[int]


class Gained(NamedTuple):
    """What periods bring of BAC, PV, EV and AC, by their numbers; most bring nothing."""

    bac: ByPeriod
    pv: ByPeriod
    ev: ByPeriod
    ac: ByPeriod


@dataclass(frozen=True)
class Series:
    """Everything `fairhours series` says; `known_at` is the batch that each period is known at.

    `gained` has what each key gained in periods, the first of which has the number `first`,
    `to_come` PV, cumulative, at the ends of the periods after the status date.
    """

    asked: SeriesAsked
    status_date: date
    ends: list[date]
    gained: dict[str, Gained]
    to_come: dict[str, ByDay]
    known_at: list[int]
    first: int = 0
    undefined: Reason | None = None

    @cached_property
    def curves(self) -> dict[str, Curve]:
        """Return each key over time."""
        numbers = range(self.first, self.first + len(self.ends))
        return {
            key: Curve(*(_cumulative(amounts, numbers) for amounts in gained))
            for key, gained in self.gained.items()
        }

    @property
    def rows(self) -> Iterator[SeriesRow]:
        """Yield a row for each key and period, by key."""
        for key, curve in self.curves.items():
            columns = (curve.pv, curve.ev, curve.ac)
            gained = map(_differences, columns)
            yield from map(
                SeriesRow._make,
                zip([key] * len(self.ends), self.ends, curve.bac, *columns, *gained, strict=True),
            )


NOTHING = Gained({}, {}, {}, {})


def _cumulative(gained: ByPeriod, numbers: range) -> list[int]:
    """Return what was gained by the end of each period."""
    each = [0] * len(numbers)
    for number, amount in gained.items():
        each[number - numbers.start] = amount
    return list(accumulate(each))


def _differences(cumulative: list[int]) -> list[int]:
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
            return Series(self.asked, self.day, [], {}, {}, [], undefined=why)
        ends = self.ends
        gained = {key: self._gained(key) for key in self.keys}
        known_at = [self.book.upto] * len(ends)
        return Series(self.asked, self.day, ends, gained, self._to_come, known_at, self._first)

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
    def periods(self) -> Periods:
        """Return the periods by number, counted to the status date."""
        return Periods(self.asked.every, self.day, self.baseline.calendar.week_start)

    @cached_property
    def _number(self) -> Callable[[date], int]:
        """Return the number of a day's period, worked out once for each day."""
        return cache(self.periods.number)

    @cached_property
    def _first(self) -> int:
        """Return the number of the first period with any figure.

        What was booked before the contract stands in the first period: a mistyped year must not
        bring rows of years.
        """
        last = self.periods.last
        planned, earned, booked = (
            min((min(periods) for periods in sums.values() if periods), default=last)
            for sums in (self._pv, self._ev, self._ac)
        )
        begun = self.periods.number(self.baseline.card.contract_date)
        return min(planned, earned, max(booked, begun), last)

    @property
    def ends(self) -> list[date]:
        """Return the last day of each period from the first with any figure to the status date."""
        return self.periods.ends(self._first)

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
            if not original or facts.frozen
        ]

    @cached_property
    def _bac(self) -> dict[str, int]:
        sums: dict[str, int] = defaultdict(int)
        for key, facts in self._cells:
            changes = facts.frozen if self.scope.original else facts.changes
            sums[key] += sum(self.amount(change.ms, change.cost) for change in changes)
        return sums

    @cached_property
    def _pv(self) -> dict[str, ByPeriod]:
        """Return what each row has planned, by periods, those after the status date too."""
        sums: dict[str, ByPeriod] = defaultdict(lambda: defaultdict(int))
        for key, facts in self._cells:
            planned = self._planned(facts)
            _add(sums[key], map(self._number, planned), planned.values())
        return sums

    def _planned(self, facts: CellFacts) -> ByDay:
        """Return what a budget has planned, by the last days of periods."""
        plan = facts.original_plan if self.scope.original else facts.plan
        if self.scope.unit == "hours":
            return {day: ms for day, (ms, _) in plan.items()}
        return {day: self.amount(ms, cost) for day, (ms, cost) in plan.items()}

    @cached_property
    def _ev(self) -> dict[str, ByPeriod]:
        """Return what each row earned, by periods."""
        sums: dict[str, ByPeriod] = defaultdict(lambda: defaultdict(int))
        for (key, _), steps in zip(self._cells, self._steps, strict=True):
            self._add_gained(sums[key], steps)
        return sums

    @cached_property
    def _steps(self) -> list[EarnedSteps]:
        """Return what each budget earned, cumulative, as of the days on which it changes.

        In ms and in cost units.
        """
        original = self.scope.original
        return [self.baseline.earned_steps(facts, original=original) for _, facts in self._cells]

    def _add_gained(self, sums: ByPeriod, steps: EarnedSteps) -> None:
        """Add what is earned by the end of each period beyond that of the one before."""
        in_hours = self.scope.unit == "hours"
        amounts = steps.ms if in_hours else map(self.amount, steps.ms, steps.costs)
        numbers = map(self._number, steps.days)
        earned = dict(zip(numbers, amounts, strict=True))  # Of a period the last step counts.
        _add(sums, earned, map(sub, earned.values(), chain((0,), earned.values())))

    @cached_property
    def _ac(self) -> dict[str, ByPeriod]:
        """Return what was booked to each row, by periods."""
        kinds = {facts.part: facts.package_kind for facts in self.measured}
        rows: dict[tuple[str, str | None], ByPeriod | None] = {}
        sums: dict[str, ByPeriod] = defaultdict(lambda: defaultdict(int))
        for part, trade, numbers, amounts in self._booked:
            place = part, trade
            if place not in rows:
                kind = kinds.get(part) or kind_of(self, part)
                rows[place] = None if self.left_out(part) else sums[self.key(part, trade, kind)]
            row = rows[place]
            if row is not None:
                _add(row, numbers, amounts)
        return sums

    @property
    def _booked(self) -> Iterable[tuple[str, str | None, Sequence[int], Sequence[int]]]:
        """Return what was booked by place and, where it counts, trade worked: periods, amounts."""
        if self.scope.unit == "cost" or self.asked.by == "trade":
            booked = [*self.actuals.booked, *self.premium]
            return ((b.part, b.trade, (self._number(b.day),), (b.amount,)) for b in booked)
        asked = {"job": self.job, "status_date": self.day, "every": self.asked.every}
        start = self.baseline.calendar.week_start
        rows = self.book.rows("performance/booked_by_period", week_start=start, **asked)
        return ((part, None, numbers, ms) for part, numbers, ms in rows)

    def _gained(self, key: str) -> Gained:
        pv, ev, ac = (each.get(key, {}) for each in (self._pv, self._ev, self._ac))
        bac = {self._first: self._bac.get(key, 0)}
        return Gained(bac, self._by_last(pv), ev, self._from_first(ac))

    def _by_last(self, planned: ByPeriod) -> ByPeriod:
        """Return what is planned by the last period of the series."""
        last = self.periods.last
        if not planned or max(planned) <= last:
            return planned
        return {number: amount for number, amount in planned.items() if number <= last}

    def _from_first(self, booked: ByPeriod) -> ByPeriod:
        """Return what was booked, what is older than the series in its first period."""
        first = self._first
        if not booked or min(booked) >= first:
            return booked
        by_period: ByPeriod = defaultdict(int)
        for number, amount in booked.items():
            by_period[max(number, first)] += amount
        return by_period

    @property
    def _to_come(self) -> dict[str, ByDay]:
        """Return PV of each row at the ends of the periods after the status date."""
        return {key: self._totals_to_come(self._pv.get(key, {})) for key in self.keys}

    def _totals_to_come(self, planned: ByPeriod) -> ByDay:
        last = self.periods.last
        if not planned or max(planned) <= last:
            return {}
        numbers = sorted(planned)
        totals = zip(numbers, accumulate(planned[number] for number in numbers), strict=True)
        return {self.periods.end(number): total for number, total in totals if number > last}

    @property
    def time(self) -> list[TimeFigures]:
        """Return where the job stood in time at the end of each week, without level of effort.

        There is none by month, as time is measured in weeks.
        """
        if self.asked.every != "week" or self._why_no_cost:
            return []
        plan: ByDay = defaultdict(int)
        earned: ByPeriod = defaultdict(int)
        for facts, steps in self._by_work:
            planned = self._planned(facts)
            _add(plan, planned, planned.values())
            self._add_gained(earned, steps)
        ends, calendar = self.ends, self.baseline.calendar
        numbers = range(self._first, self.periods.last + 1)
        totals = zip(ends, _cumulative(earned, numbers), strict=True)
        return [
            time_figures(plan, total, calendar, end, finished_on(self, self._standing(end), end))
            for end, total in totals
        ]

    @cached_property
    def _by_work(self) -> list[tuple[CellFacts, EarnedSteps]]:
        """Return each budget that is measured by work, with what it earned."""
        return [
            (facts, steps)
            for (_, facts), steps in zip(self._cells, self._steps, strict=True)
            if not self.is_level_of_effort(facts.part, facts.package_kind)
        ]

    def _standing(self, day: date) -> Iterator[Standing]:
        """Yield these budgets with their ms and those earned by a day."""
        for facts, steps in self._by_work:
            changes = facts.frozen if self.scope.original else facts.changes
            count = bisect_right(steps.days, day)
            earned_ms = steps.ms[count - 1] if count else 0
            yield facts, sum(change.ms for change in changes), earned_ms


def _add(sums: dict[Of, int], of: Iterable[Of], amounts: Iterable[int]) -> None:
    """Add amounts, each of another day or period, to what there is."""
    if not sums:
        sums.update(zip(of, amounts, strict=False))
        return
    for each, amount in zip(of, amounts, strict=False):
        sums[each] += amount


def _as_known_then(now: OverTime) -> Series:
    """Return a job over time, each period as it was known then."""
    as_known: list[Series] = []
    for end, upto in _known_by(now.book, now.ends):
        then = now.book.known_by(upto)
        if then.rows("jobs/job_card", job=now.job):
            # A month is the coarsest there is: only its end is asked for.
            asked = replace(now.asked, status_date=end, every="month", as_known_then=False)
            as_known.append(OverTime(then, asked).series)
    why = next((each.undefined for each in as_known if each.undefined), None)
    if why:
        return Series(now.asked, now.day, [], {}, {}, [], undefined=why)
    keys = in_order({key for each in as_known for key in each.gained})
    return Series(
        now.asked,
        now.day,
        [each.status_date for each in as_known],
        {key: _joined([each.gained.get(key, NOTHING) for each in as_known]) for key in keys},
        {},
        [each.known_at[-1] for each in as_known],
    )


def _joined(gained: list[Gained]) -> Gained:
    """Return what some series come to, each as the amount by the end of a period of one."""
    totals = ([sum(amounts.values()) for amounts in column] for column in zip(*gained, strict=True))
    return Gained(*(dict(enumerate(_differences(each))) for each in totals))


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
