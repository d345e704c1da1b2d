"""Small random books: every kind of package and change, with sheets on all of them."""

import csv
import io
import random
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from decimal import Decimal

from tests.conftest import Yard

JOB = "ANY"
START = date(2026, 3, 2)
FROZEN = "2026-02-20"
TRADES = ("carpenter", "labourer")
WORKERS = {"A1": "carpenter", "B2": "carpenter", "C3": "labourer"}
DAYS = [START + timedelta(days=n) for n in range(40)]
ORIGINS = ("owner", "yard", "change_in_law", "unforeseen_condition")
CAUSES = ("setting_out", "damage", "drawing")
Row = dict[str, object]

SETTINGS = """
    [yard]
    name = "Any Yard"
    currency = "EUR"

    [non_productive]
    RAIN = "weather"
    WAIT = "late_drawing"

    [causes.weather]
    asked_by = "unforeseen_condition"
    borne_by = "yard"

    [causes.late_drawing]
    asked_by = "owner"
    borne_by = "undecided"

    [causes.setting_out]
    asked_by = "yard"
    borne_by = "yard"

    [causes.damage]
    asked_by = "owner"
    borne_by = "undecided"

    [causes.drawing]
    asked_by = "change_in_law"
    borne_by = "undecided"
    """
TOML = """
    [job]
    code = "ANY"
    title = "A work"
    owner = "An owner"
    contract_sum = "50000.00"
    contract_date = 2026-02-20
    contract_basis = "{basis}"
    planned_start = 2026-03-02
    planned_finish = 2026-04-17
    management_reserve_hours = "40"
    """
CREW = """
    worker_id,name,trade,grade
    A1,Ada,carpenter,lead
    B2,Bert,carpenter,journeyman
    C3,Cleo,labourer,general
    """
# The life of each change's price and instruction, a week day apart from 9 March on.
LIVES = {
    "V1": ("priced", "submitted", "approved"),
    "V2": ("instructed", "priced", "approved", "complete"),
    "V3": ("approved", "stopped"),
    "V4": ("instructed", "priced", "submitted"),
    "V5": ("instructed", "priced", "stopped"),
    "V6": ("priced", "submitted", "declined"),
    "V7": ("priced", "submitted", "disputed"),
    "V8": ("submitted", "withdrawn"),
    "V9": (),
    "V10": ("priced", "approved"),  # daywork in every book
    "V11": ("priced", "approved"),  # without charge in every book
}
OMITTING = {"V1": "HULL", "V2": "DECK", "V3": "RAIL", "V10": "HULL", "V11": "DECK", "V4": "RAIL"}
BASES = {"V10": "daywork", "V11": "no_charge"}
PACKAGES = {
    "HULL": ("percent_complete", "structure", TRADES),
    "DECK": ("units_complete", "structure", TRADES[:1]),
    "RAIL": ("fixed_formula", "fittings", TRADES),
    "TIDY": ("level_of_effort", "general", TRADES[1:]),
    "HOLD": ("apportioned_effort", "structure", TRADES[1:]),
    "LATER": ("percent_complete", "fittings", TRADES[:1]),
    "POT": ("percent_complete", "pot", TRADES[:1]),
}
KINDS = {"LATER": "planning", "POT": "contingency"}


class RandomBook:
    """The files of one random job, thrown with given dice, and a yard that loads them."""

    def __init__(self, yard: Yard, dice: random.Random, *, measured: bool = True) -> None:
        self.yard, self.dice, self.measured = yard, dice, measured

    def build(self) -> Yard:
        """Load everything; measurements come before the events of changes or after them."""
        basis = self.dice.choice(["fixed_price", "fixed_price", "time_charge"])
        self.yard.run("load", "settings", self.yard.write("settings.toml", SETTINGS))
        self.yard.run("load", "job", self.yard.write("job.toml", TOML.format(basis=basis)))
        self.yard.run("load", "crew", self.yard.write("crew.csv", CREW))
        self.load("rates", self.rates())
        self.load("estimate", self.estimate())
        self.yard.run("freeze", "--job", JOB, "--on", FROZEN)
        self.load("baseline-changes", self.moves())
        self.load("changes", self.changes())
        self.load("change-lines", self.lines())
        last = [("change-events", self.events())]
        if self.measured:
            last.insert(self.dice.randrange(2), ("progress", self.progress()))
        for what, rows in [*last, ("sheets", self.sheets())]:
            self.load(what, rows)
        return self.yard

    def load(self, what: str, rows: Sequence[Row]) -> None:
        heads = list(dict.fromkeys(head for row in rows for head in row))
        out = io.StringIO()
        writer = csv.DictWriter(out, heads, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        for_job = [] if what == "rates" else ["--job", JOB]
        self.yard.run("load", what, *for_job, self.yard.write(f"{what}.csv", out.getvalue()))

    # -- dice --------------------------------------------------------------------------------

    def hours(self, least: int, most: int) -> str:
        """Return hours, some to the quarter, some to the millisecond."""
        whole = self.dice.randint(least, most)
        return f"{whole}.{self.dice.choice(['0', '25', '5', '33333', '00001'])}"

    def rate(self) -> Decimal:
        return Decimal(self.dice.randint(150_000, 499_999)).scaleb(-4)

    def day(self, first: int = 0, last: int = 39) -> date:
        return DAYS[self.dice.randint(first, last)]

    # -- files -------------------------------------------------------------------------------

    def rates(self) -> list[Row]:
        since = [date(2026, 1, 1), self.day(5, 15)]
        rates = [
            {"trade": trade, "effective_from": day, "cost_per_hour": self.rate()}
            for trade in TRADES
            for day in since
        ]
        return [*rates, {**rates[0], "grade": "lead", "cost_per_hour": self.rate()}]

    def estimate(self) -> list[Row]:
        rows: list[Row] = []
        for name, (technique, account, trades) in PACKAGES.items():
            begin = self.dice.randint(0, 12)
            whole: Row = {
                "work_package": name,
                "title": name,
                "control_account": account,
                "planned_start": DAYS[begin],
                "planned_finish": DAYS[begin + self.dice.randint(7, 25)],
                "technique": technique,
                "package_kind": KINDS.get(name, "work"),
                "quantity": 40 if technique == "units_complete" else "",
                "start_share": "0.25" if technique == "fixed_formula" else "",
                "base_package": "HULL" if technique == "apportioned_effort" else "",
            }
            for trade in trades:
                cost = self.dice.choice(["", self.rate()])
                budget = {"trade": trade, "budget_hours": self.hours(30, 90), "cost_rate": cost}
                rows.append(whole | budget)
        return rows

    def moves(self) -> list[Row]:
        """Draw contingency into HULL, transfer from RAIL to DECK, take some undistributed."""
        pairs = {"draw": ("contingency", "HULL"), "transfer": ("RAIL", "DECK")}
        pairs["open"] = ("RAIL", "undistributed")
        rows: list[Row] = []
        for name, (source, target) in pairs.items():
            amount = self.dice.randint(1, 9)
            shared: Row = {"name": name, "date": self.day(0, 2), "person": "Ada"}
            shared["trade"] = "carpenter"
            rows.append({**shared, "work_package": source, "hours": -amount})
            rows.append({**shared, "work_package": target, "hours": amount})
        return rows

    def changes(self) -> list[Row]:
        return [
            {
                "change": code,
                "title": code,
                "requested_by": "An owner",
                "requested_on": "2026-03-06",
                "change_basis": BASES.get(code, self.dice.choice(["fixed_price", "daywork"])),
                "origin": self.dice.choice(ORIGINS),
            }
            for code in LIVES
        ]

    def lines(self) -> list[Row]:
        rows: list[Row] = []
        for code in LIVES:
            shared: Row = {"change": code, "price_kind": "labour", "description": code}
            for trade in self.dice.choice([TRADES, TRADES[:1]]):
                rows.append({**shared, "trade": trade, "hours": self.hours(2, 20)})
            if code in OMITTING:
                # Sometimes more than is left; without a trade it is spread over the trades.
                omitted = {"hours": f"-{self.hours(3, 60)}", "work_package": OMITTING[code]}
                trade = self.dice.choice(["", "carpenter"])
                rows.append({**shared, **omitted, "trade": trade})
        return rows

    def events(self) -> list[Row]:
        rows: list[Row] = []
        for code, life in LIVES.items():
            for step, event in enumerate(life):
                day = DAYS[7 + 3 * step + self.dice.randint(0, 2)]
                row: Row = {"change": code, "event": event, "date": day, "person": "An owner"}
                lapses = {"valid_until": day + timedelta(days=9)} if event == "submitted" else {}
                rows.append(row | lapses)
        return rows

    def progress(self) -> list[Row]:
        rows = [*self._percents("HULL"), *self._percents("V1"), *self._percents("V3")]
        done = sorted(self.dice.sample(range(41), 2))
        for day, quantity in zip((self.day(7, 13), self.day(14, 27)), done, strict=True):
            rows.append({"work_package": "DECK", "date": day, "quantity_done": quantity})
        started = self.day(5, 20)
        rows.append({"work_package": "RAIL", "date": started, "started": started})
        own = {"estimate_to_complete_hours": self.hours(0, 80)}
        rows.append({"work_package": self.dice.choice(["RAIL", "HOLD"]), "date": DAYS[21], **own})
        return rows

    def _percents(self, part: str) -> list[Row]:
        percents = sorted(self.dice.sample(range(101), 2))
        days = (self.day(8, 13), self.day(18, 27))
        return [
            {"work_package": part, "date": day, "percent": percent}
            for day, percent in zip(days, percents, strict=True)
        ]

    def sheets(self) -> list[Row]:
        return [self._line(code, repeat) for code, repeat in self._codes()]

    def _codes(self) -> Iterator[tuple[str, int]]:
        for code in (*PACKAGES, *LIVES, "RAIN", "WAIT", "UNKNOWN"):
            if code not in {"POT", "LATER"}:
                for repeat in range(self.dice.choice([1, 3, 6])):
                    yield code, repeat

    def _line(self, code: str, repeat: int) -> Row:
        return {
            "sheet": f"{code}-{repeat}",
            "worker_id": self.dice.choice(list(WORKERS)),
            "date": self.day(),
            "hours": self.hours(1, 9),
            "booking_code": code,
            "rework": self.dice.choice(["", "", *CAUSES]),
        }
