"""Why the hours changed, reckoned a second time: ten steps, who asked and who bears it."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from tests.demo._reckon_amounts import LOST
from tests.demo._reckon_forecast import Forecast
from tests.demo._reckon_measures import Part
from tests.demo._reckon_sheets import NON_PRODUCTIVE, UNTAGGED

Split = dict[str, Fraction]


@dataclass(frozen=True)
class Overrun:
    """The steps from the original budget to the anticipated final of a job."""

    job: Forecast

    # parts

    @cached_property
    def varied(self) -> list[Part]:
        return [part for part in self.job.all if part[0] in self.job.variations]

    @cached_property
    def base(self) -> list[Part]:
        return [part for part in self.job.all if part[0] not in self.job.variations]

    @cached_property
    def pots(self) -> list[Part]:
        """Return the contingency: what stands outside BAC and inside the original budget."""
        own = self.job.baseline.parts()
        return [p for p in own if self.job.baseline.outside(p) and p[0] != "RESERVE"]

    def sum_of(self, part: Part, *sources: str) -> Fraction:
        budgets = [b for b in self.job.baseline.own(part) if b.on <= self.job.day]
        return Fraction(sum(b.amount(self.job.unit) for b in budgets if b.source in sources))

    def original(self, part: Part) -> Fraction:
        return self.sum_of(part, "freeze")

    def approved(self, part: Part) -> Fraction:
        return self.sum_of(part, "approval")

    def omitted(self, part: Part) -> Fraction:
        return -self.sum_of(part, "omission", "stop")

    def contingency_left(self) -> Fraction:
        every = ("freeze", "approval", "omission", "stop", "baseline_change")
        return total(self.sum_of(part, *every) for part in self.pots)

    def over(self, part: Part) -> Fraction:
        """Return F - (B0 + Q - O) - RW of a part."""
        agreed = self.original(part) + self.approved(part) - self.omitted(part)
        return self.job.forecasts[part] - agreed - self.job.rework(part)

    # changes not approved

    @cached_property
    def waiting(self) -> list[str]:
        changes = self.job.baseline.changes
        return [name for name in changes.rows if not changes.approval(name, self.job.day)]

    def spent(self, change: str) -> Fraction:
        return Fraction(self.job.booked.at(change, self.job.day, self.job.unit))

    def added(self, change: str) -> Fraction:
        """Return the hours that the latest price adds, in cost at the standard rate of the day."""
        by_trade = self.job.baseline.changes.added_ms(change, self.job.day)
        if self.job.unit == "hours":
            return Fraction(sum(by_trade.values()))
        rates = self.job.baseline.rates
        return Fraction(sum(ms * rates.standard(self.job.day, t) for t, ms in by_trade.items()))

    def anticipated(self, change: str) -> Fraction:
        """Return what a change not approved will take."""
        changes, day = self.job.baseline.changes, self.job.day
        spent = self.spent(change)
        if not changes.ever_instructed(change, day) or changes.stopped(change, day):
            return spent
        return spent + max(Fraction(0), self.added(change) - spent)

    def outside(self) -> dict[str, dict[str, Fraction]]:
        """Return budget, AC and forecast of the rows outside the job's."""
        changes, day = self.job.baseline.changes, self.job.day
        told = [name for name in self.waiting if changes.ever_instructed(name, day)]
        others, left = [n for n in self.waiting if n not in told], self.contingency_left()
        return {
            "instructed": self.outside_row(told, total(map(self.added, told))),
            "not_instructed": self.outside_row(others, Fraction(0)),
            "contingency": {"bac": left, "ac": Fraction(0), "eac": left, "etc": left},
        }

    def outside_row(self, names: list[str], bac: Fraction) -> dict[str, Fraction]:
        ac, eac = total(map(self.spent, names)), total(map(self.anticipated, names))
        return {"bac": bac, "ac": ac, "eac": eac, "etc": eac - ac}

    # steps

    @cached_property
    def steps(self) -> dict[str, Fraction]:
        job = self.job
        every = [*job.all, *self.pots]
        contingency = total(self.original(part) for part in self.pots)
        steps = {
            "original_budget": total(map(self.original, every)),
            "approved_variations": total(map(self.approved, every)),
            "omissions": -total(map(self.omitted, every)),
            "over_under_on_variations": total(map(self.over, self.varied)),
            "unapproved_changes": total(map(self.anticipated, self.waiting)),
            "rework": total(Fraction(job.rework(part)) for part in job.all),
            "over_under_on_original_work": total(map(self.over, self.base))
            + self.contingency_left()
            - contingency,
            "non_productive": Fraction(job.booked.at(NON_PRODUCTIVE, job.day, job.unit)),
            "untagged": Fraction(job.booked.at(UNTAGGED, job.day, job.unit)),
        }
        return steps | {"anticipated_final": total(steps.values())}

    @cached_property
    def anticipated_final(self) -> Fraction:
        """Return eac on the current baseline + contingency left + changes not approved."""
        eac = total(self.job.forecasts.values()) + self.job.lost()
        return eac + self.contingency_left() + self.steps["unapproved_changes"]

    def to_date(self) -> dict[str, Fraction]:
        """Return AC - EV - RW of the steps with a forecast, and the AC of unapproved changes."""
        return {
            "over_under_on_variations": total(map(self.over_by_now, self.varied)),
            "unapproved_changes": total(map(self.spent, self.waiting)),
            "over_under_on_original_work": total(map(self.over_by_now, self.base)),
        }

    def over_by_now(self, part: Part) -> Fraction:
        job = self.job
        return Fraction(job.actual(part) - job.earned(part, job.day) - job.rework(part))

    # marks

    def asked_by(self) -> Split:
        """Return who asked: the change's origin, else the cause's setting, else the yard."""
        split = self.asked_by_changes()
        for change in self.job.variations:
            split["yard"] += self.over_of(change) - self.came_of(change)
        split["yard"] += self.steps["over_under_on_original_work"]
        self.add_causes(split, "asked_by", self.job.all)
        split["yard"] += self.steps["untagged"]
        return split

    def asked_by_changes(self) -> Split:
        """Return by origin Q - O as posted, what came of it, and what is not approved."""
        split: Split = defaultdict(Fraction)
        changes = self.job.baseline.changes
        for part in self.varied:
            split[changes.origin(part[0])] += self.approved(part)
        for change, amount in self.omissions().items():
            split[changes.origin(change)] -= amount
        for change in self.job.variations:
            split[changes.origin(change)] += self.came_of(change)
        for name in self.waiting:
            split[changes.origin(name)] += self.anticipated(name)
        return split

    def came_of(self, change: str) -> Fraction:
        """Return the abortive hours of a fixed price; of daywork what is over its estimate."""
        basis = self.job.baseline.changes.basis(change)
        if basis == "daywork":
            return self.over_of(change)
        return self.abortive(change) if basis == "fixed_price" else Fraction(0)

    def own(self, change: str) -> list[Part]:
        return [part for part in self.varied if part[0] == change]

    def over_of(self, change: str) -> Fraction:
        return total(map(self.over, self.own(change)))

    def omissions(self) -> Split:
        """Return what each change took out, stops of its own work among it."""
        found: Split = defaultdict(Fraction)
        for b in self.job.baseline.budgets:
            if b.source in ("omission", "stop") and b.on <= self.job.day:
                found[b.change] -= b.amount(self.job.unit)
        return found

    def add_causes(self, split: Split, mark: str, again: list[Part]) -> None:
        """Add lost time, and rework of these parts, by their causes."""
        job = self.job
        found = [job.booked.by_cause(NON_PRODUCTIVE, job.day, job.unit, rework=False)]
        for package in dict.fromkeys(part[0] for part in again):
            found.append(job.booked.by_cause(package, job.day, job.unit, rework=True))
        for by_cause in found:
            for cause, amount in by_cause.items():
                split[self.by_setting(cause, mark)] += amount

    def by_setting(self, cause: str, mark: str) -> str:
        party = self.job.baseline.files.cause(cause).get(mark, "yard")
        return "undecided" if mark == "borne_by" and party == "owner" else party

    def borne_by(self) -> Split:
        """Return who pays."""
        split: Split = defaultdict(Fraction)
        for change in self.job.variations:
            self.add_variation(split, change)
        for name in self.waiting:
            split[self.bearer(name)] += self.anticipated(name)
        base = "owner" if self.job.baseline.job.time_charge else "yard"
        split[base] += self.steps["over_under_on_original_work"]
        changes = self.job.baseline.changes
        free = [part for part in self.varied if changes.basis(part[0]) == "no_charge"]
        again = [part for part in self.job.all if part not in free]
        self.add_causes(split, "borne_by", again)
        split["undecided"] += self.steps["untagged"]
        return split

    def add_variation(self, split: Split, change: str) -> None:
        """Add an approved change: what was approved, what is over, and what it took out.

        Work done again on it goes by its cause, unless the change is free of charge.
        """
        changes, day = self.job.baseline.changes, self.job.day
        own = self.own(change)
        agreed = total(self.approved(part) - self.omitted(part) for part in own)
        elsewhere = self.omissions()[change] - total(map(self.omitted, own))
        over = self.over_of(change)
        if changes.basis(change) == "no_charge":
            again = total(Fraction(self.job.rework(part)) for part in own)
            split["yard"] += agreed + over + again - elsewhere
            return
        split["owner"] += agreed - elsewhere
        approval = changes.approval(change, day)
        assert approval is not None
        capped = approval.row.get("not_to_exceed", "") == "yes"
        if changes.basis(change) == "daywork" and not capped:
            split["owner"] += over
            return
        paid = self.abortive(change)
        if changes.basis(change) == "daywork":
            paid += min(Fraction(0), over)
        split["owner"] += paid
        split["yard"] += over - paid

    def abortive(self, change: str) -> Fraction:
        """Return AC - EV - RW of a change stopped after approval, not below 0."""
        if not self.job.baseline.changes.stopped(change, self.job.day):
            return Fraction(0)
        return max(Fraction(0), total(map(self.over_by_now, self.own(change))))

    def bearer(self, change: str) -> str:
        """Return who bears a change that is not approved."""
        changes, day = self.job.baseline.changes, self.job.day
        state = changes.price_state(change, day)
        if state == "disputed":
            return "undecided"
        if changes.ever_instructed(change, day):
            return "instructed_price_open"
        return "yard" if state in ("declined", "withdrawn") else "at_risk"


def total(amounts: Iterable[Fraction]) -> Fraction:
    return sum(amounts, Fraction(0))


def overrun_of(job: Forecast) -> Overrun:
    """Return the overrun, which is always on the current baseline."""
    return Overrun(replace(job, on="current"))


__all__ = ["LOST", "Overrun", "overrun_of"]
