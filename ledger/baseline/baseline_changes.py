"""Named baseline changes: hours moved between packages, contingency, undistributed and reserve."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from ledger.baseline.calendar_changes import change_calendar
from ledger.baseline.job_baseline import CellFacts, JobBaseline, Key, unearned
from ledger.baseline.postings import (
    POTS,
    UNDISTRIBUTED,
    WITHOUT_PLAN,
    PackageTrade,
    Postings,
    standing_plan,
    standing_rate,
)
from ledger.baseline.replan_guards import (
    PlannedByDay,
    moved_by_day,
    refuse_planned_taken,
    refuse_variances_set,
)
from ledger.baseline.replanning import Replanning
from ledger.baseline.respreading import Respreading
from ledger.domain.allocation import allocated, rounded
from ledger.domain.calendar import WorkCalendar
from ledger.domain.plan import adjusted, spread_over_days
from ledger.errors import Refused
from ledger.store.batches import Batch
from ledger.store.book import Book

Row = dict[str, Any]


@dataclass(frozen=True)
class ReplannedParts:
    """What a baseline change replanned: packages by name, and what its calendar spreads anew.

    `planned` is what moved in the plan by its day.
    """

    packages: tuple[str, ...]
    is_calendar: bool
    respread: tuple[str, ...]
    planned: tuple[PlannedByDay, ...]


def post_baseline_change(book: Book, batch: Batch, job: str, rows: list[Row]) -> ReplannedParts:
    """Post the rows of one named change and what was loaded under its name moves.

    Raises: Refused when a package has fewer unearned hours, or a pot fewer, than are taken out,
    when hours are taken out of what was planned by the day, when a variance would be set to zero,
    and when a package replanned does not hold.
    """
    before = change_calendar(book, batch, job, str(rows[0]["name"]))
    replanning = Replanning(book, job, rows)
    baseline, postings = replanning.baseline, Postings(replanning.source)
    replanned: dict[Key, int] = defaultdict(int)
    _refuse_below_zero(baseline, rows)
    for row in rows:
        for facts, ms in _cells(baseline, row):
            if facts.part in replanning.parts:
                replanned[facts.part, facts.trade] += ms
                continue
            cell = PackageTrade(facts.part, facts.trade, facts.package_kind)
            rate = standing_rate(book, job, cell, row["day"])
            if rate is None and cell.trade is None:
                rate = _mean_rate(book, job, rows)
            postings.add(cell, ms, rate, _plan(book, baseline, cell, (ms, row["day"])))
    replanning.post(postings, replanned)
    refuse_variances_set(baseline, rows, replanning.rescoped)
    return _posted(replanning, before, postings, batch)


def replan(book: Book, batch: Batch, job: str, name: str) -> ReplannedParts | None:
    """Post what packages and a calendar loaded under a recorded baseline change move in the plan.

    None while the change itself is not recorded: they act once it is.
    """
    rows = [r for r in book.current("baseline_change") if (r["job"], r["name"]) == (job, name)]
    if not rows:
        return None
    before = change_calendar(book, batch, job, name)
    replanning = Replanning(book, job, rows)
    postings = Postings(replanning.source)
    replanning.post(postings, {})
    return _posted(replanning, before, postings, batch)


def _posted(
    replanning: Replanning, before: WorkCalendar | None, postings: Postings, batch: Batch
) -> ReplannedParts:
    """Post what moves, and what a changed calendar spreads anew, once the past stays."""
    refuse_planned_taken(replanning.baseline, replanning.name, postings)
    planned = moved_by_day(replanning.baseline, postings)
    respread = () if before is None else Respreading(replanning, before).post(postings)
    postings.write(batch)
    packages = tuple(sorted(replanning.parts))
    return ReplannedParts(packages, before is not None, respread, planned)


@dataclass(frozen=True)
class BudgetBalance:
    """All that is budgeted of a job, in ms: the baseline, contingency and the reserve apart."""

    baseline_ms: int
    contingency_ms: int
    reserve_ms: int

    @property
    def whole_ms(self) -> int:
        """Return the contract budget base: what a baseline change moves about and never changes."""
        return self.baseline_ms + self.contingency_ms + self.reserve_ms


def balance_of(book: Book, job: str) -> BudgetBalance:
    """Return what stands in all budgets of a job now, later days included."""
    kinds = {kind: int(ms) for kind, ms in book.rows("baseline/budget_by_kind", job=job)}
    apart = kinds.pop("contingency", 0), kinds.pop("reserve", 0)
    return BudgetBalance(sum(kinds.values()), *apart)


def _mean_rate(book: Book, job: str, rows: list[Row]) -> int | None:
    """Return the mean rate of the packages that hours are taken from, for a pot of no trade."""
    taken = [row for row in rows if row["ms"] < 0 and row["trade"] is not None]
    rates = [
        standing_rate(book, job, PackageTrade(row["work_package"], row["trade"], ""), row["day"])
        for row in taken
    ]
    known = [(row["ms"], rate) for row, rate in zip(taken, rates, strict=True) if rate is not None]
    if not known or len(known) < len(taken):
        return None
    return rounded(Fraction(sum(ms * rate for ms, rate in known), sum(ms for ms, _ in known)))


def _cells(baseline: JobBaseline, row: Row) -> list[tuple[CellFacts, int]]:
    part, trade = row["work_package"], row["trade"]
    if part in POTS:
        pots = [
            cell
            for _, cell in sorted(baseline.cells.items(), key=str)
            if cell.package_kind == POTS[part] and trade in {None, cell.trade}
        ]
        if pots:
            standing = [sum(change.ms for change in cell.changes) for cell in pots]
            return list(zip(pots, allocated(row["ms"], standing), strict=True))
        return [(baseline.cell(part, trade, POTS[part]), row["ms"])]
    package = baseline.package(part)
    kind = package["package_kind"] if package else "variation"
    return [(baseline.cell(part, trade, kind), row["ms"])]


def _refuse_below_zero(baseline: JobBaseline, rows: list[Row]) -> None:
    free = unearned(baseline)
    moved: dict[Key, int] = defaultdict(int)
    for row in rows:
        for facts, ms in _cells(baseline, row):
            moved[facts.part, facts.trade] += ms
    for key, ms in moved.items():
        if free.get(key, 0) + ms < 0:
            raise Refused(
                "hours_earned",
                name=rows[0]["name"],
                package=key[0],
                free_ms=free.get(key, 0),
                taken_ms=-ms,
            )


def _plan(
    book: Book, baseline: JobBaseline, cell: PackageTrade, move: tuple[int, date]
) -> dict[date, int]:
    ms, day = move
    if cell.package_kind in WITHOUT_PLAN:
        return {}
    finish = baseline.card.planned_finish
    if cell.part == UNDISTRIBUTED and ms > 0:
        return spread_over_days(ms, baseline.calendar, day, max(day, finish))
    standing = standing_plan(book, baseline.job, cell)
    if not standing and ms > 0:
        standing = _plan_of_package(baseline, cell.part)
    return adjusted(ms, standing, day)


def _plan_of_package(baseline: JobBaseline, part: str) -> dict[date, int]:
    plan: dict[date, int] = {}
    for (name, _), facts in baseline.cells.items():
        if name == part:
            for day, (ms, _) in facts.plan.items():
                plan[day] = plan.get(day, 0) + ms
    return plan
