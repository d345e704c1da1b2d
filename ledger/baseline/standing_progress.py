"""Where the progress of a part stands after its budget or its way of measuring has changed."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

from ledger.baseline.job_baseline import CellFacts, JobBaseline
from ledger.baseline.versions import PackageVersion
from ledger.domain.allocation import rounded_part
from ledger.domain.earned_value import Measurement

# What measures a package by each technique whose share counts from what it was on a day.
COUNTED = {
    "units_complete": "quantity_done",
    "weighted_milestone": "milestone",
    "fixed_formula": "started",
}


@dataclass(frozen=True)
class MeasuredAnew:
    """A package that another technique measures since a day, by the name of what changed it."""

    technique: str
    since: date
    name: str


class StandingProgress:
    """What is earned of a job's parts by the status date of its baseline."""

    def __init__(self, baseline: JobBaseline) -> None:
        self.baseline = baseline

    def percent(self, part: str, trade: str | None = None) -> Fraction | None:
        """Return the percent earned of the budget in force, None without a budget."""
        day = self.baseline.status_date
        by_cell = [self.baseline.earned(cell, day) for cell in self._cells(part, trade)]
        budget = sum(each.budget_ms for each in by_cell)
        return Fraction(100 * sum(each.earned_ms for each in by_cell), budget) if budget else None

    def differs(self, part: str, trade: str | None, percent: Fraction) -> bool:
        """Return whether a percent of the budget in force is not what is earned by the day."""
        return any(earned != due for earned, due in self._beside(part, trade, percent))

    def earns_more(self, part: str, trade: str | None, percent: Fraction) -> bool:
        """Return whether more is earned by the day than a percent of the budget in force."""
        return any(earned > due for earned, due in self._beside(part, trade, percent))

    def _beside(self, part: str, trade: str | None, percent: Fraction) -> list[tuple[int, int]]:
        """Return of each trade the ms earned, and those that a percent comes to."""
        day, share = self.baseline.status_date, (percent / 100).as_integer_ratio()
        by_cell = [self.baseline.earned(cell, day) for cell in self._cells(part, trade)]
        return [(each.earned_ms, rounded_part(each.budget_ms, *share)) for each in by_cell]

    def changed_by(self, part: str) -> str | None:
        """Return what changed the budget of a part last by the day, None if nothing did."""
        day = self.baseline.status_date
        names = [name for since, name in self._changed.get(part, []) if since <= day]
        return names[-1] if names else None

    @cached_property
    def _changed(self) -> dict[str, list[tuple[date, str]]]:
        changed: dict[str, list[tuple[date, str]]] = {}
        rows = self.baseline.book.rows("baseline/budgets_changed", job=self.baseline.job)
        for part, since, name in rows:
            changed.setdefault(part, []).append((since, name))
        return changed

    def measured_anew(self, part: str, trade: str | None = None) -> MeasuredAnew | None:
        """Return since when something earned is counted otherwise, and was not on that day.

        What is counted first then is all work since. None once it was counted before the day.
        """
        versions = self.baseline.versions.of(part, self.baseline.status_date)
        switched = [
            now
            for before, now in pairwise(versions)
            if before.package["technique"] != now.package["technique"]
        ]
        if not switched or not self._earned_by(part, trade, switched[-1].place[0]):
            return None
        return self._uncounted(switched[-1], self.baseline.measures_of(part, trade))

    def _uncounted(
        self, version: PackageVersion, measures: list[Measurement]
    ) -> MeasuredAnew | None:
        package, since = version.package, version.place[0]
        counted = COUNTED.get(package["technique"])
        day = self.baseline.status_date
        known = [each.day for each in measures if counted and getattr(each, counted) is not None]
        if counted is None or any(each <= since or each < day for each in known):
            return None
        return MeasuredAnew(package["technique"], since, package["name"] or "")

    def _earned_by(self, part: str, trade: str | None, day: date) -> int:
        then = StandingProgress(self.baseline.counted_by(day))
        return sum(then.baseline.earned(cell, day).earned_ms for cell in then._cells(part, trade))

    def _cells(self, part: str, trade: str | None) -> list[CellFacts]:
        cells = self.baseline.cells.items()
        return [cell for (of, own), cell in cells if of == part and trade in {None, own}]
