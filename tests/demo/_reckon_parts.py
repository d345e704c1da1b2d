"""The parts of a job at a status date, reckoned a second time: budget, plan, earned, booked."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property

from tests.demo._reckon_amounts import LOST, Booked
from tests.demo._reckon_baseline import UNDISTRIBUTED, Baseline, Budget
from tests.demo._reckon_measures import Part
from tests.demo._reckon_plan import Days

LEVEL_OF_EFFORT = "level_of_effort"


@dataclass(frozen=True)
class Totals:
    """BAC, PV, EV and AC of some parts on a day."""

    bac: int
    pv: int
    ev: int
    ac: int


@dataclass(frozen=True)
class Parts:
    """The parts of a job at a status date, on one baseline, in ms or in cost units."""

    baseline: Baseline
    booked: Booked
    day: date
    on: str = "current"
    unit: str = "hours"

    @property
    def original(self) -> bool:
        return self.on == "original"

    @cached_property
    def variations(self) -> list[str]:
        """Return the approved changes; none on the original baseline."""
        changes = self.baseline.changes
        approved = [name for name in changes.rows if changes.approval(name, self.day)]
        return [] if self.original else approved

    @cached_property
    def own_places(self) -> set[str]:
        """Return the places whose time is in the job's AC, lost time apart."""
        planned = {part[0] for part, p in self.baseline.packages.items() if "change" not in p.row}
        return planned | set(self.variations)

    @cached_property
    def all(self) -> list[Part]:
        """Return every part with a budget or an entry by the status date."""
        planned = [part for part in self.baseline.parts() if self.budgets(part)]
        planned = [part for part in planned if not self.baseline.outside(part)]
        places = [place for place in self.booked.places(self.day) if place in self.own_places]
        worked = [
            (place, trade)
            for place in places
            for trade in self.booked.trades(place)
            if self.booked.days[place, trade][0] <= self.day
        ]
        return list(dict.fromkeys([*planned, *worked]))

    def budgets(self, part: Part) -> list[Budget]:
        """Return the part's budgets that count at the status date on this baseline."""
        return [
            b
            for b in self.baseline.own(part)
            if b.on <= self.day and (not self.original or b.source == "freeze")
        ]

    def technique(self, part: Part) -> str:
        alike = [p for own, p in self.baseline.packages.items() if own[0] == part[0]]
        return alike[0].technique if alike else ""

    def measured(self, part: Part) -> bool:
        """Tell whether the part is measured at all: level of effort is not."""
        return self.technique(part) != LEVEL_OF_EFFORT

    # amounts of one part

    def valued(self, part: Part, ms: int) -> int:
        """Return budget hours in the unit: ms, or cost units at the part's budget rate."""
        if self.unit == "hours" or not ms:
            return ms
        return ms * self.rate(part)

    def rate(self, part: Part) -> int:
        if self.baseline.own(part):
            return self.baseline.rate(part)
        assert self.baseline.frozen_on is not None
        return self.baseline.rates.standard(self.baseline.frozen_on, part[1])

    def budget_ms(self, part: Part) -> int:
        if self.baseline.outside(part):
            return 0
        return sum(budget.ms for budget in self.budgets(part))

    def budget(self, part: Part) -> int:
        if self.baseline.outside(part):
            return 0
        return sum(budget.amount(self.unit) for budget in self.budgets(part))

    def plan(self, part: Part) -> Days:
        return self.baseline.plan(part, self.day, ("freeze",) if self.original else ())

    def planned(self, part: Part, day: date) -> int:
        return self.valued(part, sum(ms for when, ms in self.plan(part) if when <= day))

    def earned_ms(self, part: Part, day: date) -> int:
        if not self.budgets(part):
            return 0
        if self.original:
            return self.baseline.original_earned(part, day)
        return self.baseline.earned_by(part, day, self.baseline.measures, self.day)

    def earned(self, part: Part, day: date) -> int:
        return self.valued(part, self.earned_ms(part, day))

    def actual(self, part: Part, day: date | None = None) -> int:
        return self.booked.amount(*part, day or self.day, self.unit)

    def rework(self, part: Part) -> int:
        return self.booked.rework(*part, self.day, self.unit)

    # sums

    def lost(self, day: date | None = None) -> int:
        """Return non-productive and untagged time."""
        return sum(self.booked.at(place, day or self.day, self.unit) for place in LOST)

    def totals(self, parts: list[Part], day: date, *, lost: bool = False) -> Totals:
        """Return the sums of parts on a day, with or without lost time."""
        return Totals(
            sum(self.budget(part) for part in parts),
            sum(self.planned(part, day) for part in parts),
            sum(self.earned(part, day) for part in parts),
            sum(self.actual(part, day) for part in parts) + (self.lost(day) if lost else 0),
        )

    @cached_property
    def factor(self) -> Fraction:
        """Return f: EV / AC without level of effort once enough is earned, else 1."""
        parts = [part for part in self.all if self.measured(part)]
        t = self.totals(parts, self.day, lost=True)
        measuring = self.baseline.files.settings.get("measuring", {})
        threshold = Fraction(str(measuring.get("forecast_threshold_percent", "15"))) / 100
        enough = t.ev > 0 and t.ac > 0 and t.ev >= threshold * t.bac
        return Fraction(t.ev, t.ac) if enough else Fraction(1)

    def control_account(self, part: Part) -> str:
        if part[0] in self.baseline.changes.rows:
            return "changes"
        rows = [p.row for own, p in self.baseline.packages.items() if own[0] == part[0]]
        return rows[0].get("control_account", "") or self.shown(part[0])

    @staticmethod
    def shown(package: str) -> str:
        return package.lower() if package == UNDISTRIBUTED else package
