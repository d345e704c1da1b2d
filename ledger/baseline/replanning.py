"""Packages replanned by a named baseline change: their plan after its day; what was planned stays.

What is earned stays by the rule of `ledger/domain/earned_value.py`. Budgets move by the hours of
the change alone; here the plan of the days after it is drawn anew for all that is left.
"""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from functools import cached_property
from typing import Any

from ledger.baseline.calendar_changes import calendar_changes
from ledger.baseline.job_baseline import CellFacts, JobBaseline, Key
from ledger.baseline.postings import (
    WITHOUT_PLAN,
    BudgetSource,
    PackageTrade,
    Postings,
    standard_rate,
    standing_rate,
)
from ledger.baseline.replan_guards import is_rescoped, refuse_past, refuse_technique
from ledger.baseline.versions import KnownPackage, PackageVersion, Place
from ledger.domain.plan import at_dates, spread_over_days
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

Plan = dict[date, int]
Row = dict[str, Any]
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Left:
    """What is left to plan of one trade of a package: how many ms, from which day on."""

    ms: int
    first: date


class Replanning:
    """The packages that one named baseline change replans, as of its day.

    Packages whose base is replanned follow it without being named.
    """

    def __init__(self, book: Book, job: str, rows: list[Row]) -> None:
        self.book, self.job, self.rows = book, job, rows
        self.name, self.day = str(rows[0]["name"]), rows[0]["day"]
        self.baseline = JobBaseline(book, job, self.day)
        self.named = {
            part for (part,) in book.rows("baseline/replanned_parts", job=job, name=self.name)
        }
        followers = {
            part
            for (part, _), row in self.baseline.packages.items()
            if row["technique"] == "apportioned_effort" and row["base_package"] in self.named
        }
        self.parts = self.named | followers
        self._hours: Mapping[Key, int] = {}

    @cached_property
    def source(self) -> BudgetSource:
        return BudgetSource(self.job, "baseline_change", self.name, self.day)

    @cached_property
    def _place(self) -> Place:
        rows = self.book.rows("baseline/rebaselined_known", job=self.job, name=self.name)
        return self.day, rows[0][0]

    @cached_property
    def ever(self) -> JobBaseline:
        """Return the job with all that is posted before the change acts, later days included."""
        return self.baseline.counted_by(date.max)

    @cached_property
    def _calendars_changed(self) -> list[date]:
        return [each.day for each in calendar_changes(self.book, self.job)]

    @cached_property
    def _files(self) -> dict[str, dict[str | None, Plan]]:
        """Return the plan files of the change, by package and trade."""
        files: dict[str, dict[str | None, Plan]] = defaultdict(lambda: defaultdict(dict))
        rows = self.book.rows("baseline/replanned_days", job=self.job, name=self.name)
        for part, trade, day, ms in rows:
            files[part][trade][day] = ms
        return files

    def previous(self, part: str) -> PackageVersion | None:
        """Return a package as it was before the change, None of one that is new."""
        before = [v for v in self.baseline.versions.of(part, self.day) if v.place < self._place]
        return before[-1] if before else None

    @cached_property
    def rescoped(self) -> set[str]:
        """Return the packages whose scope the change replans."""
        place = (self.day, 2**62)
        return {
            part
            for part in self.named
            if is_rescoped(self.rows, self.baseline.versions.at(part, place), self.previous(part))
        }

    def post(self, postings: Postings, hours: Mapping[Key, int]) -> None:
        """Add what moves in the packages' budgets and plans; `hours` are the change's own, by cell.

        Raises: Refused when a package does not fit its budget, when work that has begun would be
        measured otherwise without a name to it, or when the past would be planned anew.
        """
        self._hours = hours
        for part in sorted(self.parts):
            self._check(part)
            for trade in self._trades(part, hours):
                self._post_cell(postings, part, trade, hours.get((part, trade), 0))

    def _check(self, part: str) -> None:
        version = self.baseline.versions.at(part, (self.day, 2**62))
        previous = self.previous(part)
        if (since := self.later(part)) is not None:
            raise Refused("replanned_since", name=self.name, package=part, since=since)
        if part in self.named:
            refuse_technique(self.baseline, self.rows, version, previous)
            refuse_past(self.name, self.day, version, previous)

    def later(self, part: str) -> date | None:
        """Return the day of what already changes the package after the change's own day.

        A change of the calendar is one of all packages.
        """
        days: list[date] = [each.place[0] for each in self.baseline.versions.of(part, date.max)]
        for (name, _), cell in self.ever.cells.items():
            if name == part:
                days += [change.counts_from for change in cell.changes]
        days += self._calendars_changed
        return min((day for day in days if day > self.day), default=None)

    def _trades(self, part: str, hours: Mapping[Key, int]) -> list[str]:
        """Return the trades of a package; all that have a budget must be among its rows."""
        rows = self._rows_of(part)
        held = {
            trade
            for (name, trade), cell in self.baseline.cells.items()
            if name == part and sum(change.ms for change in cell.changes) != 0
        }
        for trade in sorted(held | {t for p, t in hours if p == part}, key=str):
            if trade not in rows:
                raise Refused(
                    "replan_trade_missing", name=self.name, package=part, trade=str(trade)
                )
        return sorted(rows)

    def _rows_of(self, part: str) -> dict[str, KnownPackage]:
        rows = self.baseline.packages.values()
        return {row["trade"]: row for row in rows if row["work_package"] == part}

    def _post_cell(self, postings: Postings, part: str, trade: str, hours: int) -> None:
        row = self.baseline.packages[part, trade]
        facts = self.baseline.cell(part, trade, row["package_kind"])
        before = sum(change.ms for change in facts.changes)
        total, kind = before + hours, row["package_kind"]
        if row["name"] == self.name and row["budget_ms"] != total:
            raise Refused(
                "replan_budget",
                name=self.name,
                package=part,
                trade=trade,
                estimate_ms=row["budget_ms"],
                budget_ms=total,
            )
        cell, rate = PackageTrade(part, trade, kind), self._rate(row)
        if kind != facts.package_kind:
            self._detail(postings, facts, cell, rate)
        if hours or not facts.changes:
            postings.add_budget(cell, hours, rate)
        if kind not in WITHOUT_PLAN:
            postings.add_days(cell, rate, self.moved(facts, row, hours))

    def _detail(
        self, postings: Postings, facts: CellFacts, cell: PackageTrade, rate: int | None
    ) -> None:
        """Make a planning package one of work; no other kind becomes another."""
        if (facts.package_kind, cell.package_kind) != ("planning", "work"):
            raise Refused(
                "replan_kind",
                name=self.name,
                package=cell.part,
                before=facts.package_kind,
                after=cell.package_kind,
            )
        standing = sum(change.ms for change in facts.changes)
        postings.add_budget(PackageTrade(cell.part, cell.trade, "planning"), -standing, rate)
        postings.add_budget(cell, standing, rate)

    def _rate(self, row: KnownPackage) -> int | None:
        """Return what the cell's hours are budgeted at: its own first rate, else the row's."""
        cell = PackageTrade(row["work_package"], row["trade"], row["package_kind"])
        if self.previous(cell.part) is None:
            own = row["cost_rate"]
            return standard_rate(self.book, cell.trade, self.day) if own is None else own
        return standing_rate(self.book, self.job, cell, self.day)

    def moved(self, facts: CellFacts, row: KnownPackage, hours: int) -> Plan:
        """Return what moves in the plan of a cell by day; it adds up to the hours."""
        left = self._left(facts, hours)
        due = self._due(row, left)
        standing = {d: ms for d, (ms, _) in facts.plan.items() if d >= left.first}
        days = sorted({*due, *standing})
        moved = {day: due.get(day, 0) - standing.get(day, 0) for day in days}
        return {day: ms for day, ms in moved.items() if ms}

    def _left(self, facts: CellFacts, hours: int) -> Left:
        is_new = self.previous(facts.part) is None
        first = self.day if is_new else self.day + ONE_DAY
        past = sum(ms for day, (ms, _) in facts.plan.items() if day < first)
        return Left(sum(change.ms for change in facts.changes) + hours - past, first)

    def _due(self, row: KnownPackage, left: Left) -> Plan:
        """Return the plan of what is left; less than was planned already is cut on the day."""
        if left.ms <= 0:
            return {self.day: left.ms} if left.ms else {}
        if planned := self._by_file(row, left):
            return planned
        dated = self._dated(row, left)
        if dated is not None:
            if not sum((weight for _, weight in dated), Fraction(0)):
                raise self._no_days(row, left)
            return at_dates(left.ms, dated)
        if row["planned_finish"] < left.first:
            raise self._no_days(row, left)
        start = max(row["planned_start"], left.first)
        shape = row["spread"] or "even"
        return spread_over_days(
            left.ms, self.baseline.calendar, start, row["planned_finish"], shape
        )

    def _dated(self, row: KnownPackage, left: Left) -> list[tuple[date, Fraction]] | None:
        """Return the dates and weights that a technique plans by; None where it is spread."""
        part, technique = row["work_package"], row["technique"]
        if technique == "apportioned_effort":
            followed = self._base_days(row["base_package"] or "", left.first)
            return followed or (None if part in self.named else self._standing(part, left.first))
        if technique == "weighted_milestone":
            version = self.baseline.versions.at(part, (self.day, 2**62))
            if not version.milestones:
                first = Remedy("load_first", what="milestones")
                raise Refused("milestones_missing", package=part, remedy=first)
            every = [(each.planned_date, each.weight) for each in version.milestones]
            return [each for each in every if each[0] >= left.first]
        if technique == "fixed_formula":
            start, finish = row["planned_start"], row["planned_finish"]
            share = Fraction(row["start_share"] or 0)
            if start >= left.first:
                return [(start, share), (finish, 1 - share)]
            return [(finish, Fraction(1))] if finish >= left.first else []
        return None

    def _base_days(self, base: str, first: date) -> list[tuple[date, Fraction]]:
        """Return the days of a base's plan as it is after the change, its trades together."""
        days: dict[date, int] = defaultdict(int)
        for trade, row in self._rows_of(base).items():
            facts = self.baseline.cell(base, trade, row["package_kind"])
            plan = {day: ms for day, (ms, _) in facts.plan.items()}
            if base in self.parts:
                for day, ms in self.moved(facts, row, self._hours_of((base, trade))).items():
                    plan[day] = plan.get(day, 0) + ms
            for day, ms in plan.items():
                days[day] += ms
        return [(day, Fraction(ms)) for day, ms in sorted(days.items()) if ms > 0 and day >= first]

    def _standing(self, part: str, first: date) -> list[tuple[date, Fraction]]:
        """Return the plan of a package as it stands, its trades together."""
        plans = [cell.plan for (name, _), cell in self.baseline.cells.items() if name == part]
        return [
            (day, Fraction(ms))
            for plan in plans
            for day, (ms, _) in sorted(plan.items())
            if day >= first and ms > 0
        ]

    def _hours_of(self, key: Key) -> int:
        return self._hours.get(key, 0)

    def _by_file(self, row: KnownPackage, left: Left) -> Plan:
        """Return the plan by the change's plan file, whose past days must be as they were."""
        part, trade = row["work_package"], row["trade"]
        files = self._files.get(part)
        if not files:
            return {}
        if None in files and len(files) > 1:
            raise Refused("plan_trades_mixed", package=part)
        every = list(self._rows_of(part).values()) if None in files else [row]
        plan = files[None] if None in files else files.get(trade, {})
        cells = [self.baseline.cell(part, each["trade"], each["package_kind"]) for each in every]
        self._refuse_past_days(part, cells, plan, left.first)
        later = {day: ms for day, ms in plan.items() if day >= left.first and ms}
        due = sum(self._left(each, self._hours_of((part, each.trade))).ms for each in cells)
        if sum(later.values()) != due:
            raise Refused(
                "replan_plan_sum",
                name=self.name,
                package=part,
                day=left.first,
                planned_ms=sum(later.values()),
                left_ms=due,
            )
        return at_dates(left.ms, [(day, Fraction(ms)) for day, ms in later.items()])

    def _refuse_past_days(self, part: str, cells: list[CellFacts], plan: Plan, first: date) -> None:
        for day, ms in sorted(plan.items()):
            standing = sum(cell.plan.get(day, (0, None))[0] for cell in cells)
            if day < first and ms != standing:
                raise Refused(
                    "replan_day_past",
                    name=self.name,
                    package=part,
                    day=day,
                    planned_ms=standing,
                    given_ms=ms,
                )

    def _no_days(self, row: KnownPackage, left: Left) -> Refused:
        part = row["work_package"]
        return Refused(
            "replan_no_days", name=self.name, package=part, left_ms=left.ms, day=left.first
        )
