"""What is earned: the share of each technique, and EV through changes of budget.

Sources: EIA-748 (techniques, PV, EV, AC, BAC); ISO 21508. Amounts are whole units: milliseconds in
hours mode, milliseconds times 1/10000 of the currency an hour in cost mode.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from operator import attrgetter
from typing import NamedTuple

from ledger.domain.allocation import rounded, rounded_part

ZERO = Fraction(0)
ONE = Fraction(1)


class Measurement(NamedTuple):
    """One measurement of a package or of one of its trades."""

    day: date
    recorded: tuple[int, int]
    percent: Decimal | None = None
    quantity_done: Decimal | None = None
    quantity_at_completion: Decimal | None = None
    milestone: str | None = None
    started: date | None = None
    finished: date | None = None
    estimate_to_complete_ms: int | None = None


class BudgetChange(NamedTuple):
    """A signed change of budget: when it counts, when it was recorded, how much.

    `shares` is how the part is measured from then on, where that changes; a nil change may carry it
    alone.
    """

    counts_from: date
    batch: int
    ms: int
    cost: int | None
    shares: "ShareAt | None" = None


@dataclass(frozen=True)
class Technique:
    """How a package's share is measured."""

    name: str
    quantity: Decimal | None = None
    start_share: Fraction = ZERO
    weights: tuple[tuple[str, Fraction], ...] = ()


def share_of(technique: Technique, measures: Sequence[Measurement], day: date) -> Fraction:
    """Return the share earned by `day`, 0 to 1, from the measurements dated by then."""
    known = [each for each in measures if each.day <= day]
    if technique.name == "units_complete":
        return _units(technique, known)
    if technique.name == "weighted_milestone":
        reached = {each.milestone for each in known}
        return sum((weight for name, weight in technique.weights if name in reached), ZERO)
    if technique.name == "fixed_formula":
        return _fixed(technique, known, day)
    percents = [each.percent for each in known if each.percent is not None]
    return Fraction(percents[-1]) / 100 if percents else ZERO


def _units(technique: Technique, known: Sequence[Measurement]) -> Fraction:
    done = [each.quantity_done for each in known if each.quantity_done is not None]
    ends = [each.quantity_at_completion for each in known if each.quantity_at_completion]
    if not done:
        return ZERO
    whole = max(technique.quantity or Decimal(0), ends[-1] if ends else Decimal(0))
    return min(ONE, Fraction(done[-1]) / Fraction(whole)) if whole else ZERO


def _fixed(technique: Technique, known: Sequence[Measurement], day: date) -> Fraction:
    if is_finished(known, day):
        return ONE
    begun = any(each.started and each.started <= day for each in known)
    return technique.start_share if begun else ZERO


def is_finished(measures: Iterable[Measurement], day: date) -> bool:
    """Return whether a measurement known by `day` says finished by then."""
    return any(
        each.day <= day and each.finished is not None and each.finished <= day for each in measures
    )


class EarnedSteps(NamedTuple):
    """EV as of some days, in order: in ms, and in cost units (None: no rate, or not asked for)."""

    days: list[date]
    ms: list[int]
    costs: list[int | None]


class Earned(NamedTuple):
    """A part's budget and what is earned of it, in ms and in cost units (None: no rate)."""

    budget_ms: int
    earned_ms: int
    budget_cost: int | None
    earned_cost: int | None


@dataclass(frozen=True)
class _Point:
    """Where EV stands at a change of budget: share, EV and cost earned, and the change itself.

    `planned` is what was planned by then, where the passing of time is the measure.
    """

    share: Fraction
    ev: Fraction
    ms: int
    cost: int | None
    change: BudgetChange | None = None
    planned: int = 0


class ShareAt:
    """The share of a package over time."""

    def __init__(self, technique: Technique, measures: Sequence[Measurement]) -> None:
        self.technique = technique
        self.measures = sorted(measures, key=attrgetter("day", "recorded"))
        self._steps: tuple[date, dict[date, tuple[int, int]]] | None = None

    def on(self, day: date, before: BudgetChange | None = None) -> Fraction:
        """Return the share by `day`, 0 to 1; `before` keeps the measurements made before it."""
        return share_of(self.technique, self.made_before(before), day)

    @property
    def days(self) -> list[date]:
        """Return the days on which the share may change, in order."""
        dates = (each for m in self.measures for each in (m.day, m.started, m.finished))
        return sorted({each for each in dates if each is not None})

    def steps(self, last: date) -> dict[date, tuple[int, int]]:
        """Return the share as of every day by the last one on which it may change, in order.

        Each is a whole number over another, in lowest terms.
        """
        if self._steps is None or self._steps[0] != last:
            self._steps = last, self._steps_by(last)
        return self._steps[1]

    def _steps_by(self, last: date) -> dict[date, tuple[int, int]]:
        if self.technique.name != "percent_complete":
            return {day: self.on(day).as_integer_ratio() for day in self.days if day <= last}
        # As `share_of`: the last percent. Read in one go, as most packages have many.
        percents = [(m.day, m.percent) for m in self.measures if m.percent is not None]
        return {day: _hundredths(percent) for day, percent in percents if day <= last}

    def last(self, day: date, before: BudgetChange | None = None) -> Measurement | None:
        """Return the last percent measured by `day`, of those made before a change of budget."""
        known = self.made_before(before)
        measured = [each for each in known if each.day <= day and each.percent is not None]
        return measured[-1] if measured else None

    def is_measured_since(self, change: BudgetChange | None, day: date) -> bool:
        """Return whether any measurement by `day` was made after a change of budget."""
        before = self.made_before(change)
        return any(each.day <= day and each not in before for each in self.measures)

    def made_before(self, change: BudgetChange | None) -> list[Measurement]:
        """Return the measurements of the change's day or earlier, or recorded before it was.

        Of one day, measures come before changes of budget.
        """
        return [
            each
            for each in self.measures
            if change is None or each.day <= change.counts_from or each.recorded[0] < change.batch
        ]


class EffortShare(ShareAt):
    """A level of effort, earned as planned, of a part that was measured otherwise before or is now.

    `plan` gives the ms planned on each day.
    """

    def __init__(self, plan: Mapping[date, int]) -> None:
        super().__init__(Technique("level_of_effort"), [])
        self.plan = plan

    @property
    def days(self) -> list[date]:
        """Return the days that are planned, in order."""
        return sorted(self.plan)

    def planned(self, day: date) -> int:
        """Return the ms planned by a day."""
        return sum(ms for when, ms in self.plan.items() if when <= day)

    def on(self, day: date, before: BudgetChange | None = None) -> Fraction:
        """Return 0: what is earned follows the plan, not a share."""
        return ZERO


def earned(
    shares: ShareAt, changes: Sequence[BudgetChange], day: date, scope_day: date | None = None
) -> Earned:
    """Return budget and EV by `day` under the budgets that count by `scope_day`, else by `day`.

    EV = budget x share until the budget changes; from then what is earned stays, and the rest of
    the budget is earned by the rest of the share. Percent complete takes the percent of the budget
    in force at the measurement, never below what was earned at the last change. The first budget
    is no change. Where the way of measuring changes, what is earned stays too, and the rest is
    earned by the share measured in the new way. EV is rounded to the ms, half away from zero, and
    never above the budget.
    """
    counted = _by_day([each for each in changes if each.counts_from <= (scope_day or day)])
    point = _Point(ZERO, ZERO, 0, 0)
    budget_ms = 0
    budget_cost: int | None = 0
    for step, change in enumerate(counted):
        if step:
            budget = (budget_ms, budget_cost)
            until = _Until(shares, counted[:step], change)
            point = replace(_advance(until, budget, point, day), change=change)
            shares = change.shares or shares
            point = _measured_from(shares, point, change, day)
        budget_ms += change.ms
        budget_cost = (
            None if budget_cost is None or change.cost is None else budget_cost + change.cost
        )
    budget = (budget_ms, budget_cost)
    point = _advance(_Until(shares, counted, None), budget, point, day)
    return Earned(budget_ms, point.ms, budget_cost, point.cost)


def earned_steps(
    shares: ShareAt, changes: Sequence[BudgetChange], last: date, *, priced: bool = True
) -> EarnedSteps:
    """Return the EV that `earned` gives as of every day by the last one on which it may change.

    The days are in order; without prices no cost is worked out. Counted are the budgets that count
    by the last day. Of a budget that never changed it is one pass over the measurements; before
    the first of them nothing is earned. Where the way of measuring changes, every way has days of
    its own.
    """
    counted = [each for each in changes if each.counts_from <= last]
    if len(counted) > 1:
        counted = _by_day(counted)
    if len(counted) != 1 or counted[0].ms <= 0:
        ways = [shares, *(each.shares for each in counted if each.shares)]
        days = sorted({day for way in ways for day in way.days if day <= last})
        by_day = [earned(shares, changes, day, last) for day in days]
        costs = [each.earned_cost if priced else None for each in by_day]
        return EarnedSteps(days, [each.earned_ms for each in by_day], costs)
    ms, cost = counted[0].ms, counted[0].cost if priced else None
    steps = shares.steps(last)
    ev = [rounded_part(ms, over, under) for over, under in steps.values()]
    if cost is None:
        return EarnedSteps(list(steps), ev, [None] * len(ev))
    return EarnedSteps(list(steps), ev, [rounded_part(cost, ev_ms, ms) for ev_ms in ev])


@cache
def _hundredths(percent: Decimal) -> tuple[int, int]:
    return (Fraction(percent) / 100).as_integer_ratio()


def _by_day(changes: Sequence[BudgetChange]) -> list[BudgetChange]:
    """Return the changes in order, those of one day and batch as one, without nil ones."""
    merged: dict[tuple[date, int], BudgetChange] = {}
    for each in sorted(changes, key=lambda change: (change.counts_from, change.batch)):
        key = (each.counts_from, each.batch)
        before = merged.get(key)
        if before is None:
            merged[key] = each
            continue
        cost = None if before.cost is None or each.cost is None else before.cost + each.cost
        ms, shares = before.ms + each.ms, before.shares or each.shares
        merged[key] = BudgetChange(each.counts_from, each.batch, ms, cost, shares)
    return [each for each in merged.values() if each.ms or each.cost or each.shares]


def last_rate(changes: Sequence[BudgetChange]) -> Fraction | None:
    """Return the cost of one ms of the budget, of what was last in force when none is left.

    None when there never was a budget, or its cost is not known.
    """
    ms, cost, rate = 0, 0, None
    for each in _by_day(changes):
        if each.cost is None:
            return None
        ms, cost = ms + each.ms, cost + each.cost
        rate = Fraction(cost, ms) if ms > 0 else rate
    return rate


@dataclass(frozen=True)
class _Until:
    """The shares and budgets up to a change of budget, or up to now."""

    shares: ShareAt
    changes: Sequence[BudgetChange]
    change: BudgetChange | None


def _measured_from(shares: ShareAt, point: _Point, change: BudgetChange, day: date) -> _Point:
    """Return the point of a change as the way of measuring after it sees it."""
    if isinstance(shares, EffortShare):
        return replace(point, share=ZERO, planned=shares.planned(min(day, change.counts_from)))
    return replace(point, share=shares.on(day, change))


def _advance(
    until: _Until,
    budget: tuple[int, int | None],
    point: _Point,
    day: date,
) -> _Point:
    budget_ms, budget_cost = budget
    share = until.shares.on(day, until.change)
    first = len(until.changes) <= 1
    if isinstance(until.shares, EffortShare):
        ev = point.ev + _planned_since(until.shares, until.change, point, day)
    elif until.shares.technique.name == "percent_complete" and not first:
        ev = max(point.ev, _percent_of_budget(until, day))
    elif first:
        ev = budget_ms * share
    else:
        renewed = until.shares.is_measured_since(point.change, day)
        ev = _rest(point, budget_ms, share, renewed=renewed)
    ev = max(ZERO, min(ev, Fraction(max(budget_ms, 0))))
    ms = rounded(ev)
    return _Point(share, ev, ms, _cost_earned(point, budget_ms, budget_cost, ms))


def _planned_since(
    shares: EffortShare, change: BudgetChange | None, point: _Point, day: date
) -> int:
    return shares.planned(min(day, change.counts_from) if change else day) - point.planned


def _rest(point: _Point, budget_ms: int, share: Fraction, *, renewed: bool) -> Fraction:
    """Return what is earned after a change; of what was done whole more only if measured again."""
    if point.share == 1:
        return Fraction(budget_ms) if share == 1 and renewed else point.ev
    return point.ev + (budget_ms - point.ev) * (share - point.share) / (1 - point.share)


def _percent_of_budget(until: _Until, day: date) -> Fraction:
    changes = until.changes
    last = until.shares.last(day, until.change)
    if last is None or last.percent is None:
        return ZERO
    switched = [each for each in changes if each.shares is not None]
    if switched and last in until.shares.made_before(switched[-1]):
        return ZERO
    first = changes[0]
    in_force = sum(
        each.ms
        for each in changes
        if each is first or (each.counts_from < last.day and each.batch <= last.recorded[0])
    )
    return in_force * Fraction(last.percent) / 100


def _cost_earned(point: _Point, budget_ms: int, budget_cost: int | None, ms: int) -> int | None:
    if budget_cost is None or point.cost is None:
        return None
    if budget_ms == point.ms:
        return budget_cost if ms == budget_ms and ms != point.ms else point.cost
    gained = Fraction(ms - point.ms, budget_ms - point.ms)
    return point.cost + rounded((budget_cost - point.cost) * gained)
