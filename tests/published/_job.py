"""Makes a job from published figures by the commands a user would give, and reads figures back.

What a source does not print is invented here and the same for all: the yard, one trade, one rate,
the days of the calendar and which worker booked an hour. Only totals by package and status date
come from the sources.
"""

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any, Protocol

JOB = "CASE"
TRADE = "fitter"
MONDAY = date(2026, 1, 12)  # the first planned day of every job here
CONTRACT_DATE = date(2026, 1, 5)
HOURS_A_LINE = Decimal(8)

SETTINGS = """
[yard]
name = "Wenlow Works"
currency = "EUR"
zone = "UTC"
week_start = "monday"

[non_productive]
RAIN = "weather"
IDLE = "idle"

[causes.weather]
asked_by = "unforeseen_condition"
borne_by = "yard"

[causes.workmanship]
asked_by = "yard"
borne_by = "yard"
"""

Row = dict[str, str]


class Driver(Protocol):
    """What is used of the fixture `yard`."""

    def write(self, name: str, text: str) -> Path: ...

    def run(self, *words: object, ok: bool = True) -> Any: ...

    def json(self, *words: object) -> Any: ...


@dataclass(frozen=True)
class Spent:
    """Hours booked under one code, with the cause where the work is done again."""

    code: str
    hours: str
    rework: str = ""


def week_day(week: int, day: int = 5) -> date:
    """Return a day of a job's week, both counted from 1; the Friday if no day is named."""
    return MONDAY + timedelta(weeks=week - 1, days=day - 1)


def package(code: str, hours: str, start: date, finish: date, **more: str) -> Row:
    """Return a row of the estimate; percent_complete unless `more` names another technique."""
    plain = {
        "work_package": code,
        "title": f"Package {code}",
        "control_account": "build",
        "trade": TRADE,
        "budget_hours": hours,
        "planned_start": start.isoformat(),
        "planned_finish": finish.isoformat(),
        "technique": "percent_complete",
    }
    return plain | more


def measured(code: str, day: date, **figures: str) -> Row:
    """Return a row of progress."""
    return {"work_package": code, "date": day.isoformat()} | figures


def table(rows: Sequence[Mapping[str, str]]) -> str:
    """Return rows as CSV text; a column stands where any row has it."""
    heads = list(dict.fromkeys(head for row in rows for head in row))
    text = io.StringIO()
    writer = csv.DictWriter(text, heads, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def rounded(value: Fraction | Decimal | int, places: int) -> Decimal:
    """Return a value at so many decimals, half away from zero, without a float on the way."""
    exact = Fraction(value)
    size = abs(exact) * 10**places + Fraction(1, 2)
    whole = size.numerator // size.denominator
    return Decimal(-whole if exact < 0 else whole).scaleb(-places)


def taken(row: Mapping[str, Any], places: int, *keys: str) -> dict[str, Decimal]:
    """Return the named figures of a row at so many decimals."""
    return {key: rounded(row[key], places) for key in keys}


def pieces(spent: Iterable[Spent]) -> list[tuple[Spent, Decimal]]:
    """Return the spent hours cut into lines of at most a day's hours."""
    cut = []
    for one in spent:
        left = Decimal(one.hours)
        while left > 0:
            cut.append((one, min(left, HOURS_A_LINE)))
            left -= HOURS_A_LINE
    return cut


def working_days(first: date, last: date) -> list[date]:
    """Return Mondays to Fridays between two days, both included."""
    every = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return [day for day in every if day.weekday() < 5]


def sheet_lines(spent: Iterable[Spent], first: date, last: date) -> list[Row]:
    """Return sheet lines that book the spent hours; no worker has two lines on one day."""
    days = working_days(first, last)
    lines = []
    for place, (one, hours) in enumerate(pieces(spent)):
        worker, day = place // len(days) + 1, days[place % len(days)]
        week = day.isocalendar().week
        lines.append(
            {
                "sheet": f"{week:02}-{worker:03}",
                "worker_id": f"W{worker:03}",
                "date": day.isoformat(),
                "hours": str(hours.quantize(Decimal("0.01"), ROUND_HALF_UP)),
                "booking_code": one.code,
                "rework": one.rework,
            }
        )
    return lines


class PublishedJob:
    """One job in a yard of its own; its weeks run from a Monday, five days each."""

    def __init__(self, driver: Driver, last_day: date, *, rate: str = "100.00") -> None:
        self._driver = driver
        driver.run("load", "settings", driver.write("settings.toml", SETTINGS))
        driver.run("load", "job", driver.write("job.toml", self._terms(last_day)))
        start = {"trade": TRADE, "effective_from": CONTRACT_DATE.isoformat()}
        self.load_yard("rates", [start | {"cost_per_hour": rate}])

    @staticmethod
    def _terms(last_day: date) -> str:
        return (
            f'[job]\ncode = "{JOB}"\ntitle = "A published case"\nowner = "The owner"\n'
            f'contract_sum = "100000.00"\ncontract_date = {CONTRACT_DATE}\n'
            f"planned_start = {MONDAY}\nplanned_finish = {last_day}\n"
        )

    def load_yard(self, thing: str, rows: Sequence[Mapping[str, str]]) -> None:
        """Load a file that belongs to the whole yard."""
        self._driver.run("load", thing, self._driver.write(f"{thing}.csv", table(rows)))

    def load(self, thing: str, rows: Sequence[Mapping[str, str]]) -> None:
        """Load a file that belongs to the job."""
        path = self._driver.write(f"{thing}.csv", table(rows))
        self._driver.run("load", thing, "--job", JOB, path)

    def freeze(self) -> None:
        """Freeze the estimate on the day of the contract."""
        self._driver.run("freeze", "--job", JOB, "--on", CONTRACT_DATE)

    def spend(self, spent: Iterable[Spent], last: date, *, first: date = MONDAY) -> None:
        """Load the crew it takes and sheets that book the hours between two days."""
        lines = sheet_lines(spent, first, last)
        crew = [
            {"worker_id": worker, "name": f"Worker {worker}", "trade": TRADE, "grade": "trained"}
            for worker in sorted({line["worker_id"] for line in lines})
        ]
        self.load_yard("crew", crew)
        self.load("sheets", lines)

    def performance(self, day: date, *words: str) -> Any:
        """Return the whole answer of the command at a status date."""
        return self._driver.json("performance", "--job", JOB, "--status-date", day, *words)

    def shown(self, day: date, *words: str) -> str:
        """Return what the command prints for people at a status date."""
        asked = ("performance", "--job", JOB, "--status-date", day, *words)
        return self._driver.run(*asked).stdout

    def row(self, day: date, *words: str) -> Any:
        """Return the job's one row at a status date."""
        (row,) = self.performance(day, *words)["rows"]
        return row

    def rows(self, day: date, by: str, *words: str) -> dict[str, Any]:
        """Return the rows below the job at a status date, by their keys."""
        found = self.performance(day, "--by", by, *words)["rows"]
        return {row["key"]: row for row in found}

    def overrun(self, day: date, *words: str) -> Any:
        """Return the bridge from the original budget to the anticipated final."""
        return self._driver.json("overrun", "--job", JOB, "--status-date", day, *words)
