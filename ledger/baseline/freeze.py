"""Freezing the estimate: the original baseline, as budget and plan postings."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ledger.baseline.postings import BudgetSource, PackageTrade, Postings, is_frozen, standard_rate
from ledger.domain.calendar import WorkCalendar
from ledger.domain.parsing import MS_PER_HOUR
from ledger.domain.plan import at_dates, spread_over_days
from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import calendar_of, job_card, key_dates_astray
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book

Package = dict[str, Any]


@dataclass(frozen=True)
class Frozen(Outcome):
    """An estimate frozen as the original baseline: its day, its budget in ms, and its rows."""

    job: str
    on: date
    budget_ms: int
    rows: int


def freeze(book: Book, batch: Batch, job: str, on: date) -> Frozen:
    """Post the original baseline of a job from its newest estimate.

    Raises: Refused when it is frozen already, or when a plan does not fit its budget.
    """
    card = job_card(book, job)
    if is_frozen(book, job):
        by_name = Remedy("load", what="baseline-changes")
        raise Refused("job_frozen", job=job, remedy=by_name)
    packages = [row for row in book.current("work_package") if row["job"] == job]
    if not packages:
        raise Refused("estimate_missing", job=job, remedy=Remedy("load", what="estimate"))
    for _, name, code in key_dates_astray(book, job, card.key_dates):
        raise Refused("key_date_astray", job=job, key_date=name, code=code)
    planner = _Planner(book, job, packages)
    postings = Postings(BudgetSource(job, "freeze", "estimate", on))
    unrated = {package["trade"] for package in packages if package["cost_rate"] is None}
    rates = {trade: standard_rate(book, trade, on) for trade in unrated}
    for package in packages:
        cell = PackageTrade(package["work_package"], package["trade"], package["package_kind"])
        rate = package["cost_rate"]
        rate = rates[package["trade"]] if rate is None else rate
        postings.add(cell, package["budget_ms"], rate, planner.plan(package))
    if card.management_reserve_ms:
        reserve = PackageTrade("RESERVE", None, "reserve")
        postings.add(reserve, card.management_reserve_ms, None, {})
    postings.write(batch)
    return Frozen(job, on, sum(row["budget_ms"] for row in packages), len(packages))


def hours(ms: int) -> str:
    """Return hours with two decimals, half away from zero, for a message."""
    value = Decimal(ms) / MS_PER_HOUR
    return f"{value.quantize(Decimal('0.01'), rounding='ROUND_HALF_UP')}"


class _Planner:
    """Plans packages by their techniques, spreads and plan files."""

    def __init__(self, book: Book, job: str, packages: list[Package]) -> None:
        self.calendar: WorkCalendar = calendar_of(book, job)
        self.job = job
        self.rows = packages
        self.packages = {row["work_package"]: row for row in packages}
        self.milestones: dict[str, list[tuple[date, Fraction]]] = defaultdict(list)
        for row in book.current("milestone"):
            if row["job"] == job:
                weight = (row["planned_date"], Fraction(row["weight"]))
                self.milestones[row["work_package"]].append(weight)
        self.files: dict[tuple[str, str | None], dict[date, int]] = defaultdict(dict)
        for row in book.current("plan_line"):
            if row["job"] == job:
                self.files[row["work_package"], row["trade"]][row["day"]] = row["ms"]

    def plan(self, package: Package) -> dict[date, int]:
        """Return the plan of one package's trade by day."""
        if package["package_kind"] == "contingency":
            return {}
        if planned := self._loaded_plan(package):
            return planned
        model, total = package, package["budget_ms"]
        if package["technique"] == "apportioned_effort":
            model = self.packages[package["base_package"]]
            if model["technique"] == "apportioned_effort":
                raise Refused("base_apportioned", package=package["work_package"])
            if base := self._base_plan(model["work_package"]):
                return at_dates(total, base)
        if model["technique"] == "weighted_milestone":
            return at_dates(total, self._weights(model["work_package"]))
        start, finish = model["planned_start"], model["planned_finish"]
        if model["technique"] == "fixed_formula":
            first = Fraction(model["start_share"] or 0)
            return at_dates(total, [(start, first), (finish, 1 - first)])
        return spread_over_days(total, self.calendar, start, finish, model["spread"] or "even")

    def _base_plan(self, base: str) -> list[tuple[date, Fraction]]:
        """Return the plan of a base by day, its trades together; nothing without a plan file."""
        if not any(name == base for name, _ in self.files):
            return []
        days: dict[date, int] = defaultdict(int)
        for row in self.rows:
            if row["work_package"] == base:
                for day, ms in self.plan(row).items():
                    days[day] += ms
        return [(day, Fraction(ms)) for day, ms in days.items() if ms]

    def _loaded_plan(self, package: Package) -> dict[date, int]:
        name, trade = package["work_package"], package["trade"]
        plan = self.files.get((name, trade))
        if plan is None and (whole := self.files.get((name, None))):
            if len([1 for each in self.files if each[0] == name]) > 1:
                raise Refused("plan_trades_mixed", package=name)
            plan = self._share_of(whole, package)
        if plan is None:
            return {}
        if sum(plan.values()) != package["budget_ms"]:
            raise Refused(
                "plan_not_budget",
                package=name,
                trade=trade,
                planned_ms=sum(plan.values()),
                budget_ms=package["budget_ms"],
            )
        return plan

    def _share_of(self, whole: dict[date, int], package: Package) -> dict[date, int]:
        total = sum(whole.values())
        if total == package["budget_ms"]:
            return dict(whole)
        return at_dates(package["budget_ms"], [(d, Fraction(ms, total)) for d, ms in whole.items()])

    def _weights(self, package: str) -> list[tuple[date, Fraction]]:
        weights = self.milestones.get(package)
        if not weights or not sum(weight for _, weight in weights):
            milestones = Remedy("load", what="milestones")
            raise Refused("milestones_missing", package=package, remedy=milestones)
        return weights
