"""Where a job will end, reckoned a second time: the forecast of each part, and rows of figures."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property

from tests.demo._reckon_amounts import LOST
from tests.demo._reckon_files import DAY, WEEK, Fact, a_day, round_half_away
from tests.demo._reckon_measures import Part, estimate_ms
from tests.demo._reckon_parts import Parts
from tests.demo._reckon_time import Schedule

Figures = dict[str, Fraction | None]
ZERO = Fraction(0)


@dataclass(frozen=True)
class Forecast(Parts):
    """The parts of a job with what they will take."""

    @cached_property
    def schedule(self) -> Schedule:
        return Schedule(self)

    # one part

    def complete(self, part: Part, day: date | None = None) -> bool:
        """Tell whether a part is complete: all earned, or finished, or its change was stopped."""
        when, changes = day or self.day, self.baseline.changes
        if part[0] in changes.rows and (
            changes.complete(part[0], when) or changes.stopped(part[0], when)
        ):
            return True
        if self.baseline.measures.finished(part, when):
            return True
        return self.earned_ms(part, when) == self.budget_ms(part) > 0

    def open(self, part: Part) -> bool:
        """Tell whether a part is not complete: one of a trade not planned is, with its package."""
        if self.budgets(part):
            return not self.complete(part)
        planned = [p for p in self.all if p[0] == part[0] and self.budgets(p)]
        return not all(map(self.complete, planned)) and not self.complete(part)

    def own_estimate(self, part: Part) -> Fraction | None:
        """Return AC then + what was estimated to come then, never below AC now.

        An estimate without a trade is one of the whole package: what is left of it now is split
        over the open trades by what they have not earned.
        """
        fact = self.baseline.measures.to_complete(part, self.day)
        if fact is None or a_day(fact.row["date"]) < self.day - 4 * WEEK:
            return None
        spent = self.actual(part)
        if fact.row.get("trade"):
            return spent + self.left_of(fact, [part])
        own = [other for other in self.all if other[0] == part[0]]
        weight = {other: self.unearned(other) for other in own}
        if not any(weight.values()):  # nothing left by the budget, yet work was seen to come
            weight = {other: int(self.is_planned_and_open(other)) for other in own}
        whole = sum(weight.values())
        share = Fraction(weight[part]) / whole if whole else Fraction()
        return spent + self.left_of(fact, own) * share

    def is_planned_and_open(self, part: Part) -> bool:
        return bool(self.budgets(part)) and not self.complete(part)

    def left_of(self, fact: Fact, parts: list[Part]) -> Fraction:
        """Return what is left of an estimate to complete: nothing, once more than it was booked."""
        then = a_day(fact.row["date"])
        since = sum(self.actual(part) - self.actual(part, then) for part in parts)
        return max(ZERO, estimate_ms(fact) * self.budget_rate(parts) - since)

    def budget_rate(self, parts: list[Part]) -> Fraction:
        """Return what an hour of the parts' budget is worth in the unit."""
        if self.unit == "hours":
            return Fraction(1)
        ms = sum(self.budget_ms(part) for part in parts)
        return Fraction(sum(map(self.budget, parts)), ms) if ms else Fraction(self.rate(parts[0]))

    def unearned(self, part: Part) -> int:
        if self.complete(part):
            return 0
        return max(0, self.budget(part) - self.earned(part, self.day))

    @cached_property
    def forecasts(self) -> dict[Part, Fraction]:
        return {part: self.forecast(part) for part in self.all}

    def forecast(self, part: Part) -> Fraction:
        """Return F of a part."""
        spent = self.actual(part)
        if self.complete(part):
            return Fraction(spent)
        own = self.own_estimate(part)
        if own is not None:
            return own if self.unit == "cost" else Fraction(round_half_away(own))
        return spent + self.to_come(part)

    def to_come(self, part: Part) -> Fraction:
        if not self.measured(part):
            return self.effort_to_come(part)
        left = self.budget(part) - self.earned(part, self.day)
        exact = left / self.factor
        return Fraction(round_half_away(exact)) if self.unit == "hours" else exact

    def effort_to_come(self, part: Part) -> Fraction:
        """Return what level of effort will still take: its budget by working days to come."""
        if not self.budget(part):
            return ZERO
        row = self.baseline.packages[part].row
        start, finish = a_day(row["planned_start"]), a_day(row["planned_finish"])
        days = self.baseline.job.working_days(start, finish)
        after = max(self.day, start - DAY) + DAY
        left = self.baseline.job.working_days(after, self.put_later(finish))
        exact = Fraction(self.budget(part) * len(left), len(days))
        return Fraction(round_half_away(exact)) if self.unit == "hours" else exact

    def put_later(self, finish: date) -> date:
        """Return a day put later by the working days that the measured work slips."""
        day, left = finish, self.schedule.slip
        while left:
            day += DAY
            left -= self.baseline.job.works(day)
        return day

    # rows

    def row(self, parts: list[Part], *, lost: bool = False) -> Figures:
        """Return every figure of a row; the job's own has the lost time in it."""
        t = self.totals(parts, self.day, lost=lost)
        taken = self.lost() if lost else 0
        eac = sum((self.forecasts[part] for part in parts), Fraction(taken))
        figures = formulas(*map(Fraction, (t.bac, t.pv, t.ev, t.ac)))
        figures |= remaining(t.bac, t.ev, t.ac, eac)
        recent = self.recent_cpi(parts, lost=lost)
        figures["eac_recent"] = t.ac + (t.bac - t.ev) / recent if recent and t.bac else None
        figures["eac_own_estimate"] = self.own_total(parts, taken)
        return figures | self.indices_measured(parts, lost=lost)

    def indices_measured(self, parts: list[Part], *, lost: bool) -> Figures:
        """Return CPI and SPI without level of effort."""
        t = self.totals([part for part in parts if self.measured(part)], self.day, lost=lost)
        return {
            "cpi_measured": ratio(t.ev, t.ac) if t.bac else None,
            "spi_measured": ratio(t.ev, t.pv) if t.bac else None,
        }

    def recent_cpi(self, parts: list[Part], *, lost: bool) -> Fraction | None:
        """Return EV over AC of the four weeks up to the last week end by the status date.

        There is none where something is to be measured and nothing was in these weeks.
        """
        end = self.baseline.job.week_end(self.day)
        end = end if end == self.day else end - WEEK
        by_work = [part for part in parts if self.measured(part) and self.budget(part)]
        since = end - 4 * WEEK
        if by_work and not any(day > since for part in by_work for day in self.days(part, end)):
            return None
        now = self.totals(parts, end, lost=lost)
        before = self.totals(parts, end - 4 * WEEK, lost=lost)
        return ratio(now.ev - before.ev, now.ac - before.ac)

    def days(self, part: Part, last: date) -> list[date]:
        """Return the days by the last one on which a part was measured, or its base was."""
        baseline = self.baseline
        if part in baseline.packages and baseline.measured(part) != part[0]:
            facts = baseline.measures.of_package(baseline.measured(part), last)
        else:
            facts = baseline.measures.of(part, last)
        return [a_day(fact.row["date"]) for fact in facts]

    def own_total(self, parts: list[Part], taken: int) -> Fraction | None:
        """Return the sum of the own estimates, None if a part still open has none."""
        own = [self.own_estimate(part) if self.open(part) else self.actual(part) for part in parts]
        known = [amount for amount in own if amount is not None]
        return sum(map(Fraction, known), Fraction(taken)) if len(known) == len(own) else None

    def lost_row(self, place: str) -> Figures:
        """Return the row of time without a budget: what it took is what it will take."""
        ac = self.booked.at(place, self.day, self.unit)
        figures = formulas(ZERO, ZERO, ZERO, Fraction(ac)) | remaining(0, 0, ac, Fraction(ac))
        none: Figures = {"eac_recent": None, "cpi_measured": None, "spi_measured": None}
        return figures | none | {"eac_own_estimate": Fraction(ac)}

    def rows(self, by: str) -> dict[str, Figures]:
        """Return the rows by job, work-package, control-account or trade."""
        if by not in self.made:
            self.made[by] = self.rows_made(by)
        return self.made[by]

    @cached_property
    def made(self) -> dict[str, dict[str, Figures]]:
        return {}

    def rows_made(self, by: str) -> dict[str, Figures]:
        if by == "job":
            return {self.baseline.job.code: self.row(self.all, lost=True)}
        groups: dict[str, list[Part]] = {}
        for part in self.all:
            key = {"work-package": self.shown(part[0]), "trade": part[1]}
            groups.setdefault(key.get(by, self.control_account(part)), []).append(part)
        rows = {key: self.row(parts) for key, parts in groups.items()}
        return rows | {place: self.lost_row(place) for place in LOST}


def ratio(over: Fraction | int, under: Fraction | int) -> Fraction | None:
    return Fraction(over) / under if under else None


def product(values: Iterable[Fraction | None]) -> Fraction | None:
    found = Fraction(1)
    for value in values:
        if value is None:
            return None
        found *= value
    return found


def formulas(bac: Fraction, pv: Fraction, ev: Fraction, ac: Fraction) -> Figures:
    """Return a row's figures by the published formulas; None where one is not defined."""
    cpi, spi = (ratio(ev, ac), ratio(ev, pv)) if bac else (None, None)
    left, both = bac - ev, product((cpi, spi))
    weighted = None if cpi is None or spi is None else cpi * 4 / 5 + spi / 5
    return {
        "bac": bac,
        "pv": pv,
        "ev": ev,
        "ac": ac,
        "sv": ev - pv,
        "cv": ev - ac,
        "spi": spi,
        "cpi": cpi,
        "percent_complete": ratio(100 * ev, bac),
        "eac_budget_rate": ac + left,
        "eac_cpi": bac / cpi if cpi else None,
        "eac_cpi_spi": ac + left / both if both else None,
        "eac_weighted": ac + left / weighted if weighted else None,
        "tcpi_bac": left / (bac - ac) if bac > ac else None,
    }


def remaining(bac: int, ev: int, ac: int, eac: Fraction) -> Figures:
    """Return the figures that follow from the forecast."""
    return {
        "eac": eac,
        "etc": eac - ac,
        "vac": bac - eac,
        "tcpi_eac": (bac - ev) / (eac - ac) if bac and eac > ac else None,
    }
