"""The small sample job's figures: rows of performance, time, and the steps of the overrun."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from tests._small_files import (
    NON_PRODUCTIVE,
    UNTAGGED,
    WEEK,
    changes,
    labour_lines,
    measures,
    package_row,
    rate,
    rows,
    stands,
    toml,
    week_end,
    working_days,
)
from tests._small_parts import Part, Parts

Figures = dict[str, Fraction | None]

STATUS_DATE = date(2026, 3, 22)
OTHER_DATES = [date(2026, 3, 8), date(2026, 3, 15), date(2026, 3, 18)]
BASELINES, UNITS = ("current", "original"), ("hours", "cost")
RATIOS = {"cpi", "spi", "percent_complete", "tcpi_bac", "tcpi_eac", "cpi_measured", "spi_measured"}
WEEKS = {"earned_schedule", "actual_time", "planned_duration", "sv_time", "forecast_duration"}
SIX_PLACES = RATIOS | WEEKS | {"spi_time"}


@dataclass(frozen=True)
class Reckoning(Parts):
    """The job's figures at a status date, on one baseline, in hours or in labour cost."""

    # rows

    def row(self, parts: list[Part], *, lost_time: bool = False) -> Figures:
        """Return every figure of a row of performance."""
        bac, pv, ev, ac = self.totals(parts, self.status_date, lost_time=lost_time)
        untagged = (self.booked(place=place) for place in (NON_PRODUCTIVE, UNTAGGED))
        lost = sum(untagged, Fraction()) * lost_time
        eac = sum((self.forecast(part) for part in parts), Fraction()) + lost
        figures = formulas(bac, pv, ev, ac) | remaining(bac, ev, ac, eac)
        recent = self.recent_cpi(parts, lost_time=lost_time)
        figures["eac_recent"] = ac + (bac - ev) / recent if recent else None
        figures["eac_own_estimate"] = self.own_total(parts, lost)
        return figures

    def job(self) -> Figures:
        return self.row(self.parts(), lost_time=True)

    def lost(self, place: str) -> Figures:
        """Return the row of a place without budget: its time is its forecast."""
        ac = self.booked(place=place)
        none = Fraction()
        figures = formulas(none, none, none, ac) | remaining(none, none, ac, ac)
        return figures | {"eac_own_estimate": ac}  # no part of it is open

    def own_total(self, parts: list[Part], lost: Fraction) -> Fraction | None:
        """Return the sum of the own estimates, None if a part still open has none."""
        own = [
            self.actual(part) if self.is_complete(part) else self.own_estimate(part)
            for part in parts
        ]
        known = [amount for amount in own if amount is not None]
        return sum(known, lost) if len(known) == len(own) else None

    def recent_cpi(self, parts: list[Part], *, lost_time: bool) -> Fraction | None:
        """Return EV over AC of the four weeks up to the last week end by the status date.

        There is none where nothing was measured in these weeks.
        """
        end = week_end(self.status_date)
        end = end if end == self.status_date else end - WEEK
        days = [date.fromisoformat(m["date"]) for part in parts for m in measures(part[0], end)]
        if not any(day > end - 4 * WEEK for day in days):
            return None
        now = self.totals(parts, end, lost_time=lost_time)
        before = self.totals(parts, end - 4 * WEEK, lost_time=lost_time)
        earned, spent = now[2] - before[2], now[3] - before[3]
        return earned / spent if spent else None

    def by(self, grouping: str) -> dict[str, Figures]:
        """Return the rows by work-package, control-account or trade, lost time among them."""
        groups: dict[str, list[Part]] = {}
        for part in self.parts():
            package, trade = part
            keys = {"work-package": package, "trade": trade}
            key = keys.get(grouping) or control_account(package)
            groups.setdefault(key, []).append(part)
        return {key: self.row(parts) for key, parts in groups.items()} | {
            place: self.lost(place) for place in (NON_PRODUCTIVE, UNTAGGED)
        }

    # time

    def time(self) -> Figures:
        """Return the earned schedule and what follows from it, in weeks."""
        ends, planned = self.planned_by_week()
        _, _, earned, _ = self.totals(self.parts(), self.status_date, lost_time=True)
        earned_schedule = interpolate([Fraction(), *planned], earned)
        actual_time = self.actual_time(ends[0])
        duration = Fraction(planned.index(planned[-1]) + 1)
        spi_time = earned_schedule / actual_time
        return {
            "earned_schedule": earned_schedule,
            "actual_time": actual_time,
            "planned_duration": duration,
            "sv_time": earned_schedule - actual_time,
            "spi_time": spi_time,
            "forecast_duration": duration / spi_time,
        }

    def planned_by_week(self) -> tuple[list[date], list[Fraction]]:
        """Return the plan's week ends and PV at each."""
        days = [day for part in self.parts() for day, _ in self.plan(part)]
        ends = [week_end(min(days))]
        while ends[-1] < max(days):
            ends.append(ends[-1] + WEEK)
        return ends, [self.totals(self.parts(), end, lost_time=True)[1] for end in ends]

    def actual_time(self, first_end: date) -> Fraction:
        """Return full weeks before the status date's, and the part of its own that has passed."""
        monday = self.status_date - timedelta(days=self.status_date.weekday())
        this_week = working_days(monday, monday + timedelta(days=6))
        passed = len(working_days(monday, self.status_date))
        return Fraction((week_end(monday) - first_end).days, 7) + Fraction(passed, len(this_week))

    def forecast_finish(self) -> date:
        """Return the working day on which the forecast duration ends, rounded up."""
        first = self.planned_by_week()[0][0] - timedelta(days=6)
        duration = self.time()["forecast_duration"]
        assert duration is not None
        weeks, rest = divmod(duration, 1)
        day_number = -(-rest * 5 // 1)  # the ceiling
        if day_number == 0:
            return first + int(weeks) * WEEK - timedelta(days=3)
        return first + int(weeks) * WEEK + timedelta(days=int(day_number) - 1)

    # the overrun

    def unapproved(self) -> dict[str, Fraction]:
        """Return the anticipated amount of each change not approved, by number."""
        day = self.status_date
        waiting = [name for name in changes() if not stands(name, "approved", day)]
        return {name: self.anticipated(name) for name in waiting}

    def anticipated(self, change: str) -> Fraction:
        """Return the change's AC + for an instructed one the added hours not yet worked."""
        spent = self.booked(place=change)
        if not stands(change, "instructed", self.status_date):
            return spent
        return spent + max(Fraction(), self.added(change) - spent)

    def added(self, change: str) -> Fraction:
        """Return the latest price's added labour, at the trade's standard rate if in cost."""
        lines = [row for row in labour_lines(change) if Fraction(row["hours"]) > 0]
        in_cost = self.measured_in == "cost"
        amounts = (
            Fraction(row["hours"])
            * (rate("cost_per_hour", row["trade"], "", self.status_date) if in_cost else 1)
            for row in lines
        )
        return sum(amounts, Fraction())

    def steps(self) -> dict[str, Fraction]:
        """Return the ten steps from the original budget to the anticipated final."""
        base = self.parts({row["work_package"] for row in rows("estimate.csv")})
        varied = self.parts(self.variations)
        steps = {
            "original_budget": self.total(base, lambda p: self.valued(p, self.original(p))),
            "approved_variations": self.total(varied, lambda p: self.valued(p, self.approved(p))),
            "omissions": -self.total(base, lambda p: self.valued(p, self.omitted(p))),
            "over_under_on_variations": self.total(varied, self.over_under),
            "unapproved_changes": sum(self.unapproved().values(), Fraction()),
            "rework": self.total(base + varied, self.rework),
            "over_under_on_original_work": self.total(base, self.over_under),
            "non_productive": self.booked(place=NON_PRODUCTIVE),
            "untagged": self.booked(place=UNTAGGED),
        }
        return steps | {"anticipated_final": sum(steps.values(), Fraction())}

    def over_under(self, part: Part) -> Fraction:
        """Return F - B - RW of a part."""
        return self.forecast(part) - self.valued(part, self.budget(part)) - self.rework(part)

    @staticmethod
    def total(parts: list[Part], amount: Callable[[Part], Fraction]) -> Fraction:
        return sum((amount(part) for part in parts), Fraction())

    def asked_by(self) -> dict[str, Fraction]:
        """Return who asked for the growth: the change's origin, else the cause's, else the yard."""
        steps = self.steps()
        split: dict[str, Fraction] = {}
        for step in ("approved_variations", "omissions"):
            add(split, "owner", steps[step])  # the only variation is of the owner's making
        add(split, "yard", steps["over_under_on_variations"])  # its price is fixed
        for name, amount in self.unapproved().items():
            add(split, changes()[name]["origin"], amount)
        add(split, "yard", steps["over_under_on_original_work"] + steps["untagged"])
        self.add_causes(split, "asked_by")
        return split

    def borne_by(self) -> dict[str, Fraction]:
        """Return who pays for the growth."""
        steps = self.steps()
        split: dict[str, Fraction] = {}
        add(split, "owner", steps["approved_variations"] + steps["omissions"])
        add(split, "yard", steps["over_under_on_variations"])  # the variation's price is fixed
        for name, amount in self.unapproved().items():
            told = stands(name, "instructed", self.status_date)
            add(split, "instructed_price_open" if told else "at_risk", amount)
        add(split, "undecided", steps["untagged"])
        add(split, "yard", steps["over_under_on_original_work"])
        self.add_causes(split, "borne_by")
        return split

    def add_causes(self, split: dict[str, Fraction], mark: str) -> None:
        """Add lost time and rework of the base work by their causes' settings."""
        for entry in self.known_entries():
            cause = entry.cause or entry.rework
            if cause:
                party = toml("settings.toml")["causes"][cause][mark]
                add(split, party, entry.amount(self.measured_in))


def add(split: dict[str, Fraction], key: str, amount: Fraction) -> None:
    split[key] = split.get(key, Fraction()) + amount


def control_account(package: str) -> str:
    return "changes" if package in changes() else package_row(package)["control_account"]


def ratio(over: Fraction, under: Fraction) -> Fraction | None:
    return over / under if under else None


def formulas(bac: Fraction, pv: Fraction, ev: Fraction, ac: Fraction) -> Figures:
    """Return a row's figures by the published formulas; None where one is not defined."""
    cpi, spi = (ratio(ev, ac), ratio(ev, pv)) if bac else (None, None)
    left = bac - ev
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
        "eac_cpi_spi": ac + left / (cpi * spi) if cpi and spi else None,
        "eac_weighted": ac + left / weighted if weighted else None,
        "eac_recent": None,
        "eac_own_estimate": None,
        "tcpi_bac": left / (bac - ac) if bac > ac else None,
        "cpi_measured": cpi,
        "spi_measured": spi,
    }


def remaining(bac: Fraction, ev: Fraction, ac: Fraction, eac: Fraction) -> Figures:
    """Return the figures that follow from the forecast."""
    return {
        "eac": eac,
        "etc": eac - ac,
        "vac": bac - eac,
        "tcpi_eac": (bac - ev) / (eac - ac) if eac > ac else None,
    }


def interpolate(planned: list[Fraction], earned: Fraction) -> Fraction:
    """Return the time, in weeks, at which the plan stood at what is earned."""
    if earned >= planned[-1]:
        return Fraction(planned.index(planned[-1]))
    week = max(n for n, value in enumerate(planned) if value <= earned)
    return week + (earned - planned[week]) / (planned[week + 1] - planned[week])


def rounded(name: str, value: Fraction | None) -> Decimal | None:
    """Return a reckoned figure as printed: ratios and weeks to 6 places, the rest to 4."""
    if value is None:
        return None
    exact = Fraction(value)
    step = Decimal("0.000001") if name in SIX_PLACES else Decimal("0.0001")
    parts = abs(exact) / Fraction(step) + Fraction(1, 2)
    return (Decimal(int(parts)) * step).copy_sign(Decimal(exact.numerator))


def all_rounded(figures: Mapping[str, Fraction | None]) -> dict[str, Decimal | None]:
    return {name: rounded(name, value) for name, value in figures.items()}
