"""A job's packages and variations as known: budgets, shares and plan by package and trade."""

import copy
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache, cached_property
from itertools import accumulate, repeat
from typing import NamedTuple

from ledger.baseline.versions import KnownPackage, PackageVersion, Place, Versions
from ledger.changes.requests import Change, changes_of
from ledger.domain.calendar import Periods, WorkCalendar
from ledger.domain.earned_value import (
    BudgetChange,
    Earned,
    EarnedSteps,
    EffortShare,
    Measurement,
    ShareAt,
    Technique,
    earned,
    earned_steps,
)
from ledger.jobs.jobs import calendar_of, job_card
from ledger.store.book import Book

Key = tuple[str, str | None]
# What is planned on each day: ms, and cost units, null without a rate.
Plan = dict[date, tuple[int, int | None]]
TAKEN_OUT = frozenset({"omission", "stop"})


class PlansRead(NamedTuple):
    """How plans are read: by day, or by the last days of every week or month; with costs or not.

    By day they are always with costs.
    """

    every: str = "day"
    priced: bool = True


BY_DAY = PlansRead()


@dataclass
class CellFacts:
    """The budget changes and plan of one package or change and one trade."""

    part: str
    trade: str | None
    package_kind: str
    budgets: list[tuple[str, BudgetChange]] = field(default_factory=list)
    plan: Plan = field(default_factory=dict)
    original_plan: Plan = field(default_factory=dict)

    by_kind: dict[str, int] = field(default_factory=dict)
    # What `JobBaseline.earned` gave already; budgets and plan stay as they were read.
    earned_by: dict[tuple[date, bool], Earned] = field(
        default_factory=dict, repr=False, compare=False
    )

    def add_kind(self, kind: str, ms: int) -> None:
        """Count a budget to its kind; the last kind that holds any is the cell's."""
        self.by_kind[kind] = self.by_kind.get(kind, 0) + ms
        if holding := [each for each, held in self.by_kind.items() if held]:
            self.package_kind = holding[-1]

    def of_sources(self, sources: frozenset[str], day: date) -> list[BudgetChange]:
        """Return the budget changes of these sources that count by a day."""
        return [c for source, c in self.budgets if source in sources and c.counts_from <= day]

    @property
    def changes(self) -> list[BudgetChange]:
        return [change for _, change in self.budgets]

    @property
    def frozen(self) -> list[BudgetChange]:
        return [change for source, change in self.budgets if source == "freeze"]


class BaseShare(ShareAt):
    """The share of a base package: of its trades, by their original budgets."""

    def __init__(self, trades: list[tuple[int, ShareAt]]) -> None:
        super().__init__(Technique("apportioned_effort"), [])
        self.trades = trades

    @property
    def days(self) -> list[date]:
        """Return the days on which the share of any of the trades may change, in order."""
        return sorted({day for _, share in self.trades for day in share.days})

    def on(self, day: date, before: BudgetChange | None = None) -> Fraction:
        whole = sum(budget for budget, _ in self.trades)
        if not whole:
            return Fraction(0)
        return (
            sum((budget * share.on(day, before) for budget, share in self.trades), Fraction(0))
            / whole
        )

    def is_measured_since(self, change: BudgetChange | None, day: date) -> bool:
        return any(share.is_measured_since(change, day) for _, share in self.trades)


class JobBaseline:
    """All that is planned and measured of a job, as the book knows it and counted by a day.

    Plans by week or month are cut at the status date.
    """

    def __init__(self, book: Book, job: str, status_date: date, plans: PlansRead = BY_DAY) -> None:
        self.book, self.job, self.status_date, self.plans = book, job, status_date, plans
        self.card = job_card(book, job)
        self.calendar: WorkCalendar = calendar_of(book, job)
        self.changes: dict[str, Change] = changes_of(book, job)
        self.versions = Versions(book, job)
        self._shares: dict[tuple[str, str | None, Place], ShareAt] = {}
        self._read_posted()

    def counted_by(self, day: date) -> "JobBaseline":
        """Return the same job counted by another day; what is alike on all days is shared."""
        other = copy.copy(self)
        other.status_date = day
        other._read_posted()
        return other

    def _read_posted(self) -> None:
        self.cells: dict[Key, CellFacts] = {}
        self._by_day: JobBaseline | None = None
        self._standing: dict[Key, ShareAt] = {}
        self._by_package = dict(self.versions.by(self.status_date))
        self.packages: dict[Key, KnownPackage] = {
            (part, trade): row
            for part, version in self._by_package.items()
            for trade, row in version.rows.items()
        }
        self._read_budgets()
        self._read_plan()

    def _read_budgets(self) -> None:
        for row in self.book.rows("baseline/budget_by_part", job=self.job):
            part, trade, kind, source, counts_from, batch, ms, cost, unrated_ms = row
            if counts_from <= self.status_date:
                cell = self.cell(part, trade, kind)
                change = BudgetChange(counts_from, batch, ms, None if unrated_ms else cost)
                cell.budgets.append((source, change))
                cell.add_kind(kind, ms)

    def _read_plan(self) -> None:
        for part, trade, original, plan in self._plans():
            cell = self.cells[part, trade]
            if original:
                cell.original_plan = plan
            cell.plan = _together(cell.plan, plan) if cell.plan else plan

    def _plans(self) -> Iterator[tuple[str, str | None, bool, Plan]]:
        """Yield what is planned of each part and trade, what is from the freeze apart."""
        every, priced = self.plans
        asked = {"job": self.job, "status_date": self.status_date, "every": every}
        asked["week_start"] = self.calendar.week_start
        if priced:
            for part, trade, original, *lists in self.book.rows("baseline/plan_by_day", **asked):
                days, ms, costs = lists
                plan = zip(days, zip(ms, costs, strict=True), strict=True)
                yield part, trade, original, dict(plan)
            return
        end = cache(self.periods.end)
        for part, trade, original, *lists in self.book.rows("baseline/plan_by_period", **asked):
            numbers, ms = lists
            plan = zip(map(end, numbers), zip(ms, repeat(None)), strict=True)
            yield part, trade, original, dict(plan)

    @property
    def periods(self) -> Periods:
        """Return the weeks or months that plans are read by."""
        return Periods(self.plans.every, self.status_date, self.calendar.week_start)

    def cell(self, part: str, trade: str | None, package_kind: str) -> CellFacts:
        """Return the cell of a part and trade, made if there is none."""
        cell = self.cells.get((part, trade))
        if cell is None:
            cell = self.cells[part, trade] = CellFacts(part, trade, package_kind)
        return cell

    @cached_property
    def measures(self) -> dict[str, list[tuple[str | None, Measurement]]]:
        """Return the measurements by part, each with the trade it names."""
        by_part: dict[str, list[tuple[str | None, Measurement]]] = defaultdict(list)
        for row in self.book.rows("baseline/progress_known", job=self.job):
            part, trade, day, batch, number, percent, *facts = row
            measured = Measurement(day, (batch, number), _millionths(percent), *facts)
            by_part[part].append((trade, measured))
        return by_part

    @cached_property
    def _by_trade(self) -> set[str]:
        """Return the parts of which trades are measured apart."""
        return {part for part, each in self.measures.items() if any(trade for trade, _ in each)}

    def package(self, part: str) -> KnownPackage | None:
        """Return the package's facts that all its trades share, None for what is no package."""
        version = self._by_package.get(part)
        return version.package if version else None

    def technique(self, part: str) -> str:
        """Return the technique by which a part is measured."""
        package = self.package(part)
        if package:
            return str(package["technique"])
        return self.changes[part].technique if part in self.changes else "percent_complete"

    def measures_of(self, part: str, trade: str | None) -> list[Measurement]:
        """Return the measurements that hold for one trade of a part."""
        return [m for of, m in self.measures.get(part, []) if of is None or of == trade]

    def shares(self, part: str, trade: str | None) -> ShareAt:
        """Return the share of one trade of a part over time, as it is measured now."""
        key = part, trade if part in self._by_trade else None
        if key not in self._standing:
            self._standing[key] = self._share_now(part, trade)
        return self._standing[key]

    def _share_now(self, part: str, trade: str | None) -> ShareAt:
        if part not in self._by_package:
            return ShareAt(Technique(self.technique(part)), self.measures_of(part, trade))
        return self._shares_at((self.status_date, LAST), part, trade)

    def _shares_at(self, place: Place, part: str, trade: str | None) -> ShareAt:
        """Return the share of one trade of a package, as it and its base are at a place."""
        version = self.versions.at(part, place)
        package = version.package
        if package["package_kind"] == "planning":
            return ShareAt(Technique("percent_complete"), [])
        if package["technique"] == "apportioned_effort":
            base = package["base_package"]
            assert base is not None
            rows = self.versions.at(base, place).rows.items()
            return BaseShare([(r["budget_ms"], self._shares_at(place, base, t)) for t, r in rows])
        # Trades that are measured together have one share, worked out once.
        of = trade if part in self._by_trade else None
        key = part, of, version.place
        if key not in self._shares:
            start = Fraction(package["start_share"] or 0)
            technique = Technique(package["technique"], package["quantity"], start, version.weights)
            self._shares[key] = ShareAt(technique, self.measures_of(part, of))
        return self._shares[key]

    def _ways(self, cell: CellFacts, *, original: bool) -> tuple[ShareAt, list[BudgetChange]]:
        """Return how a cell is measured first, and as nil changes what measures it otherwise.

        A package measured by its base is measured otherwise too when the base is. A level of
        effort all along has no other way: it earns what is planned.
        """
        own = self.versions.of(cell.part, self.status_date)
        if len(own) <= 1 and self.technique(cell.part) != "apportioned_effort":
            return self.shares(cell.part, cell.trade), []
        places = {each.place for each in own} | set(self._bases_replanned(own))
        if len(places) <= 1:
            return self.shares(cell.part, cell.trade), []
        in_order = [place for place in sorted(places) if place >= own[0].place]
        by = [self._measured_by(place, cell.part) for place in in_order]
        ways = [
            (place, self._way(place, cell, original=original))
            for place, before, now in zip(in_order, [None, *by], by, strict=False)
            if now != before
        ]
        if all(isinstance(way, EffortShare) for _, way in ways):
            return self.shares(cell.part, cell.trade), []
        changes = [BudgetChange(day, batch, 0, 0, way) for (day, batch), way in ways[1:]]
        return ways[0][1], changes

    def _measured_by(self, place: Place, part: str) -> tuple[object, ...]:
        """Return all that the measure of a package rests on at a place; dates are not among it."""
        version = self.versions.at(part, place)
        package = version.package
        own = ("technique", "quantity", "start_share", "base_package", "package_kind")
        facts = (*(package.get(name) for name in own), version.weights)
        base = package["base_package"]
        if base is None or package["technique"] != "apportioned_effort":
            return facts
        budgets = tuple(r["budget_ms"] for r in self.versions.at(base, place).rows.values())
        return *facts, budgets, self._measured_by(place, base)

    def _way(self, place: Place, cell: CellFacts, *, original: bool) -> ShareAt:
        package = self.versions.at(cell.part, place).package
        if package["technique"] == LOE and package["package_kind"] == "work":
            return self._effort(cell, original=original)
        return self._shares_at(place, cell.part, cell.trade)

    def _effort(self, cell: CellFacts, *, original: bool) -> EffortShare:
        """Return a level of effort as planned by days, as its change may fall within a period."""
        planned = self._planned_by_day.cells[cell.part, cell.trade]
        plan = planned.original_plan if original else planned.plan
        return EffortShare({day: ms for day, (ms, _) in plan.items()})

    @property
    def _planned_by_day(self) -> "JobBaseline":
        """Return the same job with its plans by day; it is read when first asked for."""
        if self.plans == BY_DAY:
            return self
        if self._by_day is None:
            self._by_day = copy.copy(self)
            self._by_day.plans = BY_DAY
            self._by_day._read_posted()
        return self._by_day

    def _bases_replanned(self, versions: list[PackageVersion]) -> list[Place]:
        """Return where the bases of an apportioned package are replanned."""
        bases = {
            each.package["base_package"] or ""
            for each in versions
            if each.package["technique"] == "apportioned_effort"
        }
        return [
            each.place for base in bases for each in self.versions.of(base, self.status_date)[1:]
        ]

    def earned(self, cell: CellFacts, day: date, *, original: bool = False) -> Earned:
        """Return budget and EV of a cell by a day, in the scope of the status date.

        Level of effort earns what was planned; pots and planning packages earn nothing.
        """
        if (day, original) not in cell.earned_by:
            cell.earned_by[day, original] = self._earned(cell, day, original=original)
        return cell.earned_by[day, original]

    def _earned(self, cell: CellFacts, day: date, *, original: bool) -> Earned:
        changes = cell.frozen if original else cell.changes
        shares, anew = self._ways(cell, original=original)
        effort = not anew and shares.technique.name == LOE
        if cell.package_kind in {"work", "variation"} and not effort:
            return earned(shares, [*changes, *anew], day, self.status_date)
        none = earned(ShareAt(Technique("percent_complete"), []), changes, day, self.status_date)
        if not effort:
            return none
        planned, cost = self.planned(cell, day, original=original)
        return Earned(none.budget_ms, planned, none.budget_cost, cost)

    def earned_steps(self, cell: CellFacts, *, original: bool = False) -> EarnedSteps:
        """Return EV of a cell, in ms and in cost units, as of every day on which it may change.

        The days are in order, up to the status date; it is what `earned` gives on each. Without
        costs of the plan it has none either.
        """
        shares, anew = self._ways(cell, original=original)
        if not anew and shares.technique.name == LOE:
            return self._planned_steps(cell.original_plan if original else cell.plan)
        if cell.package_kind not in {"work", "variation"}:
            return EarnedSteps([], [], [])
        changes = [*(cell.frozen if original else cell.changes), *anew]
        return earned_steps(shares, changes, self.status_date, priced=self.plans.priced)

    def _planned_steps(self, plan: Plan) -> EarnedSteps:
        """Return what a plan comes to by each of its days up to the status date, in order."""
        days = sorted(day for day in plan if day <= self.status_date)
        ms = accumulate(plan[day][0] for day in days)
        costs = accumulate((plan[day][1] for day in days), _sum)
        return EarnedSteps(days, list(ms), list(costs))

    def planned(
        self, cell: CellFacts, day: date, *, original: bool = False
    ) -> tuple[int, int | None]:
        """Return PV of a cell by a day: ms, and cost units (None without a rate)."""
        plan = cell.original_plan if original else cell.plan
        ms, cost = 0, 0
        unrated = False
        for when, (part, priced) in plan.items():
            if when <= day:
                ms += part
                unrated |= priced is None
                cost += priced or 0
        return ms, None if unrated else cost


def unearned(then: JobBaseline) -> dict[Key, int]:
    """Return by cell the ms that may be taken out as of a baseline's day.

    That is what no measurement recorded so far has earned, neither of the budget that counts on the
    day nor of all that is posted, later days included.
    """
    day, ever = then.status_date, then.counted_by(date.max)
    return {
        key: max(0, min(_free(then, cell, day), _free(ever, ever.cells[key], day)))
        for key, cell in then.cells.items()
    }


def _free(baseline: JobBaseline, cell: CellFacts, day: date) -> int:
    days = [measure.day for _, measure in baseline.measures.get(cell.part, [])]
    is_effort = baseline.technique(cell.part) == LOE
    standing = baseline.earned(cell, day if is_effort else max([day, *days]))
    return standing.budget_ms - standing.earned_ms


LOE = "level_of_effort"
# Of the places of one day the one after all others.
LAST = 2**62


@cache
def _millionths(percent: int | None) -> Decimal | None:
    return None if percent is None else Decimal(percent).scaleb(-6)


def _together(left: Plan, right: Plan) -> Plan:
    """Return two plans as one, in order of days."""
    both = dict(left)
    for day, (ms, cost) in right.items():
        before = both.get(day)
        both[day] = (before[0] + ms, _sum(before[1], cost)) if before else (ms, cost)
    return dict(sorted(both.items()))


def _sum(left: int | None, right: int | None) -> int | None:
    return None if left is None or right is None else left + right
