"""A yard's input files, read a second time: what was loaded, in which order, and what counts.

With the other modules named _reckon_... this reckons the figures of a yard from its files alone, by
the rules as they are written down. Nothing of the program is used. Durations are whole
milliseconds; costs are whole units of milliseconds x 1/10000 of the currency an hour.
"""

import csv
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Any

Row = dict[str, str]

MS_AN_HOUR = 3_600_000
RATE_UNITS = 10_000  # a rate is whole 1/10000 of the currency an hour
DAY, WEEK = timedelta(days=1), timedelta(days=7)
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
KEYS = {
    "crew": ("worker_id", "active_from"),
    "rates": ("trade", "grade", "worker_id", "effective_from"),
    "milestones": ("work_package", "milestone"),
    "progress": ("work_package", "trade", "date", "milestone"),
    "changes": ("change",),
    "change-events": ("change", "event", "date", "revision"),
}
CODES = {"work_package", "change", "booked_to", "booking_code", "job", "base_package"}
SMALL_LETTERS = {"trade", "grade", "technique", "spread", "package_kind"}


@dataclass(frozen=True)
class Load:
    """One command that put something into the book: what, for which job, from which files.

    Of a claim or an invoice that was issued also its day, and the claim that is billed; `under` is
    the baseline change that an estimate replans by.
    """

    number: int
    kind: str
    files: tuple[Path, ...] = ()
    job: str = ""
    on: date | None = None
    layout: Path | None = None
    to: date | None = None
    claim: int = 0
    under: str = ""


@dataclass(frozen=True)
class Fact:
    """A row of a small file, with the number of the load that brought it as it counts."""

    row: Row
    load: int
    place: int  # its turn among all rows, as they were first loaded


def read_rows(path: Path, delimiter: str = ",") -> list[Row]:
    """Return the rows of a CSV file as text; cells that are missing are empty."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        found = csv.DictReader(file, delimiter=delimiter)
        return [{k: (v or "") for k, v in row.items() if k is not None} for row in found]


def normal(row: Row) -> Row:
    """Return the row trimmed, codes in capitals, trades and their like in small letters."""
    return {name: normal_value(name, value) for name, value in row.items()}


def normal_value(name: str, value: str) -> str:
    text = value.strip()
    if name in CODES:
        return text.upper() if text.lower() not in ("non_productive", "untagged") else text.lower()
    return text.lower() if name in SMALL_LETTERS else text


def round_half_away(value: Fraction) -> int:
    """Return the nearest whole number, a half away from zero."""
    whole = int(abs(value) + Fraction(1, 2))
    return whole if value >= 0 else -whole


def hours_ms(text: str) -> int:
    """Return hours written in a small file as milliseconds."""
    return round_half_away(Fraction(text or "0") * MS_AN_HOUR)


def rate_units(text: str) -> int:
    """Return a rate in whole 1/10000 of the currency an hour."""
    return round_half_away(Fraction(text) * RATE_UNITS)


def day_of(text: str) -> date | None:
    """Return the day written as an ISO date, None if there is no such day."""
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def a_day(text: str) -> date:
    found = day_of(text)
    assert found is not None, text
    return found


@dataclass(frozen=True)
class Job:
    """A job as its file says: its dates, its working days, how its contract is settled."""

    code: str
    own: dict[str, Any]
    holidays: frozenset[date]
    week_start: int = 0

    @property
    def working_week(self) -> set[int]:
        named = self.own.get("working_week", ["mon", "tue", "wed", "thu", "fri"])
        return {WEEKDAYS.index(name[:3].lower()) for name in named}

    def works(self, day: date) -> bool:
        """Tell whether the job works on the day."""
        off = self.own.get("days_off", [])
        return day.weekday() in self.working_week and day not in off and day not in self.holidays

    def working_days(self, first: date, last: date) -> list[date]:
        """Return the working days from first to last, both included."""
        count = (last - first).days + 1
        return [day for day in (first + n * DAY for n in range(count)) if self.works(day)]

    def week_begin(self, day: date) -> date:
        return day - ((day.weekday() - self.week_start) % 7) * DAY

    def week_end(self, day: date) -> date:
        """Return the last day of the day's week."""
        return self.week_begin(day) + 6 * DAY

    @property
    def time_charge(self) -> bool:
        return self.own.get("contract_basis") == "time_charge"


@dataclass
class Files:
    """All that was loaded: small tables as they count, in the order of loading."""

    loads: list[Load]
    settings: dict[str, Any] = field(default_factory=dict)
    job_files: dict[str, dict[str, Any]] = field(default_factory=dict)
    small: dict[tuple[str, str], dict[tuple[str, ...], list[Fact]]] = field(default_factory=dict)
    wholes: dict[tuple[str, str], dict[tuple[str, ...], list[Fact]]] = field(default_factory=dict)
    freezes: dict[str, Load] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for load in self.loads:
            self.take(load)

    def take(self, load: Load) -> None:
        if load.kind == "freeze":
            self.freezes[load.job] = load
        for path in load.files:
            if load.kind == "settings":
                merge(self.settings, tomllib.loads(path.read_text(encoding="utf-8")))
            elif load.kind == "job":
                own = tomllib.loads(path.read_text(encoding="utf-8"))
                code = own["job"]["code"].upper()
                self.job_files[code] = own
            elif load.kind in KEYS:
                self.take_small(load, path)
            elif load.kind in ("estimate", "change-lines", "rules", "plan", "baseline-changes"):
                self.take_whole(load, path)

    def take_small(self, load: Load, path: Path) -> None:
        """Take rows with keys: a new key is added, other values supersede."""
        table = self.small.setdefault((load.kind, load.job), {})
        for row in map(normal, read_rows(path)):
            key = tuple(row.get(name, "") for name in KEYS[load.kind])
            versions = table.setdefault(key, [])
            if versions and filled(versions[-1].row) == filled(row):
                continue
            place = versions[0].place if versions else len(table)
            versions.append(Fact(row, load.number, place))

    def take_whole(self, load: Load, path: Path) -> None:
        """Take rows that belong together: an estimate, a revision, a rule, a named change."""
        names = {"change-lines": ("change", "revision"), "rules": ("rule",)}.get(load.kind, ())
        if load.kind == "baseline-changes":
            names = ("name",)
        kind = f"estimate under {load.under}" if load.under else load.kind
        table = self.wholes.setdefault((kind, load.job), {})
        groups: dict[tuple[str, ...], list[Fact]] = {}
        for place, row in enumerate(map(normal, read_rows(path))):
            if load.kind == "change-lines":
                row["revision"] = row.get("revision") or "1"
            key = tuple(row[name] for name in names)
            groups.setdefault(key, []).append(Fact(row, load.number, place))
        for key, facts in groups.items():
            if key in table and [f.row for f in table[key]] == [f.row for f in facts]:
                continue
            table[key] = facts

    def facts(self, kind: str, job: str = "", *, before: int | None = None) -> list[Fact]:
        """Return the rows that count, or counted before a load, in the order of first loading."""
        if kind in KEYS:
            every = self.small.get((kind, job), {}).values()
            known = [[f for f in v if before is None or f.load < before] for v in every]
            return [versions[-1] for versions in known if versions]
        groups = self.wholes.get((kind, job), {})
        return [fact for facts in groups.values() for fact in facts]

    def rows(self, kind: str, job: str = "") -> list[Row]:
        return [fact.row for fact in self.facts(kind, job)]

    def job(self, code: str) -> Job:
        own = self.job_files[code]["job"]
        yard = self.settings.get("yard", {})
        start = WEEKDAYS.index(yard.get("week_start", "monday")[:3].lower())
        return Job(code, own, self.public_holidays(own), start)

    def public_holidays(self, own: dict[str, Any]) -> frozenset[date]:
        """Return the holidays of the country that the settings name."""
        country = self.settings.get("yard", {}).get("holidays", "")
        if not country:
            return frozenset()
        import holidays  # a public calendar, no part of the program

        place, _, part = country.partition("-")
        first, last = own["planned_start"].year - 1, own["planned_finish"].year + 2
        return frozenset(holidays.country_holidays(place, part or None, years=range(first, last)))

    def cause(self, name: str) -> dict[str, str]:
        """Return who asked for a cause and who bears it, as the settings say."""
        causes: dict[str, dict[str, str]] = self.settings.get("causes", {})
        return causes.get(name, {})


def filled(row: Row) -> Row:
    """Return the cells that hold something: a missing column is an empty cell."""
    return {name: value for name, value in row.items() if value}


def merge(into: dict[str, Any], new: dict[str, Any]) -> None:
    """Put new settings over old ones, section by section."""
    for name, value in new.items():
        if isinstance(value, dict):
            merge(into.setdefault(name, {}), value)
        else:
            into[name] = value


def applies(own: Iterable[Row], name: str, day: date) -> Row | None:
    """Return the newest of the rows whose day, in the column named, is not after the day."""
    begun = [row for row in own if not row.get(name) or a_day(row[name]) <= day]
    return max(begun, key=lambda row: row.get(name, ""), default=None)


class Rates:
    """What an hour costs: the worker's own rate, then trade and grade, then trade."""

    def __init__(self, files: Files, before: int | None = None) -> None:
        self.by_key: dict[tuple[str, str, str], list[Row]] = {}
        for row in (fact.row for fact in files.facts("rates", before=before)):
            key = (row["trade"], row.get("grade", ""), row.get("worker_id", ""))
            self.by_key.setdefault(key, []).append(row)

    def find(self, day: date, trade: str, grade: str = "", worker: str = "") -> int | None:
        """Return the rate of the day in 1/10000 an hour, None if there is none."""
        for row in (
            applies(
                self.by_key.get((trade, "", worker), []) if worker else [], "effective_from", day
            ),
            applies(self.by_key.get((trade, grade, ""), []), "effective_from", day),
            applies(self.by_key.get((trade, "", ""), []), "effective_from", day),
        ):
            if row:
                return rate_units(row["cost_per_hour"])
        return None

    def standard(self, day: date, trade: str) -> int:
        """Return the trade's standard rate of the day."""
        found = self.find(day, trade)
        assert found is not None, (trade, day)
        return found
