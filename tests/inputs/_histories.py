"""Short random histories of one job: each step a file of its own, one of them maybe wrong."""

import json
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from tests._stage import JOB, SHEET_HEAD
from tests.conftest import Yard

FIRST = date(2026, 3, 2)
HEADS = {
    "rates": "trade,effective_from,cost_per_hour",
    "charge-rates": "trade,effective_from,charge_per_hour",
    "crew": "worker_id,name,trade,grade,active_from",
    "progress": "work_package,date,quantity_done,percent,milestone,started",
    "changes": "change,title,requested_by,requested_on,change_basis,origin",
    "change-lines": "change,price_kind,description,revision,trade,hours,work_package",
    "change-events": "change,event,date,person,revision",
    "baseline-changes": "name,date,person,work_package,trade,hours",
    "rules": "rule,priority,booked_to,booking_code",
}
OF_YARD = {"rates", "crew", "rules"}
TABLES = {
    "rates": "rate",
    "charge-rates": "charge_rate",
    "crew": "crew",
    "progress": "progress",
    "changes": "change",
    "change-lines": "change_line",
    "change-events": "change_event",
    "baseline-changes": "baseline_change",
    "rules": "rule",
}


@dataclass(frozen=True)
class Step:
    """One file of one kind, as it is right."""

    what: str
    rows: tuple[str, ...]

    def load(self, yard: Yard, name: str = "step.csv", *, ok: bool = True) -> str:
        """Load the file, and return what was said."""
        job = () if self.what in OF_YARD else ("--job", JOB)
        return yard.run("load", self.what, *job, self.write(yard, name), ok=ok).stderr

    def write(self, yard: Yard, name: str) -> Any:
        return yard.write(name, "\n".join([HEADS[self.what], *self.rows]) + "\n")


class Dice(random.Random):
    """Throws days and hours of the job."""

    def day(self, first: int = 0, last: int = 25) -> date:
        return FIRST + timedelta(days=self.randint(first, last))

    def steps(self, codes: Sequence[str]) -> list[Step]:
        """Return a history with these changes, in an order in which its steps may be recorded."""
        lives = [self.life(code) for code in codes]
        loose = [*self.rates(), *self.measures(), self.baseline_change(), self.rule()]
        order = [n for n, life in enumerate([*lives, *([step] for step in loose)]) for _ in life]
        self.shuffle(order)
        queues = [iter(life) for life in [*lives, *([step] for step in loose)]]
        return [next(queues[n]) for n in order]

    def rates(self) -> Iterator[Step]:
        for _ in range(2):
            trade, day = self.choice(["carpenter", "labourer"]), self.day(-40, 20)
            yield Step("rates", (f"{trade},{day},{self.randint(25, 60)}.50",))
        yield Step("charge-rates", (f"carpenter,{self.day(-40, 5)},{self.randint(50, 80)}",))
        yield Step("crew", (f"C3,Cass Wend,carpenter,lead,{self.day(0, 20)}",))

    def measures(self) -> Iterator[Step]:
        done = sorted(self.sample(range(1, 41), 2))
        for quantity in done:
            yield Step("progress", (f"DECK,{self.day(5, 22)},{quantity},,,",))
        yield Step("progress", (f"FRAME,{self.day(2, 15)},,,piles,",))
        yield Step("progress", (f"V1,{self.day(12, 24)},,{self.randint(10, 90)},,",))

    def life(self, code: str) -> list[Step]:
        days = sorted(self.sample(range(24), 4))
        omitted = [f"{code},labour,Less,1,carpenter,-{self.randint(5, 60)},DECK"]
        lines = [f"{code},labour,More,1,{trade},{self.randint(4, 30)}," for trade in self.trades()]
        asked = f"{code},Something,An owner,{FIRST},fixed_price,owner"
        names = self.choice(
            [
                ("priced", "submitted", "approved"),
                ("instructed", "priced", "approved"),
                ("submitted", "approved", "stopped"),
                ("instructed", "priced", "stopped"),
            ]
        )
        events = [
            Step("change-events", (f"{code},{name},{FIRST + timedelta(days=n)},Someone,1",))
            for name, n in zip(names, days, strict=False)
        ]
        priced = Step("change-lines", (*lines, *self.choice([omitted, []])))
        return [Step("changes", (asked,)), priced, *events]

    def trades(self) -> Sequence[str]:
        return self.choice([["carpenter"], ["carpenter", "labourer"]])

    def baseline_change(self) -> Step:
        hours, day = self.randint(2, 15), self.day(2, 20)
        rows = (f"N1,{day},Ada,DECK,carpenter,-{hours}", f"N1,{day},Ada,RAIL,carpenter,{hours}")
        return Step("baseline-changes", rows)

    def rule(self) -> Step:
        return Step("rules", (f"R,1,{self.choice(['DECK', 'RAIL'])},DOCK",))

    def wrong(self, step: Step) -> Step:
        """Return a step as it might have been typed wrongly: another day, another number."""
        return Step(step.what, tuple(self._wrong(step, row) for row in step.rows))

    def _wrong(self, step: Step, row: str) -> str:
        cells = row.split(",")
        heads = HEADS[step.what].split(",")
        days = [n for n, h in enumerate(heads) if h in DAYS and cells[n]]
        if days and (step.what == "baseline-changes" or self.random() < 0.7):
            shift = 3 if step.what == "baseline-changes" else self.choice([-6, -2, 3, 7])
            cells[days[0]] = str(date.fromisoformat(cells[days[0]]) + timedelta(days=shift))
            return ",".join(cells)
        for name, other in OTHERS.items():
            if name in heads and cells[heads.index(name)]:
                cells[heads.index(name)] = other
                break
        return ",".join(cells)

    def sheets(self) -> str:
        codes = ("DECK", "DECK", "RAIL", "FRAME", "V1", "V2", "RAIN", "DOCK")
        lines = [
            f"{self.choice(['A1', 'B2', 'C3'])},{self.day()},{self.randint(1, 9)}.25,{code},"
            for code in codes
        ]
        return SHEET_HEAD + "\n".join(lines) + "\n"


DAYS = {"date", "effective_from", "active_from", "requested_on"}
OTHERS = {
    "cost_per_hour": "77.00",
    "charge_per_hour": "99.00",
    "quantity_done": "3",
    "percent": "95",
    "hours": "2",
    "origin": "yard",
    "booked_to": "FRAME",
    "grade": "journeyman",
    "milestone": "beams",
    "event": "priced",
}
STAMPS = {"known_at", "stamp", "digest", "remade_by", "recorded_at"}


def figures(yard: Yard, *before: str, days: Sequence[str]) -> dict[str, Any]:
    """Return the figures of the job as JSON, without stamps."""
    found: dict[str, Any] = {}
    for day in days:
        asked = ("--job", JOB, "--status-date", day)
        for unit in ("hours", "cost"):
            words = ("performance", *asked, "--in", unit, "--by", "work-package", "--exact")
            found[f"performance {unit} {day}"] = yard.json(*before, *words)
            found[f"overrun {unit} {day}"] = yard.json(*before, "overrun", *asked, "--in", unit)
        out = yard.folder / "variations.json"
        yard.run(*before, "report", "variations", *asked, "--out", out)
        found[f"variations {day}"] = json.loads(out.read_text(encoding="utf-8"))
    return {name: _without(value) for name, value in found.items()}


def _without(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _without(v) for k, v in value.items() if k not in STAMPS}
    return [_without(each) for each in value] if isinstance(value, list) else value
