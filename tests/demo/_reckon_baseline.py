"""The baseline of a job, read a second time: budgets and plans as they were changed, and EV.

The loads are gone through in their order, since what an approval takes out depends on what had
been measured when it was recorded.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from tests.demo._reckon_changes import Changes, Event, added, labour
from tests.demo._reckon_files import (
    Fact,
    Files,
    Load,
    Rates,
    Row,
    a_day,
    hours_ms,
    rate_units,
    round_half_away,
)
from tests.demo._reckon_measures import Measures, Package, Part, share
from tests.demo._reckon_plan import Days, by_file, by_technique, merged, running, spread
from tests.demo._reckon_sheets import split_ms

CONTINGENCY, RESERVE, UNDISTRIBUTED = "CONTINGENCY", "RESERVE", "UNDISTRIBUTED"
POTS = (CONTINGENCY, RESERVE, UNDISTRIBUTED)
EARNS_NOTHING = ("planning", "contingency")


@dataclass(frozen=True)
class Budget:
    """A signed amount of a part's budget, with its plan, from a day on."""

    part: Part
    on: date
    load: int
    source: str  # freeze, approval, omission, stop, baseline_change
    change: str
    ms: int
    rate: int
    plan: tuple[tuple[date, int], ...]

    def amount(self, unit: str) -> int:
        """Return the hours in ms, or their cost at the budget rate."""
        return self.ms if unit == "hours" else self.ms * self.rate


class Baseline:
    """The signed budgets of one job, in the order in which they were recorded."""

    def __init__(self, files: Files, code: str) -> None:
        self.files, self.job = files, files.job(code)
        self.changes, self.rates = Changes(files, code), Rates(files)
        self.budgets: list[Budget] = []
        self.packages: dict[Part, Package] = {}
        self.frozen_on = files.freezes[code].on
        for load in files.loads:
            if load.job == code:
                self.take(load)
        self.measures = Measures(files, code)

    def take(self, load: Load) -> None:
        if load.kind == "freeze":
            self.freeze(load)
        elif load.kind == "change-events":
            every = [event for events in self.changes.events.values() for event in events]
            for event in sorted(every, key=lambda event: event.day):
                if event.load == load.number:
                    self.happen(event)
        elif load.kind == "baseline-changes":
            self.move(load)

    # the freeze

    def freeze(self, load: Load) -> None:
        for row in self.files.rows("estimate", self.job.code):
            part = (row["work_package"], row["trade"])
            self.packages[part] = self.package(row)
        for part, package in self.packages.items():
            ms = hours_ms(package.row["budget_hours"])
            rate = self.frozen_rate(part, load.number)
            plan = self.first_plan(part, package, ms)
            self.add(Budget(part, self.day_of(load), load.number, "freeze", "", ms, rate, plan))

    @staticmethod
    def day_of(load: Load) -> date:
        assert load.on is not None
        return load.on

    def package(self, row: Row) -> Package:
        every = self.files.rows("milestones", self.job.code)
        name = row.get("work_package") or row["change"]
        return Package(row, tuple(m for m in every if m["work_package"] == name))

    def standard(self, day: date, trade: str, load: int) -> int:
        """Return the standard rate that the book had at a load, else the one it got later."""
        known = Rates(self.files, before=load).find(day, trade)
        return self.rates.standard(day, trade) if known is None else known

    def frozen_rate(self, part: Part, load: int) -> int:
        """Return the part's cost_rate, else its trade's standard rate on the day of the freeze."""
        written = self.packages[part].row.get("cost_rate")
        assert self.frozen_on is not None
        return rate_units(written) if written else self.standard(self.frozen_on, part[1], load)

    def first_plan(self, part: Part, package: Package, ms: int) -> tuple[tuple[date, int], ...]:
        if package.kind == "contingency":
            return ()
        rows = self.files.rows("plan", self.job.code)
        own = [row for row in rows if row["work_package"] == part[0]]
        if own:
            return tuple(merged(by_file(own, part[1], ms)))
        if package.technique == "apportioned_effort":
            return tuple(running(ms, self.base_days(package.row["base_package"])))
        return tuple(by_technique(self.job, package, ms))

    def base_days(self, base: str) -> list[tuple[date, Fraction]]:
        """Return the whole plan of a package by day, all its trades together."""
        days: Days = []
        for part, package in self.packages.items():
            if part[0] == base:
                days += self.first_plan(part, package, hours_ms(package.row["budget_hours"]))
        return [(day, Fraction(ms)) for day, ms in merged(days)]

    def add(self, budget: Budget) -> None:
        self.budgets.append(budget)

    # approvals, omissions and stops

    def happen(self, event: Event) -> None:
        if event.word == "approved":
            self.approve(event)
        elif event.word == "stopped" and self.changes.approval(event.change, event.day):
            for part in [p for p in self.parts() if p[0] == event.change]:
                self.take_out(part, self.unearned(part, event), event, "stop")

    def approve(self, event: Event) -> None:
        lines = self.changes.lines.get((event.change, event.revision), [])
        for trade, ms in added(lines).items():
            part = (event.change, trade)
            own = [
                row for row in labour(lines) if row["trade"] == trade and "-" not in row["hours"]
            ]
            self.packages[part] = package = self.package(self.dated(event, own))
            plan = tuple(by_technique(self.job, package, ms))
            rate = self.standard(event.day, trade, event.load)
            self.add(Budget(part, event.day, event.load, "approval", event.change, ms, rate, plan))
        for row in labour(lines):
            if hours_ms(row["hours"]) < 0 and row.get("work_package"):
                self.omit(row, event)

    def dated(self, event: Event, own: list[Row]) -> Row:
        """Return the row of a change's package: its dates and how it is measured."""
        begun = self.changes.first(event.change, "instructed", event.day)
        starts = [row["planned_start"] for row in own if row.get("planned_start")]
        ends = [row["planned_finish"] for row in own if row.get("planned_finish")]
        start = min(starts, default=str(begun.day if begun else event.day))
        finish = max(ends, default=str(self.job.own["planned_finish"]))
        if not ends and finish < str(event.day):
            start = finish = str(event.day)
        return own[0] | {
            "planned_start": start,
            "planned_finish": finish,
            "work_package": event.change,
        }

    def omit(self, row: Row, event: Event) -> None:
        """Take a line's hours out of a package: of its trade, else pro rata to what is unearned."""
        ms = -hours_ms(row["hours"])
        own = [p for p in self.parts() if p[0] == row["work_package"]]
        if row.get("trade"):
            own = [part for part in own if part[1] == row["trade"]]
        unearned = [self.unearned(part, event) for part in own]
        taken = min(ms, sum(unearned))
        if taken:
            shares = [Fraction(part, sum(unearned)) for part in unearned]
            for part, out in zip(own, split_ms(taken, shares), strict=True):
                self.take_out(part, out, event, "omission")

    def unearned(self, part: Part, event: Event) -> int:
        """Return what a part has not earned yet, by what was known before the event's load."""
        known = Measures(self.files, self.job.code, before=event.load)
        standing = [b for b in self.budgets if b.part == part]
        late = [a_day(fact.row["date"]) for fact in known.of(part, date.max)]
        day = (
            event.day
            if self.packages[part].technique == "level_of_effort"
            else max([event.day, *late])
        )
        return max(0, sum(b.ms for b in standing) - self.earned_by(part, day, known))

    def take_out(self, part: Part, ms: int, event: Event, source: str) -> None:
        if not ms:
            return
        plan = tuple((day, -cut) for day, cut in self.cut(part, ms, event.day))
        rate = self.rate(part)
        self.add(Budget(part, event.day, event.load, source, event.change, -ms, rate, plan))

    def cut(self, part: Part, ms: int, day: date) -> Days:
        """Return what goes from each day's plan: pro rata after the day, the rest on the day."""
        standing = self.plan(part, date.max)
        later = [(when, Fraction(planned)) for when, planned in standing if when > day and planned]
        available = sum(int(planned) for _, planned in later)
        from_later = min(ms, max(available, 0))
        cuts = pro_rata(from_later, later) if from_later else []
        return [*cuts, (day, ms - from_later)]

    # baseline changes

    def move(self, load: Load) -> None:
        rows = [
            fact.row
            for fact in self.files.facts("baseline-changes", self.job.code)
            if fact.load == load.number
        ]
        for row in rows:
            self.move_row(row, load)
        for name, day in sorted({(row["name"], a_day(row["date"])) for row in rows}):
            self.follow(name, day, load)

    def replanned(self, name: str) -> dict[Part, Row]:
        """Return the rows of packages that a baseline change replans."""
        rows = self.files.rows(f"estimate under {name}", self.job.code)
        return {(row["work_package"], row["trade"]): row for row in rows}

    def follow(self, name: str, day: date, load: Load) -> None:
        """Plan what is apportioned to a package replanned as that is planned after the day."""
        bases = {package for package, _ in self.replanned(name)}
        for part in [p for p in self.parts() if self.measured(p) in bases - {p[0]}]:
            of_base = [base for base in self.parts() if base[0] == self.measured(part)]
            days = merged(pair for base in of_base for pair in self.plan(base, date.max))
            later = [(when, Fraction(ms)) for when, ms in days if when > day and ms > 0]
            plan = self.drawn_anew(part, day, running(self.left(part, 0, day), later))
            moved = Budget(part, day, load.number, "baseline_change", "", 0, self.rate(part), plan)
            self.add(moved)

    def left(self, part: Part, ms: int, day: date) -> int:
        """Return what is planned of a part after a day, with what is added to it."""
        return ms + sum(planned for when, planned in self.plan(part, date.max) if when > day)

    def drawn_anew(self, part: Part, day: date, drawn: Days) -> tuple[tuple[date, int], ...]:
        """Return what moves in a part's plan when its days after one are drawn anew."""
        standing = [(when, -ms) for when, ms in self.plan(part, date.max) if when > day]
        return tuple((when, ms) for when, ms in merged([*standing, *drawn]) if ms)

    def move_row(self, row: Row, load: Load) -> None:
        """Post one row of a named change: hours in or out of a package or a pot."""
        ms, day = hours_ms(row["hours"]), a_day(row["date"])
        own = [(row["work_package"], row.get("trade", ""))]
        shares = [Fraction(1)]
        if row["work_package"] == CONTINGENCY and (standing := self.contingency()):
            own, whole = list(standing), sum(standing.values())
            shares = [Fraction(left, whole) for left in standing.values()]
        for part, moved in zip(own, split_ms(abs(ms), shares), strict=True):
            self.move_part(row, part, moved if ms > 0 else -moved, day, load)

    def contingency(self) -> dict[Part, int]:
        """Return what is left in each part of the contingency packages: they are the pot."""
        parts = [part for part in self.parts() if self.kind(part) == "contingency"]
        left = {part: sum(b.ms for b in self.own(part)) for part in parts}
        return {part: ms for part, ms in left.items() if ms > 0}

    def move_part(self, row: Row, part: Part, ms: int, day: date, load: Load) -> None:
        if part not in self.packages:
            self.packages[part] = self.moved_to(part)
        rate = self.moved_rate(row, part, day)
        plan = tuple(self.moved_plan(part, ms, day))
        if anew := self.replanned(row["name"]).get(part):
            first = max(a_day(anew["planned_start"]), day + timedelta(days=1))
            span = (first, a_day(anew["planned_finish"]), anew.get("spread", ""))
            drawn = spread(self.job, self.left(part, ms, day), *span)
            plan = self.drawn_anew(part, day, drawn)
        self.add(Budget(part, day, load.number, "baseline_change", "", ms, rate, plan))

    def moved_to(self, part: Part) -> Package:
        """Return how a part that gets its first hours is measured: as its package is."""
        alike = [package for own, package in self.packages.items() if own[0] == part[0]]
        return alike[0] if alike else Package({"technique": "", "package_kind": part[0].lower()})

    def moved_rate(self, row: Row, part: Part, day: date) -> int:
        """Return the rate of moved hours: the part's own, else its trade's, else a mean.

        Hours out of a pot carry the pot's mean rate, hours into one that of what they come from.
        """
        if part[1]:
            known = any(b.part == part for b in self.budgets)
            return self.rate(part) if known else self.rates.standard(day, part[1])
        if part[0] in POTS and Fraction(row["hours"]) < 0:
            return self.mean_rate([b for b in self.budgets if b.part[0] == part[0]])
        named = self.files.rows("baseline-changes", self.job.code)
        others = [o for o in named if o["name"] == row["name"] and Fraction(o["hours"]) < 0]
        ms = [-hours_ms(o["hours"]) for o in others]
        parts = [(o["work_package"], o.get("trade", "")) for o in others]
        worth = [n * self.moved_rate(o, p, day) for n, o, p in zip(ms, others, parts, strict=True)]
        return round_half_away(Fraction(sum(worth), sum(ms)))

    @staticmethod
    def mean_rate(budgets: list[Budget]) -> int:
        ms = sum(b.ms for b in budgets)
        return round_half_away(Fraction(sum(b.amount("cost") for b in budgets), ms)) if ms else 0

    def moved_plan(self, part: Part, ms: int, day: date) -> Days:
        if self.outside(part):
            return []
        return self.cut(part, ms, day) if ms < 0 else self.grown(part, ms, day)

    def grown(self, part: Part, ms: int, day: date) -> Days:
        """Return added hours by day: as the plan that stands after the day, else on the day."""
        later = [(w, Fraction(p)) for w, p in self.plan(part, date.max) if w > day and p > 0]
        return pro_rata(ms, later) if later else [(day, ms)]

    # what stands

    def parts(self) -> list[Part]:
        return list(dict.fromkeys(budget.part for budget in self.budgets))

    def outside(self, part: Part) -> bool:
        """Tell whether a part stands outside BAC, PV and EV."""
        return part[0] in (CONTINGENCY, RESERVE) or self.kind(part) == "contingency"

    def kind(self, part: Part) -> str:
        return self.packages[part].kind if part in self.packages else "work"

    def rate(self, part: Part) -> int:
        """Return a part's budget rate: all its postings have one, a pot's excepted."""
        if part[0] in POTS:
            return self.mean_rate(self.own(part))
        rates = {b.rate for b in self.budgets if b.part == part}
        assert len(rates) == 1, (part, rates)
        return rates.pop()

    def own(self, part: Part) -> list[Budget]:
        return [budget for budget in self.budgets if budget.part == part]

    def plan(self, part: Part, day: date, sources: tuple[str, ...] = ()) -> Days:
        """Return a part's plan by day, with the changes that count from a day by the one given."""
        standing = [
            b for b in self.own(part) if b.on <= day and (not sources or b.source in sources)
        ]
        return merged(pair for budget in standing for pair in budget.plan)

    # what is earned

    def earned_by(self, part: Part, day: date, known: Measures, scope: date | None = None) -> int:
        """Return EV in ms by a day, with the budgets that count by the day of the scope."""
        # A plan drawn anew alone changes no budget.
        first, *later = sorted(
            (b for b in self.own(part) if b.ms and b.on <= (scope or day)),
            key=lambda b: (b.on, b.load),
        )
        package = self.packages[part]
        if package.kind in EARNS_NOTHING or part[0] in POTS:
            return 0
        if package.technique == "level_of_effort":
            return sum(ms for when, ms in self.plan(part, scope or day) if when <= day)
        facts = known.of_package(self.measured(part), day)
        if package.technique != "percent_complete" and self.share(part, facts) == 1:
            return first.ms + sum(b.ms for b in later)
        earned = Earned(self, part, first.ms)
        for budget in later:
            if budget.on <= day:
                earned = earned.measured([f for f in facts if precedes(f, budget)])
                earned = earned.with_budget(earned.budget + budget.ms)
        return earned.measured(facts).ms

    def original_earned(self, part: Part, day: date) -> int:
        """Return EV in ms on the original baseline: the share earned of the original budget."""
        whole = sum(b.ms for b in self.own(part) if b.source == "freeze")
        package = self.packages[part]
        if package.kind in EARNS_NOTHING or part[0] in POTS:
            return 0
        if package.technique == "level_of_effort":
            return sum(ms for when, ms in self.plan(part, day, ("freeze",)) if when <= day)
        facts = self.measures.of_package(self.measured(part), day)
        return round_half_away(whole * self.share(part, facts))

    def measured(self, part: Part) -> str:
        """Return the package whose measurements count: the base of an apportioned one."""
        return self.packages[part].row.get("base_package") or part[0]

    def share(self, part: Part, facts: list[Fact]) -> Fraction:
        """Return the share earned by measurements of a package, of this part's trade."""
        package = self.packages[part]
        if package.technique != "apportioned_effort":
            return share(package, [f for f in facts if f.row.get("trade", "") in ("", part[1])])
        base = [p for p in self.packages if p[0] == package.row["base_package"]]
        whole = {p: sum(b.ms for b in self.own(p) if b.source == "freeze") for p in base}
        earned = sum((whole[p] * self.share(p, facts) for p in base), Fraction(0))
        return earned / sum(whole.values())


def pro_rata(ms: int, later: list[tuple[date, Fraction]]) -> Days:
    """Return an amount by day, as the plan that stands; odd ms go to the largest fractions."""
    whole = sum((planned for _, planned in later), Fraction(0))
    parts = split_ms(ms, [planned / whole for _, planned in later])
    return [(day, part) for (day, _), part in zip(later, parts, strict=True)]


def precedes(fact: Fact, budget: Budget) -> bool:
    """Tell whether a measurement was made on the budget before a change of it.

    Of one day measures come first; one recorded before the change keeps the budget it had.
    """
    return a_day(fact.row["date"]) <= budget.on or fact.load < budget.load


@dataclass(frozen=True)
class Earned:
    """What a part has earned so far, and where its share stood when its budget last changed."""

    baseline: Baseline
    part: Part
    budget: int
    ms: int = 0
    share: Fraction = Fraction(0)
    facts: tuple[Fact, ...] = ()

    def measured(self, facts: list[Fact]) -> "Earned":
        """Return what is earned with these measurements, all made on the budget in force."""
        now = self.baseline.share(self.part, facts)
        new = [f for f in facts if f not in self.facts]
        ms = self.by_percent(now, new) if self.in_percent else self.run_on(now)
        return replace(self, ms=ms, share=now, facts=tuple(facts))

    def with_budget(self, ms: int) -> "Earned":
        """Return the same on a changed budget: what is earned stays, and never exceeds it.

        It can only exceed it when a measure of an earlier day came in after the omission.
        """
        return replace(self, budget=ms, ms=min(self.ms, ms))

    @property
    def in_percent(self) -> bool:
        return self.baseline.packages[self.part].technique == "percent_complete"

    def by_percent(self, now: Fraction, new: list[Fact]) -> int:
        own = [
            f for f in new if f.row.get("percent") and f.row.get("trade", "") in ("", self.part[1])
        ]
        return max(self.ms, round_half_away(now * self.budget)) if own else self.ms

    def run_on(self, now: Fraction) -> int:
        if self.share == 1:
            return self.ms
        rest = (self.budget - self.ms) * (now - self.share) / (1 - self.share)
        return round_half_away(self.ms + rest)
