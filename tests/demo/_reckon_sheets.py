"""Sheet lines of a yard, read a second time: which are held, which are booked, and where."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property
from pathlib import Path

from tests.demo._reckon_files import (
    DAY,
    MS_AN_HOUR,
    WEEKDAYS,
    Files,
    Load,
    Rates,
    Row,
    a_day,
    applies,
    day_of,
    read_rows,
)

NON_PRODUCTIVE, UNTAGGED, OVERHEAD, ABSENCE = "non_productive", "untagged", "overhead", "absence"
APART = (OVERHEAD, ABSENCE)  # places that belong to no job
DECIMAL = re.compile(r"[0-9]+(\.[0-9]{1,5}0*)?")
CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9])(?::([0-5][0-9]))?")

# A day before 1990, or more than ten years after the demo's year, is no day worked.
FIRST_DAY, LAST_DAY = date(1990, 1, 1), date(2036, 12, 31)


@dataclass(frozen=True)
class Line:
    """A sheet line: its cells, the job given with it, and why it is held if it is."""

    file: str
    number: int
    row: Row
    job: str
    held: str
    ms: int


@dataclass(frozen=True)
class Entry:
    """An amount of time booked to one place; its cost is not known while a rate is missing."""

    job: str
    place: str
    trade: str
    day: date
    ms: int
    cost: int | None
    cause: str
    rework: str


@dataclass(frozen=True)
class Result:
    """Where a line, or a share of it, belongs and why."""

    job: str
    place: str
    cause: str = ""
    rework: str = ""


def duration_ms(row: Row) -> int | None:
    """Return the line's duration: hours as a decimal or h:mm, else finish less start and break."""
    text = row.get("hours", "").strip()
    if text:
        return written_ms(text)
    start, finish = (clock_ms(row.get(name, "").strip()) for name in ("start", "finish"))
    rest = row.get("break_minutes", "").strip() or "0"
    if start is None or finish is None or not re.fullmatch(r"[0-9]+", rest):
        return None
    span = finish - start + (24 * MS_AN_HOUR if finish <= start else 0)
    worked = span - int(rest) * 60_000
    return worked if worked >= 0 else None


def written_ms(text: str) -> int | None:
    if DECIMAL.fullmatch(text):
        return int(Fraction(text) * MS_AN_HOUR)
    return clock_ms(text)


def clock_ms(text: str) -> int | None:
    found = CLOCK.fullmatch(text)
    if not found:
        return None
    hours, minutes, seconds = (int(part or 0) for part in found.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000


def grid_lines(path: Path) -> Iterator[tuple[int, Row]]:
    """Return the lines of a weekly grid: one for each day cell that is filled."""
    for number, row in enumerate(read_rows(path), start=2):
        begin = day_of(row.get("week_starting", "").strip())
        common = {name: v for name, v in row.items() if name not in WEEKDAYS}
        for turn, weekday in enumerate(WEEKDAYS):
            if row.get(weekday, "").strip():
                day = str(begin + turn * DAY) if begin else ""
                yield number, common | {"date": day, "hours": row[weekday]}


class Sheets:
    """All the sheets of a yard, with everything that says where their hours belong."""

    def __init__(self, files: Files) -> None:
        self.files, self.rates = files, Rates(files)
        self.crew: dict[str, list[Row]] = {}
        for row in files.rows("crew"):
            self.crew.setdefault(row["worker_id"], []).append(row)

    # lines

    def worker_on(self, worker: str, day: date) -> Row:
        """Return the crew row of the day: the last begun, else the first that begins later."""
        own = self.crew[worker]
        return applies(own, "active_from", day) or min(own, key=lambda row: row["active_from"])

    @cached_property
    def lines(self) -> list[Line]:
        """Return every sheet line once: a file's n-th of a kind is old if n were in before."""
        seen: Counter[tuple[str, ...]] = Counter()
        kept: list[Line] = []
        for load in self.files.loads:
            for path in load.files if load.kind == "sheets" else ():
                in_file: Counter[tuple[str, ...]] = Counter()
                for number, row in self.read(path):
                    line = self.line(load, path, number, row)
                    key = self.key(line)
                    in_file[key] += 1
                    if in_file[key] > seen[key]:
                        seen[key] += 1
                        kept.append(line)
        return kept

    @staticmethod
    def read(path: Path) -> Iterator[tuple[int, Row]]:
        found = read_rows(path)
        if found and "date" not in found[0]:
            return grid_lines(path)
        return iter(list(enumerate(found, start=2)))

    def line(self, load: Load, path: Path, number: int, row: Row) -> Line:
        job = row.get("job", "").strip().upper() or load.job
        ms = duration_ms(row)
        return Line(path.name, number, row, job, self.held_reason(row, ms), ms or 0)

    def held_reason(self, row: Row, ms: int | None) -> str:
        """Return what is not established of worker, day and duration; "" if all are."""
        if row["worker_id"].strip() not in self.crew:
            return "worker"
        day = day_of(row["date"].strip())
        if day is None or not FIRST_DAY <= day <= LAST_DAY:
            return "day"
        return "duration" if ms is None or ms > 24 * MS_AN_HOUR else ""

    @staticmethod
    def key(line: Line) -> tuple[str, ...]:
        """Return what tells a line from others, the how-manieth apart."""
        cell = {name: value.strip() for name, value in line.row.items()}
        times = tuple(cell.get(name, "") for name in ("start", "finish", "break_minutes"))
        duration = (f"{line.ms}",) if cell.get("hours") and line.ms else (cell.get("hours", ""),)
        names = ("sheet", "worker_id", "date", "note", "pay_class", "rework")
        code = (cell.get("booking_code", "").upper(), cell.get("trade", "").lower())
        own = tuple(cell.get(name, "") for name in names)
        return (line.job, *own, *code, *(times if not cell.get("hours") else duration))

    # places

    @cached_property
    def codes(self) -> dict[str, set[str]]:
        """Return each job's own codes: its packages and its changes."""
        return {
            job: {row["work_package"] for row in self.files.rows("estimate", job)}
            | {row["change"] for row in self.files.rows("changes", job)}
            for job in self.files.job_files
        }

    def the_job_of(self, code: str) -> str:
        """Return the one job that has the code, "" if none or several have it."""
        found = [job for job, codes in self.codes.items() if code in codes]
        return found[0] if len(found) == 1 else ""

    def job_of(self, line: Line) -> str:
        """Return a line's job: its own, else that given with the file, else its code's."""
        return line.job or self.the_job_of(line.row.get("booking_code", "").strip().upper())

    def by_code(self, job: str, code: str) -> Result:
        """Return where a booking code sends hours of a job, or of none."""
        if job and job not in self.codes:
            return Result("", UNTAGGED)  # the line names a job that is not the yard's
        job = job or self.the_job_of(code)
        if code in self.codes.get(job, ()):
            return Result(job, code)
        for place in (NON_PRODUCTIVE, OVERHEAD, ABSENCE):
            causes = self.files.settings.get(place, {})
            cause = {name.upper(): cause for name, cause in causes.items()}.get(code)
            if cause is None:
                continue
            if place in APART:
                return Result("", place, cause)
            return Result(job, place, cause) if job else Result("", UNTAGGED)
        return Result(job, UNTAGGED)

    @cached_property
    def rules(self) -> dict[int, dict[str, list[Row]]]:
        """Return the rules by priority, then by name with their rows."""
        ordered: dict[int, dict[str, list[Row]]] = {}
        for row in sorted(self.files.rows("rules"), key=lambda row: int(row["priority"])):
            ordered.setdefault(int(row["priority"]), {}).setdefault(row["rule"], []).append(row)
        return ordered

    def results(self, line: Line, trade: str) -> list[tuple[Result, Fraction]]:
        """Return where the line belongs, by shares: the first rule that holds, else its code."""
        code = line.row.get("booking_code", "").strip().upper()
        plain = self.by_code(line.job, code)
        job = self.job_of(line)
        rework = line.row.get("rework", "").strip()
        for named in self.rules.values():
            found = [
                self.shares(rows, plain, line, rework)
                for rows in named.values()
                if holds(rows[0], line, trade, code, job)
            ]
            if found:
                alike = all(other == found[0] for other in found)
                left = [(Result(plain.job, UNTAGGED, "", rework), Fraction(1))]
                return found[0] if alike else left
        return [(Result(plain.job, plain.place, plain.cause, rework), Fraction(1))]

    def shares(
        self, rows: list[Row], plain: Result, line: Line, rework: str
    ) -> list[tuple[Result, Fraction]]:
        """Return a rule's places with their shares."""
        found = []
        for row in rows:
            to = self.sent_to(row, plain, line)
            cause = row.get("cause") or to.cause
            again = row.get("rework") or rework
            share = Fraction(row.get("share") or "1")
            found.append((Result(to.job, to.place, cause, again), share))
        return found

    def sent_to(self, row: Row, plain: Result, line: Line) -> Result:
        place = row.get("booked_to", "")
        if not place:
            return plain
        job = line.job or plain.job
        if place.lower() in APART:
            return Result("", place.lower())
        if place in (NON_PRODUCTIVE, UNTAGGED):
            return Result(job, place) if job else Result("", UNTAGGED)
        return self.by_code(job, place)

    @cached_property
    def entries(self) -> list[Entry]:
        """Return the booked lines, split where a rule splits them, with trade and cost."""
        return [entry for line in self.lines if not line.held for entry in self.entries_of(line)]

    def entries_of(self, line: Line) -> Iterator[Entry]:
        day, worker = a_day(line.row["date"].strip()), line.row["worker_id"].strip()
        crew = self.worker_on(worker, day)
        trade = line.row.get("trade", "").strip().lower() or crew["trade"]
        rate = self.rates.find(day, trade, crew.get("grade", ""), worker)
        found = self.results(line, trade)
        parts = split_ms(line.ms, [share for _, share in found])
        for (to, _), ms in zip(found, parts, strict=True):
            cost = None if rate is None else ms * rate
            yield Entry(to.job, to.place, trade, day, ms, cost, to.cause, to.rework)


def holds(rule: Row, line: Line, trade: str, code: str, job: str) -> bool:
    """Tell whether all of a rule's conditions hold for a line."""
    note, day = line.row.get("note", ""), line.row["date"].strip()
    wanted = (
        ("booking_code", code),
        ("worker_id", line.row["worker_id"].strip()),
        ("trade", trade),
        ("job", job),
    )
    return (
        all(rule.get(name, "") in ("", value) for name, value in wanted)
        and rule.get("note_contains", "").lower() in note.lower()
        and re.search(rule.get("note_matches", ""), note) is not None
        and (not rule.get("from") or rule["from"] <= day)
        and (not rule.get("to") or day <= rule["to"])
    )


def split_ms(ms: int, shares: list[Fraction]) -> list[int]:
    """Return the milliseconds by share; odd ones go to the largest fraction, then the first."""
    exact = [ms * share for share in shares]
    parts = [int(part) for part in exact]
    by_fraction = sorted(range(len(parts)), key=lambda n: (parts[n] - exact[n], n))
    for n in by_fraction[: ms - sum(parts)]:
        parts[n] += 1
    return parts
