"""A job's packages and variations as known: budgets, shares and plan by package and trade."""

import copy
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from typing import TypedDict, cast

from ledger.changes.requests import Change, changes_of
from ledger.domain.calendar import WorkCalendar
from ledger.domain.earned_value import (
    BudgetChange,
    Earned,
    Measurement,
    ShareAt,
    Technique,
    earned,
    earned_steps,
)
from ledger.jobs.jobs import calendar_of, job_card
from ledger.store.book import Book

Key = tuple[str, str | None]
TAKEN_OUT = frozenset({"omission", "stop"})


@dataclass
class CellFacts:
    """The budget changes and plan of one package or change and one trade."""

    part: str
    trade: str | None
    package_kind: str
    budgets: list[tuple[str, BudgetChange]] = field(default_factory=list)
    plan: dict[date, tuple[int, int | None]] = field(default_factory=dict)
    original_plan: dict[date, tuple[int, int | None]] = field(default_factory=dict)

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


class KnownPackage(TypedDict):
    """A package's trade, as its newest estimate has it."""

    work_package: str
    trade: str
    title: str
    control_account: str
    technique: str
    quantity: Decimal | None
    start_share: Decimal | None
    base_package: str | None
    package_kind: str
    planned_start: date
    planned_finish: date
    budget_ms: int


class JobBaseline:
    """All that is planned and measured of a job, as the book knows it and counted by a day.

    Plans are read by day, or by the last days of every week or month, cut at the status date.
    """

    def __init__(self, book: Book, job: str, status_date: date, every: str = "day") -> None:
        self.book, self.job, self.status_date, self.every = book, job, status_date, every
        self.card = job_card(book, job)
        self.calendar: WorkCalendar = calendar_of(book, job)
        self.changes: dict[str, Change] = changes_of(book, job)
        self.packages: dict[Key, KnownPackage] = {
            (row["work_package"], row["trade"]): row
            for row in cast(list[KnownPackage], book.records("baseline/packages_known", job=job))
        }
        self._read_posted()

    def counted_by(self, day: date) -> "JobBaseline":
        """Return the same job counted by another day; what is alike on all days is shared."""
        other = copy.copy(self)
        other.status_date = day
        other._read_posted()
        return other

    def _read_posted(self) -> None:
        self.cells: dict[Key, CellFacts] = {}
        self._read_budgets()
        self._read_plan()

    def _read_budgets(self) -> None:
        for row in self.book.records("baseline/budget_by_part", job=self.job):
            if row["counts_from"] > self.status_date:
                continue
            cell = self.cell(row["part"], row["trade"], row["package_kind"])
            cost = None if row["unrated_ms"] else int(row["cost"])
            change = BudgetChange(row["counts_from"], row["first_batch"], int(row["ms"]), cost)
            cell.budgets.append((row["source"], change))

    def _read_plan(self) -> None:
        asked = {"job": self.job, "status_date": self.status_date, "every": self.every}
        asked["week_start"] = self.calendar.week_start
        for row in self.book.rows("baseline/plan_by_day", **asked):
            part, trade, original, day, ms, cost, unrated_ms = row
            cell = self.cells[part, trade]
            planned = (int(ms), None if unrated_ms else int(cost))
            if original:
                cell.original_plan[day] = planned
            if before := cell.plan.get(day):
                planned = (before[0] + planned[0], _sum(before[1], planned[1]))
            cell.plan[day] = planned

    def cell(self, part: str, trade: str | None, package_kind: str) -> CellFacts:
        """Return the cell of a part and trade, made if there is none."""
        return self.cells.setdefault((part, trade), CellFacts(part, trade, package_kind))

    @cached_property
    def measures(self) -> dict[str, list[tuple[str | None, Measurement]]]:
        """Return the measurements by part, each with the trade it names."""
        found: dict[str, list[tuple[str | None, Measurement]]] = defaultdict(list)
        for row in self.book.records("baseline/progress_known", job=self.job):
            facts = {name: row[name] for name in _MEASURED}
            measure = Measurement(row["day"], (row["batch"], row["row"]), **facts)
            found[row["part"]].append((row["trade"], measure))
        return found

    @cached_property
    def _weights(self) -> dict[str, tuple[tuple[str, Fraction], ...]]:
        found: dict[str, list[tuple[str, Fraction]]] = defaultdict(list)
        for package, milestone, weight in self.book.rows("baseline/milestones_known", job=self.job):
            found[package].append((milestone, Fraction(weight)))
        return {
            package: tuple((name, weight / sum(w for _, w in pairs)) for name, weight in pairs)
            for package, pairs in found.items()
            if sum(w for _, w in pairs)
        }

    def package(self, part: str) -> KnownPackage | None:
        """Return the package's facts that all its trades share, None for what is no package."""
        return self._by_package.get(part)

    @cached_property
    def _by_package(self) -> dict[str, KnownPackage]:
        return {name: row for (name, _), row in self.packages.items()}

    def technique(self, part: str) -> str:
        """Return the technique by which a part is measured."""
        package = self.package(part)
        if package:
            return str(package["technique"])
        return self.changes[part].technique if part in self.changes else "percent_complete"

    def measures_of(self, part: str, trade: str | None) -> list[Measurement]:
        """Return the measurements that hold for one trade of a part."""
        return [m for named, m in self.measures.get(part, []) if named in {None, trade}]

    def shares(self, part: str, trade: str | None) -> ShareAt:
        """Return the share of one trade of a part over time."""
        package = self.package(part)
        name = self.technique(part)
        if package and name == "apportioned_effort":
            base = package["base_package"]
            assert base is not None
            rows = [(row["budget_ms"], t) for (p, t), row in self.packages.items() if p == base]
            return BaseShare([(budget, self.shares(base, t)) for budget, t in rows])
        quantity = package["quantity"] if package else None
        start = Fraction((package and package["start_share"]) or 0)
        technique = Technique(name, quantity, start, self._weights.get(part, ()))
        return ShareAt(technique, self.measures_of(part, trade))

    def earned(self, cell: CellFacts, day: date, *, original: bool = False) -> Earned:
        """Return budget and EV of a cell by a day, in the scope of the status date.

        Level of effort earns what was planned; pots and planning packages earn nothing.
        """
        changes = cell.frozen if original else cell.changes
        shares = self.shares(cell.part, cell.trade)
        if cell.package_kind in {"work", "variation"} and shares.technique.name != LOE:
            return earned(shares, changes, day, self.status_date)
        none = earned(ShareAt(Technique("percent_complete"), []), changes, day, self.status_date)
        if shares.technique.name != LOE:
            return none
        planned, cost = self.planned(cell, day, original=original)
        return Earned(none.budget_ms, planned, none.budget_cost, cost)

    def earned_steps(
        self, cell: CellFacts, *, original: bool = False
    ) -> list[tuple[date, int, int | None]]:
        """Return EV of a cell, in ms and in cost units, as of every day on which it may change.

        The days are in order, up to the status date; it is what `earned` gives on each.
        """
        shares = self.shares(cell.part, cell.trade)
        if cell.package_kind not in {"work", "variation"}:
            return []
        if shares.technique.name == LOE:
            days = sorted(cell.original_plan if original else cell.plan)
            planned = [(d, self.planned(cell, d, original=original)) for d in days]
            return [(day, ms, cost) for day, (ms, cost) in planned if day <= self.status_date]
        changes = cell.frozen if original else cell.changes
        steps = earned_steps(shares, changes, self.status_date)
        return [(day, each.earned_ms, each.earned_cost) for day, each in steps]

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
_MEASURED = (
    "percent",
    "quantity_done",
    "quantity_at_completion",
    "milestone",
    "started",
    "finished",
    "estimate_to_complete_ms",
)


def _sum(left: int | None, right: int | None) -> int | None:
    return None if left is None or right is None else left + right
