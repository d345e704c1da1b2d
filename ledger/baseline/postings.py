"""What moves the performance measurement baseline: signed budget and plan postings."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from typing import cast

from ledger.errors import Refused, Remedy
from ledger.store.batches import Batch
from ledger.store.book import Book

CONTINGENCY = "CONTINGENCY"
UNDISTRIBUTED = "UNDISTRIBUTED"
RESERVE = "RESERVE"
# Pots hold hours that no package has yet; contingency and reserve have no plan.
POTS = {CONTINGENCY: "contingency", UNDISTRIBUTED: "undistributed", RESERVE: "reserve"}
WITHOUT_PLAN = frozenset({"contingency", "reserve"})


@dataclass(frozen=True)
class BudgetSource:
    """Why budgets move (freeze, approval, omission, stop, baseline_change), and by what."""

    job: str
    source: str
    reference: str
    counts_from: date


@dataclass(frozen=True)
class PackageTrade:
    """A package or change, and one trade of it."""

    part: str
    trade: str | None
    package_kind: str


@dataclass
class Postings:
    """Budget and plan postings of one source, gathered as columns."""

    source: BudgetSource
    budgets: dict[str, list[object]] = field(default_factory=lambda: defaultdict(list))
    plans: dict[str, list[object]] = field(default_factory=lambda: defaultdict(list))

    def add(self, cell: PackageTrade, ms: int, rate: int | None, plan: dict[date, int]) -> None:
        """Add a budget and its plan; a plan that does not sum to the budget is our fault."""
        assert cell.package_kind in WITHOUT_PLAN or sum(plan.values()) == ms
        self.add_budget(cell, ms, rate)
        self.add_days(cell, rate, plan)

    def add_budget(self, cell: PackageTrade, ms: int, rate: int | None) -> None:
        """Add a budget alone, of which the plan is added apart."""
        budget = {"package_kind": cell.package_kind, "ms": ms}
        _append(self.budgets, {**self._common(cell, rate), **budget})

    def add_moved(self, cell: PackageTrade, rate: int | None, days: dict[date, int]) -> None:
        """Add what moves between the days of a plan, which leaves its budget as it is."""
        assert sum(days.values()) == 0
        self.add_days(cell, rate, {day: ms for day, ms in days.items() if ms})

    def add_days(self, cell: PackageTrade, rate: int | None, plan: dict[date, int]) -> None:
        """Add the days of a plan alone, of which the budget is added apart."""
        for day, part in sorted(plan.items()):
            _append(self.plans, {**self._common(cell, rate), "day": day, "ms": part})

    def planned(self, part: str, trade: str | None) -> dict[date, int]:
        """Return what was added by now to the plan of a cell, by day."""
        moved: dict[date, int] = defaultdict(int)
        if self.plans:
            names = ("part", "trade", "day", "ms")
            for of, its, day, ms in zip(*(self.plans[name] for name in names), strict=True):
                if (of, its) == (part, trade):
                    moved[cast(date, day)] += cast(int, ms)
        return moved

    def _common(self, cell: PackageTrade, rate: int | None) -> dict[str, object]:
        return {
            "job": self.source.job,
            "source": self.source.source,
            "reference": self.source.reference,
            "part": cell.part,
            "trade": cell.trade,
            "budget_rate": rate,
            "counts_from": self.source.counts_from,
        }

    def write(self, batch: Batch) -> None:
        """Append what was gathered to the batch; its place in the recorded order is the batch."""
        for columns in (self.budgets, self.plans):
            if columns:
                columns["place"] = [batch.sequence] * len(columns["ms"])
        batch.append("budget_posting", self.budgets)
        batch.append("plan_posting", self.plans)


def _append(columns: dict[str, list[object]], row: dict[str, object]) -> None:
    for name, value in row.items():
        columns[name].append(value)


def is_frozen(book: Book, job: str) -> bool:
    """Return whether the job's estimate is frozen."""
    return bool(book.rows("baseline/freeze_day", job=job))


def freeze_day(book: Book, job: str) -> date:
    """Return the day of the freeze. Raises: Refused when there is none."""
    rows = book.rows("baseline/freeze_day", job=job)
    if not rows:
        raise Refused("job_not_frozen", job=job, remedy=Remedy("freeze", job=job))
    day: date = rows[0][0]
    return day


def standard_rate(book: Book, trade: str | None, day: date) -> int | None:
    """Return the trade's standard cost rate on a day in 1/10000, None without one."""
    rows = book.rows("baseline/standard_rate", trade=trade, day=day)
    return int(rows[0][0]) if rows else None


def standing_rate(book: Book, job: str, cell: PackageTrade, day: date) -> int | None:
    """Return the cell's own budget rate, else the trade's standard rate on a day."""
    rows = book.rows("baseline/standing_rate", job=job, part=cell.part, trade=cell.trade)
    return int(rows[0][0]) if rows else standard_rate(book, cell.trade, day)


def standing_plan(book: Book, job: str, cell: PackageTrade) -> dict[date, int]:
    """Return the cell's plan by day over all that counts."""
    rows = book.rows("baseline/standing_plan", job=job, part=cell.part, trade=cell.trade)
    return {day: int(ms) for day, ms in rows}
