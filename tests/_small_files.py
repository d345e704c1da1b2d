"""The small sample job's files: sheet lines, entries, changes and shares earned.

With _small_parts and _small_reckoning this reckons the sample again from its files alone. Nothing
of the program is used: files are read with csv and tomllib, and every rule is written a second
time. Only what the sample needs is covered: no level of effort, no daywork, no overtime, one
revision a change, one omission a package. Hours and money (in the yard's currency) are Fractions.
"""

import csv
import tomllib
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from pathlib import Path

SAMPLE = Path(__file__).resolve().parent.parent / "sample_data" / "small"
FREEZE = date(2026, 2, 27)
MS_AN_HOUR = 3_600_000
WEEK = timedelta(days=7)
NON_PRODUCTIVE, UNTAGGED = "non_productive", "untagged"


# --- the files ---------------------------------------------------------------------------------


@cache
def rows(name: str) -> list[dict[str, str]]:
    """Return the rows of one of the sample's CSV files as text."""
    with (SAMPLE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def toml(name: str) -> dict:
    """Return one of the sample's TOML files."""
    return tomllib.loads((SAMPLE / name).read_text(encoding="utf-8"))


def day_of(text: str) -> date | None:
    """Return the day written as an ISO date, None if there is no such day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def hours_of(text: str) -> Fraction:
    """Return a duration written as decimal hours or h:mm, in hours."""
    whole, colon, minutes = text.partition(":")
    return Fraction(whole) + Fraction(minutes) / 60 if colon else Fraction(text)


def to_the_ms(hours: Fraction) -> Fraction:
    """Return hours rounded to the millisecond, half away from zero."""
    ms = abs(hours) * MS_AN_HOUR
    rounded = Fraction(int(ms + Fraction(1, 2)), MS_AN_HOUR)
    return rounded if hours >= 0 else -rounded


def working_days(first: date, last: date) -> list[date]:
    """Return Mondays to Fridays from first to last, both included (the job lists no days off)."""
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    return [day for day in days if day.weekday() < 5]


def week_end(day: date) -> date:
    """Return the Sunday of the day's week."""
    return day + timedelta(days=6 - day.weekday())


# --- sheets ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Line:
    """A sheet line, with the reason if it is held."""

    file: str
    number: int
    row: dict[str, str]
    held: str | None


@dataclass(frozen=True)
class Entry:
    """A booked line: where its hours belong and what they cost."""

    place: str
    trade: str
    day: date
    hours: Fraction
    cost: Fraction
    cause: str
    rework: str

    def amount(self, measured_in: str) -> Fraction:
        return self.cost if measured_in == "cost" else self.hours


@cache
def sheet_lines() -> list[Line]:
    """Return every line of the week sheets, with its number in the file (the heads are line 1)."""
    files = sorted(path.name for path in SAMPLE.glob("sheets-*.csv"))
    return [
        Line(file, number, row, held_reason(row))
        for file in files
        for number, row in enumerate(rows(file), start=2)
    ]


def held_reason(row: dict[str, str]) -> str | None:
    """Return which of worker, day and duration is not established, None if the line is booked."""
    if row["worker_id"] not in {worker["worker_id"] for worker in rows("crew.csv")}:
        return "worker"
    if day_of(row["date"]) is None:
        return "day"
    return "duration" if hours_of(row["hours"]) > 24 else None


def held_lines() -> list[tuple[str, int, str]]:
    """Return file, line and what is not established, of each held line."""
    return [(line.file, line.number, line.held) for line in sheet_lines() if line.held]


def counted_by_file() -> dict[str, dict[str, Fraction]]:
    """Return what the README's table of lines holds: by file, and of all."""
    by_file: dict[str, list[Line]] = {}
    for line in sheet_lines():
        by_file.setdefault(line.file, []).append(line)
    return {file: counted(own) for file, own in {**by_file, "all": sheet_lines()}.items()}


def counted(lines: list[Line]) -> dict[str, Fraction]:
    booked = [line for line in lines if line.held is None]
    return {
        "lines read": Fraction(len(lines)),
        "booked": Fraction(len(booked)),
        "held": Fraction(len(lines) - len(booked)),
        "hours booked": sum((hours_of(line.row["hours"]) for line in booked), Fraction()),
    }


@cache
def entries() -> list[Entry]:
    """Return the booked lines with their places and costs."""
    return [entry_of(line.row) for line in sheet_lines() if line.held is None]


def entry_of(row: dict[str, str]) -> Entry:
    day, hours = date.fromisoformat(row["date"]), hours_of(row["hours"])
    worker = worker_on(row["worker_id"], day)
    place, cause = place_of(row)
    cost = hours * rate("cost_per_hour", worker["trade"], worker["grade"], day)
    return Entry(place, worker["trade"], day, hours, cost, cause, row["rework"])


def place_of(row: dict[str, str]) -> tuple[str, str]:
    """Return where a line is booked to and its cause: a rule, else its code, else untagged."""
    for rule in sorted(rows("rules.csv"), key=lambda rule: int(rule["priority"])):
        if rule["note_contains"] in row["note"]:
            return rule["booked_to"], ""
    code = row["booking_code"].strip().upper()
    if code in toml("settings.toml")["non_productive"]:
        return NON_PRODUCTIVE, toml("settings.toml")["non_productive"][code]
    known = {row["work_package"] for row in rows("estimate.csv")} | set(changes())
    return (code, "") if code in known else (UNTAGGED, "")


def worker_on(worker_id: str, day: date) -> dict[str, str]:
    """Return the crew row that counts on the day: the latest begun by then."""
    own = [row for row in rows("crew.csv") if row["worker_id"] == worker_id]
    begun = [row for row in own if date.fromisoformat(row["active_from"]) <= day]
    return max(begun, key=lambda row: row["active_from"])


def rate(per_hour: str, trade: str, grade: str, day: date) -> Fraction:
    """Return the trade and grade's rate on the day, else the trade's own ("" = the standard)."""
    file = "charge-rates.csv" if per_hour == "charge_per_hour" else "rates.csv"
    for wanted in (grade, ""):
        begun = [
            row
            for row in rows(file)
            if (row["trade"], row.get("grade", "")) == (trade, wanted)
            and date.fromisoformat(row["effective_from"]) <= day
        ]
        if begun:
            return Fraction(max(begun, key=lambda row: row["effective_from"])[per_hour])
    raise LookupError(f"no {per_hour} for {trade} {grade} on {day}")


# --- changes -----------------------------------------------------------------------------------


@cache
def changes() -> dict[str, dict[str, str]]:
    """Return the changes by number."""
    return {row["change"]: row for row in rows("changes.csv")}


def event_day(change: str, event: str) -> date | None:
    """Return the day of the change's event, None if it never came."""
    for row in rows("change-events.csv"):
        if (row["change"], row["event"]) == (change, event):
            return date.fromisoformat(row["date"])
    return None


def came_on(change: str, event: str) -> date:
    """Return the day of an event that came."""
    day = event_day(change, event)
    assert day is not None
    return day


def stands(change: str, event: str, day: date) -> bool:
    """Tell whether the event had come by the day."""
    came = event_day(change, event)
    return came is not None and came <= day


def labour_lines(change: str) -> list[dict[str, str]]:
    """Return the change's labour lines, omissions included."""
    lines = rows("change-lines.csv")
    return [row for row in lines if row["change"] == change and row["price_kind"] == "labour"]


def price_of(line: dict[str, str]) -> Fraction:
    """Return a change line's selling price: hours at the pricing day's charge rate, or quantity."""
    if line["price_kind"] != "labour":
        return Fraction(line["quantity"]) * Fraction(line["unit_price"])
    day = came_on(line["change"], "priced")
    return Fraction(line["hours"]) * rate("charge_per_hour", line["trade"], "", day)


def contract_sum(day: date) -> dict[str, Fraction]:
    """Return the contract sum's reconciliation on a day, in money."""
    priced = [(row, price_of(row)) for row in rows("change-lines.csv")]
    approved = [price for row, price in priced if stands(row["change"], "approved", day)]
    open_ones = [(r, price) for r, price in priced if not stands(r["change"], "approved", day)]
    sums = {
        "original contract sum": Fraction(toml("job.toml")["job"]["contract_sum"]),
        "approved": sum((price for price in approved if price > 0), Fraction()),
        "omissions": sum((price for price in approved if price < 0), Fraction()),
    }
    sums["adjusted contract sum"] = sum(sums.values(), Fraction())
    instructed = [p for r, p in open_ones if stands(r["change"], "instructed", day)]
    sums["instructed"] = sum(instructed, Fraction())
    sums["anticipated final sum"] = sums["adjusted contract sum"] + sums["instructed"]
    submitted = [p for r, p in open_ones if stands(r["change"], "submitted", day)]
    sums["submitted"] = sum(submitted, Fraction())
    return sums


# --- shares earned -----------------------------------------------------------------------------


def package_row(package: str) -> dict[str, str]:
    """Return the package's first row of the estimate."""
    return next(row for row in rows("estimate.csv") if row["work_package"] == package)


def measures(package: str, day: date) -> list[dict[str, str]]:
    """Return the package's rows of progress by the day, oldest first."""
    own = [row for row in rows("progress.csv") if row["work_package"] == package]
    return sorted(
        (row for row in own if date.fromisoformat(row["date"]) <= day), key=lambda row: row["date"]
    )


def share(package: str, day: date) -> Fraction:
    """Return the share earned by the day under the package's technique; a change has a percent."""
    by_then = measures(package, day)
    if package in changes():
        return last([Fraction(row["percent"]) / 100 for row in by_then if row["percent"]])
    row = package_row(package)
    match row["technique"]:
        case "weighted_milestone":
            reached = {row["milestone"] for row in by_then}
            return sum((w for name, w, _ in weights(package) if name in reached), Fraction())
        case "units_complete":
            done = [Fraction(row["quantity_done"]) for row in by_then if row["quantity_done"]]
            return last(done) / Fraction(row["quantity"])
        case "fixed_formula":
            started = any(row["started"] for row in by_then)
            finished = any(row["finished"] for row in by_then)
            return Fraction(1) if finished else started * Fraction(row["start_share"])
    raise LookupError(row["technique"])


def last(values: list[Fraction]) -> Fraction:
    return values[-1] if values else Fraction()


def weights(package: str) -> list[tuple[str, Fraction, date]]:
    """Return the package's milestones: name, share of the whole, planned day."""
    own = [row for row in rows("milestones.csv") if row["work_package"] == package]
    total = sum(Fraction(row["weight"]) for row in own)
    return [
        (row["milestone"], Fraction(row["weight"]) / total, date.fromisoformat(row["planned_date"]))
        for row in own
    ]
