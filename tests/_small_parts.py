"""The small sample's packages and variations, by trade: budget, plan, earned, booked, forecast."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from tests._small_files import (
    FREEZE,
    NON_PRODUCTIVE,
    UNTAGGED,
    WEEK,
    Entry,
    came_on,
    changes,
    entries,
    event_day,
    labour_lines,
    measures,
    package_row,
    rate,
    rows,
    share,
    stands,
    to_the_ms,
    toml,
    weights,
    working_days,
)

Part = tuple[str, str]  # a package or variation, and a trade
Plan = list[tuple[date, Fraction]]


@dataclass(frozen=True)
class Parts:
    """The parts' figures at a status date, on one baseline, in hours or in labour cost."""

    status_date: date
    baseline: str = "current"
    measured_in: str = "hours"

    # budgets

    @property
    def variations(self) -> list[str]:
        """Return the changes that count as variations: none on the original baseline."""
        approved = [name for name in changes() if stands(name, "approved", self.status_date)]
        return approved if self.baseline == "current" else []

    def original(self, part: Part) -> Fraction:
        """Return B0, in hours."""
        own = (row for row in rows("estimate.csv") if (row["work_package"], row["trade"]) == part)
        return sum((Fraction(row["budget_hours"]) for row in own), Fraction())

    def approved(self, part: Part) -> Fraction:
        """Return Q, the hours an approval added, in hours."""
        if part[0] not in self.variations:
            return Fraction()
        own = [row for row in labour_lines(part[0]) if row["trade"] == part[1]]
        return sum((max(Fraction(row["hours"]), Fraction()) for row in own), Fraction())

    def omission(self, part: Part) -> tuple[date, Fraction] | None:
        """Return the approval day and the hours taken out of a package, None if there is none."""
        for change in self.variations:
            for row in labour_lines(change):
                if (row["work_package"], row["trade"]) == part and Fraction(row["hours"]) < 0:
                    day = came_on(change, "approved")
                    unearned = self.original(part) * (1 - share(part[0], day))
                    return day, min(-Fraction(row["hours"]), to_the_ms(unearned))
        return None

    def omitted(self, part: Part) -> Fraction:
        """Return O, positive, in hours."""
        omission = self.omission(part)
        return omission[1] if omission else Fraction()

    def budget(self, part: Part) -> Fraction:
        """Return B = B0 + Q - O, in hours."""
        return self.original(part) + self.approved(part) - self.omitted(part)

    def valued(self, part: Part, hours: Fraction) -> Fraction:
        """Return budget hours in what is measured: hours, or cost at the part's budget rate."""
        return hours * self.budget_rate(part) if self.measured_in == "cost" else hours

    def budget_rate(self, part: Part) -> Fraction:
        """Return cost_rate, else the trade's standard rate on the freeze or approval day."""
        package, trade = part
        if package in changes():
            return rate("cost_per_hour", trade, "", came_on(package, "approved"))
        own = [row for row in rows("estimate.csv") if (row["work_package"], row["trade"]) == part]
        if own and own[0]["cost_rate"]:
            return Fraction(own[0]["cost_rate"])
        return rate("cost_per_hour", trade, "", FREEZE)

    def parts(self, places: Iterable[str] | None = None) -> list[Part]:
        """Return every part with a budget or an entry, of the places or of all the job's."""
        planned = [(row["work_package"], row["trade"]) for row in rows("estimate.csv")]
        varied = [(name, r["trade"]) for name in self.variations for r in labour_lines(name)]
        held = {package for package, _ in planned} | set(self.variations)
        worked = [(entry.place, entry.trade) for entry in self.known_entries()]
        every = dict.fromkeys(planned + varied + worked)
        wanted = held if places is None else held & set(places)
        return [part for part in every if part[0] in wanted]

    # plan

    def plan(self, part: Part) -> Plan:
        """Return the part's planned hours by day on this baseline."""
        if part[0] in changes():
            begun = min(d for e in ("instructed", "approved") if (d := event_day(part[0], e)))
            finish = toml("job.toml")["job"]["planned_finish"]
            return spread(self.budget(part), working_days(begun, finish))
        return self.cut(part, original_plan(part[0], self.original(part)))

    def cut(self, part: Part, plan: Plan) -> Plan:
        """Return the plan with an omission taken pro rata from the days after its approval."""
        omission = self.omission(part)
        if omission is None:
            return plan
        day, taken = omission
        later = sum((hours for when, hours in plan if when > day), Fraction())
        from_later = min(taken, later)
        cut = [(w, h - h * from_later / later if w > day else h) for w, h in plan]
        return [*cut, (day, from_later - taken)]

    def planned_value(self, part: Part, day: date) -> Fraction:
        hours = sum((hours for when, hours in self.plan(part) if when <= day), Fraction())
        return self.valued(part, hours)

    # earned and actual

    def earned_hours(self, part: Part, day: date) -> Fraction:
        """Return EV in hours; after an omission what was earned stays and the rest runs on."""
        now, omission = share(part[0], day), self.omission(part)
        whole = self.approved(part) if part[0] in changes() else self.original(part)
        if omission is None or day < omission[0]:
            return to_the_ms(whole * now)
        then = share(part[0], omission[0])
        kept = to_the_ms(whole * then)
        return to_the_ms(kept + (self.budget(part) - kept) * (now - then) / (1 - then))

    def earned_value(self, part: Part, day: date) -> Fraction:
        return self.valued(part, self.earned_hours(part, day))

    def known_entries(self, day: date | None = None) -> list[Entry]:
        return [entry for entry in entries() if entry.day <= (day or self.status_date)]

    def booked(self, day: date | None = None, *, place: str, trade: str = "") -> Fraction:
        """Return what was booked to a place by the day, of one trade or of all."""
        found = [e for e in self.known_entries(day) if e.place == place]
        return sum(
            (e.amount(self.measured_in) for e in found if trade in ("", e.trade)), Fraction()
        )

    def actual(self, part: Part, day: date | None = None) -> Fraction:
        return self.booked(day, place=part[0], trade=part[1])

    def rework(self, part: Part) -> Fraction:
        """Return RW, the part's rework within AC."""
        found = [e for e in self.known_entries() if (e.place, e.trade) == part and e.rework]
        return sum((e.amount(self.measured_in) for e in found), Fraction())

    # forecast

    def factor(self) -> Fraction:
        """Return f = EV / AC of the job once 15 % is earned, else 1."""
        bac, _, ev, ac = self.totals(self.parts(), self.status_date, lost_time=True)
        return ev / ac if ac and ev and ev >= Fraction(15, 100) * bac else Fraction(1)

    def is_complete(self, part: Part) -> bool:
        budget = self.budget(part)
        finished = any(row["finished"] for row in measures(part[0], self.status_date))
        return finished or self.earned_hours(part, self.status_date) == budget > 0

    def own_estimate(self, part: Part) -> Fraction | None:
        """Return AC then + ETC then, never below AC now, of a measure not over four weeks old."""
        found = [
            row
            for row in measures(part[0], self.status_date)
            if row["estimate_to_complete_hours"] and row["trade"] in ("", part[1])
        ]
        if (
            not found
            or (then := date.fromisoformat(found[-1]["date"])) < self.status_date - 4 * WEEK
        ):
            return None
        to_complete = self.valued(part, Fraction(found[-1]["estimate_to_complete_hours"]))
        return max(self.actual(part, then) + to_complete, self.actual(part))

    def forecast(self, part: Part) -> Fraction:
        """Return F: AC if complete, else the own estimate, else AC + (B - EV) / f."""
        if self.is_complete(part):
            return self.actual(part)
        own = self.own_estimate(part)
        if own is not None:
            return own
        left = self.valued(part, self.budget(part)) - self.earned_value(part, self.status_date)
        to_come = left / self.factor()
        return self.actual(part) + (to_the_ms(to_come) if self.measured_in == "hours" else to_come)

    def totals(
        self, parts: list[Part], day: date, *, lost_time: bool
    ) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        """Return BAC, PV, EV and AC of parts on a day, with non-productive and untagged or not."""
        lost = [self.booked(day, place=place) for place in (NON_PRODUCTIVE, UNTAGGED)]
        return (
            sum((self.valued(part, self.budget(part)) for part in parts), Fraction()),
            sum((self.planned_value(part, day) for part in parts), Fraction()),
            sum((self.earned_value(part, day) for part in parts), Fraction()),
            sum((self.actual(part, day) for part in parts), Fraction()) + lost_time * sum(lost),
        )


def spread(hours: Fraction, days: list[date]) -> Plan:
    """Return hours spread evenly; the running total is rounded to the ms and ends exactly."""
    running = [to_the_ms(hours * n / len(days)) for n in range(len(days) + 1)]
    return [(day, running[n + 1] - running[n]) for n, day in enumerate(days)]


def original_plan(package: str, hours: Fraction) -> Plan:
    """Return a package's planned hours by its technique."""
    row = package_row(package)
    start, finish = (date.fromisoformat(row[name]) for name in ("planned_start", "planned_finish"))
    match row["technique"]:
        case "weighted_milestone":
            return [(day, hours * weight) for _, weight, day in weights(package)]
        case "fixed_formula":
            first = hours * Fraction(row["start_share"])
            return [(start, first), (finish, hours - first)]
    return spread(hours, working_days(start, finish))
