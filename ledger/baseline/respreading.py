"""What a change of the calendar moves: all that is spread over working days, after its day."""

from datetime import date, timedelta
from typing import NamedTuple

from ledger.baseline.instructed_plan import change_spans
from ledger.baseline.job_baseline import CellFacts, JobBaseline
from ledger.baseline.postings import (
    POTS,
    UNDISTRIBUTED,
    WITHOUT_PLAN,
    PackageTrade,
    Postings,
    standing_rate,
)
from ledger.baseline.replanning import Replanning
from ledger.baseline.versions import AS_ESTIMATED, KnownPackage
from ledger.domain.calendar import WorkCalendar
from ledger.domain.plan import spread_anew
from ledger.errors import Refused

ONE_DAY = timedelta(days=1)
SPREAD = frozenset({"percent_complete", "units_complete", "level_of_effort"})


class SpreadDays(NamedTuple):
    """The days over which something is spread, and in which shape."""

    first: date
    last: date
    shape: str = "even"


class Respreading:
    """All that is spread over a job's working days, as a change of the calendar spreads it anew.

    What has dates of its own stays: milestones, fixed formulas, plan files, and what the same
    baseline change replans by name.
    """

    def __init__(self, replanning: Replanning, before: WorkCalendar) -> None:
        self.replanning, self.before = replanning, before
        self.baseline: JobBaseline = replanning.baseline
        book, job = replanning.book, replanning.job
        self._by_file = {part for (part,) in book.rows("baseline/planned_by_file", job=job)}

    def post(self, postings: Postings) -> tuple[str, ...]:
        """Add what moves in plans after the day of the change; return the parts that move.

        Raises: Refused when one of them was changed again on a later day.
        """
        moved = set()
        ever = self.replanning.ever
        for (part, trade), facts in sorted(ever.cells.items(), key=str):
            spread = self._spread_of(ever, facts)
            if spread is None or not self._differs(spread):
                continue
            if (since := self.replanning.later(part)) is not None:
                raise Refused(
                    "replanned_since", name=self.replanning.name, package=part, since=since
                )
            if days := self._moves(postings, facts, spread):
                cell = PackageTrade(part, trade, facts.package_kind)
                book, job, day = self.replanning.book, self.replanning.job, self.replanning.day
                postings.add_moved(cell, standing_rate(book, job, cell, day), days)
                moved.add(part)
        return tuple(sorted(moved))

    def _moves(self, postings: Postings, facts: CellFacts, spread: SpreadDays) -> dict[date, int]:
        standing = {day: ms for day, (ms, _) in facts.plan.items()}
        for day, ms in postings.planned(facts.part, facts.trade).items():
            standing[day] = standing.get(day, 0) + ms
        span = spread.first, spread.last
        day, calendar = self.replanning.day, self.baseline.calendar
        return spread_anew(standing, day, calendar, span, spread.shape)

    def _differs(self, spread: SpreadDays) -> bool:
        """Return whether the days to come of a span, or their weights, are others than before."""
        first = max(spread.first, self.replanning.day + ONE_DAY)
        old, new = self.before, self.baseline.calendar
        return _weighted(old, first, spread.last) != _weighted(new, first, spread.last)

    def _spread_of(self, ever: JobBaseline, facts: CellFacts) -> SpreadDays | None:
        """Return over which days a cell is spread; None with dates of its own or no plan."""
        part, day = facts.part, self.replanning.day
        if facts.package_kind in WITHOUT_PLAN:
            return None
        if part == UNDISTRIBUTED:
            return SpreadDays(day, max(day, self.baseline.card.planned_finish))
        if part in ever.changes:
            return self._of_change(facts)
        package = ever.package(part)
        return None if package is None or part in POTS else self._of_package(ever, package)

    def _of_change(self, facts: CellFacts) -> SpreadDays | None:
        change = self.baseline.changes[facts.part]
        spans = change_spans(self.replanning.book, self.replanning.job, change)
        span = spans.get(facts.trade or "")
        return None if span is None else SpreadDays(*span)

    def _of_package(self, ever: JobBaseline, package: KnownPackage) -> SpreadDays | None:
        part = package["work_package"]
        if part in self.replanning.parts or part in self._by_file:
            return None
        if package["technique"] == "apportioned_effort":
            base = ever.package(package["base_package"] or "")
            # In a loop of bases nothing is spread; the freeze refuses it.
            is_spread = base is not None and base["technique"] != "apportioned_effort"
            return self._of_package(ever, base) if base is not None and is_spread else None
        if package["technique"] not in SPREAD:
            return None
        start = package["planned_start"]
        place = self.baseline.versions.at(part, (self.replanning.day, 2**62)).place
        if place != AS_ESTIMATED:
            start = max(start, place[0] + ONE_DAY)
        return SpreadDays(start, package["planned_finish"], package["spread"] or "even")


def _weighted(calendar: WorkCalendar, first: date, last: date) -> list[tuple[date, object]]:
    days = calendar.working(first, last)
    return [(day, calendar.full_days(day, day)) for day in days]
