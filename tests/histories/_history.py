"""Random histories of commands, given to the program and to the reckoning alike."""

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from tests.conftest import Yard
from tests.histories._book import HOUR
from tests.histories._lines import Fields, Line, Place
from tests.histories._model import Model, Refused

MONDAY = date(2026, 3, 2)
FRIDAY = date(2026, 3, 13)
CREW = ("W1", "W2", "W3")
LATE_WORKER = "W4"
FIRST_JOB, SECOND_JOB = "PIER", "QUAY"
CODES = {FIRST_JOB: {"DECK", "RAIL"}, SECOND_JOB: {"RAIL", "WALL"}}
ON_LINES = ("DECK", "RAIL", "RAIL", "WALL", "RAIN", "SWEEP", "LEAVE", "LOST")
CLOCK = (("", ""), ("", ""), ("06:00", "10:00"), ("14:00", "18:00"))
REASON = ("--reason", "as the foreman says")
HEAD = "sheet,worker_id,date,hours,start,finish,booking_code,job,note\n"

SETTINGS = """
    [yard]
    name = "Low Weir Boatyard"
    currency = "EUR"
    zone = "UTC"
    [non_productive]
    RAIN = "weather"
    [overhead]
    SWEEP = "clean_up"
    [absence]
    LEAVE = "leave"
    """
JOB = """
    [job]
    code = "{job}"
    title = "{job}"
    owner = "The harbour"
    contract_sum = "1000.00"
    contract_date = 2026-02-23
    planned_start = 2026-03-02
    planned_finish = 2026-03-27
    """
ESTIMATE = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique\n"
)
BUDGET = 80
PERCENT = {"DECK": 25, "RAIL": 40, "WALL": 10}


def crew_row(worker: str) -> str:
    return f"worker_id,name,trade,grade\n{worker},{worker} Wick,joiner,skilled\n"


def load_job(yard: Yard, job: str, *words: str, ok: bool = True) -> None:
    """Load a job with its estimate and what was measured of it."""
    yard.run("load", "job", yard.write(f"{job}.toml", JOB.format(job=job)), *words, ok=ok)
    rows = "".join(
        f"{code},Part,hull,joiner,{BUDGET},2026-03-02,2026-03-27,percent_complete\n"
        for code in sorted(CODES[job])
    )
    file = yard.write(f"{job}-estimate.csv", ESTIMATE + rows)
    yard.run("load", "estimate", "--job", job, file, *words, ok=ok)


def measure(yard: Yard, job: str) -> None:
    yard.run("freeze", "--job", job, "--on", "2026-02-23")
    rows = "".join(f"{code},2026-03-06,{PERCENT[code]}\n" for code in sorted(CODES[job]))
    file = yard.write(f"{job}-progress.csv", "work_package,date,percent\n" + rows)
    yard.run("load", "progress", "--job", job, file)


def prepare(yard: Yard) -> Yard:
    """Load what every history begins with: a yard, three workers, the first job."""
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    rows = "".join(f"{worker},{worker} Wick,joiner,skilled\n" for worker in CREW)
    yard.run("load", "crew", yard.write("crew.csv", "worker_id,name,trade,grade\n" + rows))
    load_job(yard, FIRST_JOB)
    measure(yard, FIRST_JOB)
    return yard


@dataclass
class Kept:
    """A file that was loaded: its lines as written, and the words it was loaded with."""

    name: str
    rows: list[Fields]
    job: str


class History:
    """One random history, told to the program and to the reckoning, step by step."""

    def __init__(self, yard: Yard, seed: int) -> None:
        self.yard = yard
        self.chance = Random(seed)
        self.model = Model({FIRST_JOB: CODES[FIRST_JOB]}, {*CREW})
        self.files: list[Kept] = []
        self.said: list[str] = []
        self.decomposed: dict[str, bool] = {}

    def run(self, steps: int) -> None:
        """Do so many steps, then compare all that can be asked."""
        for _ in range(steps):
            self.step()
        self.compare()

    def step(self) -> None:
        ways = (
            *((self.new_file, 4), (self.file_again, 4), (self.end_held, 3), (self.end_reissue, 3)),
            *((self.correct, 2), (self.reverse, 2), (self.undo, 1), (self.reverse_file, 1)),
            *((self.second_job, 1), (self.late_worker, 1), (self.close, 1)),
        )
        way = self.chance.choices([each for each, _ in ways], [weight for _, weight in ways])[0]
        self.said.append(way.__name__)
        way()

    # Files of sheets

    def row(self, sheet: str) -> Fields:
        chance = self.chance
        start, finish = chance.choice(CLOCK)
        return Fields(
            worker=chance.choice((*CREW, *CREW, LATE_WORKER)),
            day=MONDAY + timedelta(days=chance.randrange(8)),
            ms=4 * HOUR if start else chance.choice((2, 4, 4, 8, 25)) * HOUR,
            code=chance.choice(ON_LINES),
            sheet=sheet,
            job=chance.choice(("", "", "", FIRST_JOB, SECOND_JOB)),
            start=start,
            finish=finish,
            note=chance.choice(("", "", "by lamp", "caf\u00e9")),
        )

    def new_file(self) -> None:
        sheets = self.chance.choice((["S1"], ["S1", "S2"], ["S3"], [""]))
        rows = [self.row(self.chance.choice(sheets)) for _ in range(self.chance.randint(1, 5))]
        if self.chance.random() < 0.3:
            rows.append(rows[0])
        self.load(rows, self.chance.choice(("", "", FIRST_JOB)))

    def file_again(self) -> None:
        """Load an earlier file again: as it was, or with something about it changed."""
        if not self.files:
            return self.new_file()
        kept = self.chance.choice(self.files)
        how = self.chance.choice(("same", "job", "edited", "copied", "shuffled", "cut", "times"))
        rows, job = list(kept.rows), kept.job
        if how == "same":
            self.load(rows, job, kept.name)
            return None
        if how == "job":
            job = "" if job else FIRST_JOB
        elif how == "edited":
            place = self.chance.randrange(len(rows))
            rows[place] = replace(rows[place], ms=7 * HOUR, start="", finish="")
        elif how == "copied":
            rows = [replace(row, sheet=f"{row.sheet}b" if row.sheet else "") for row in rows]
        elif how == "shuffled":
            self.chance.shuffle(rows)
            rows = [replace(row, sheet=row.sheet.lower()) for row in rows]
        elif how == "cut":
            rows = rows[:-1] or rows
        else:
            rows = [replace(row, start="", finish="") for row in rows]
        self.load(rows, job)
        return None

    def load(self, rows: list[Fields], job: str, name: str = "") -> None:
        name = name or f"f{len(self.model.loads)}.csv"
        decomposed = self.decomposed.setdefault(name, self.chance.random() < 0.5)
        text = HEAD + "".join(written(row, decomposed) for row in rows)
        self.yard.write(name, text)
        words = ("--job", job) if job else ()
        loaded = self.yard.json("load", "sheets", *words, self.yard.folder / name)["files"][0]
        actual = {key: int(loaded[key]) for key in ("lines_read", "booked", "held")}
        actual["already"] = int(loaded["already_booked"] + loaded["already_held"])
        expected = self.model.load_sheets(name, text, rows, job)
        assert actual == expected, (name, rows)
        if all(kept.name != name for kept in self.files):
            self.files.append(Kept(name, rows, job))

    # Lines and entries

    def one(self, lines: list[Line]) -> Line | None:
        return self.chance.choice(lines) if lines else None

    def place_of(self, line: Line) -> tuple[str, int]:
        return self.model.loads[line.load], line.number

    def entry_id(self, line: Line, state: str) -> str:
        """Return the id that the program gives to the newest entry of a line in a state."""
        found = [
            row["entry"]
            for row in self.yard.json("entries")
            if (row["file"], int(row["line"])) == self.place_of(line) and row["state"] == state
        ]
        assert len(found) == 1 or (found and state == "reversed"), (self.place_of(line), found)
        return str(max(found, key=lambda entry: tuple(map(int, str(entry).split(".")))))

    def held_id(self, line: Line) -> str:
        found = [
            row["held_line"]
            for row in self.yard.json("held")
            if (row["file"], int(row["line"])) == self.place_of(line)
        ]
        assert len(found) == 1, (self.place_of(line), found)
        return str(found[0])

    def standing(self) -> list[Line]:
        """Return lines with an entry that stands, and that no re-issue waits for."""
        return [
            line
            for line in self.model.present()
            if line.entry is not None and line.entry.stands and not self.waits(line)
        ]

    def waits(self, line: Line) -> bool:
        return any(
            line.reads.day == day and line.reads.worker == worker
            for again in self.model.open_reissues()
            for worker, day in again.days
        )

    def correct(self) -> None:
        if line := self.one(self.standing()):
            hours = self.chance.choice([each for each in (3, 5) if each * HOUR != line.reads.ms])
            reads = replace(line.reads, ms=hours * HOUR, start="", finish="", note="as told")
            words = (f"hours={hours}", "start=", "finish=", "note=as told")
            entry = self.entry_id(line, "stands")
            done = self.tried(lambda: self.model.correct(line, reads))
            self.yard.run("correct", "entry", entry, *words, *REASON, ok=done)

    def reverse(self) -> None:
        if line := self.one(self.standing()):
            self.yard.run("reverse", "entry", self.entry_id(line, "stands"), *REASON)
            self.model.reverse(line)

    def undo(self) -> None:
        fallen = [
            line
            for line in self.model.present()
            if line.entry and not line.entry.stands and not self.waits(line)
        ]
        if line := self.one(fallen):
            entry = self.entry_id(line, "reversed")
            done = self.tried(lambda: self.model.restore(line))
            self.yard.run("undo", "reversal", entry, *REASON, ok=done)

    def reverse_file(self) -> None:
        busy = {again.load for again in self.model.reissues}
        busy |= {line.load for again in self.model.reissues for line in again.lines()}
        names = Counter(self.model.loads)
        own = {
            line.load
            for line in self.model.present()
            if line.load not in busy and names[self.model.loads[line.load]] == 1
        }
        if own:
            load = self.chance.choice(sorted(own))
            done = self.tried(lambda: self.model.reverse_file(load))
            self.yard.run("reverse", "file", self.model.loads[load], *REASON, ok=done)

    def end_held(self) -> None:
        questions = ("job_differs", "times_differ", "same_as_sheet", "over_24_hours")
        held = [line for line in self.model.present() if line.state in questions]
        if line := self.one(held):
            verb = self.chance.choice(("release", "reject"))
            words = (verb, "line", self.held_id(line), *REASON)
            end = getattr(self.model, verb)
            self.yard.run(*words, ok=self.tried(lambda: end(line)))

    def end_reissue(self) -> None:
        open_ones = self.model.open_reissues()
        if not open_ones:
            return
        again = self.chance.choice(open_ones)
        beside = [each for each in open_ones if each.sheet == again.sheet]
        verb = self.chance.choice(("confirm", "reject")) if len(beside) == 1 else "reject"
        name = self.model.loads[again.load]
        ids = {
            row["reissue"]
            for row in self.yard.json("reissues")
            if row["file"] == name and row["sheet"].casefold() == again.sheet
        }
        assert len(ids) == 1, (name, again.sheet, ids)
        end = getattr(self.model, f"{verb}_reissue")
        done = self.tried(lambda: end(again))
        self.yard.run(verb, "reissue", ids.pop(), *REASON, ok=done)

    # The yard

    def second_job(self) -> None:
        if SECOND_JOB in self.model.jobs:
            return
        words = ("--move-hours",) if self.chance.random() < 0.5 else ()
        file = self.yard.write("quay.toml", JOB.format(job=SECOND_JOB))
        if not self.tried(lambda: self.model.load_job(SECOND_JOB, set(), move_hours=bool(words))):
            self.yard.run("load", "job", file, ok=False)
            return
        self.yard.run("load", "job", file, *words)
        rows = "".join(
            f"{code},Part,hull,joiner,{BUDGET},2026-03-02,2026-03-27,percent_complete\n"
            for code in sorted(CODES[SECOND_JOB])
        )
        file = self.yard.write("quay.csv", ESTIMATE + rows)
        load = ("load", "estimate", "--job", SECOND_JOB, file)
        codes = CODES[SECOND_JOB]
        if not self.tried(lambda: self.model.load_job(SECOND_JOB, codes, move_hours=bool(words))):
            self.yard.run(*load, ok=False)
            return
        self.yard.run(*load, *words)
        measure(self.yard, SECOND_JOB)

    def tried(self, change: Any) -> bool:
        try:
            change()
        except Refused:
            return False
        return True

    def late_worker(self) -> None:
        if LATE_WORKER not in self.model.workers:
            self.yard.run("load", "crew", self.yard.write("late.csv", crew_row(LATE_WORKER)))
            self.model.load_worker(LATE_WORKER)

    def close(self) -> None:
        sundays = (MONDAY - timedelta(days=1), MONDAY + timedelta(days=6))
        day = next((each for each in sundays if each not in self.model.closed_to), None)
        if day is not None:
            self.yard.run("close", "period", "--to", day.isoformat())
            self.model.close(day)

    # What is compared

    def compare(self) -> None:
        """Compare hours by place, held lines by reason, AC and EV of each job; check the book."""
        rows = self.yard.rows(self.yard.run("show", "posting", "--format", "csv").stdout)
        places: Counter[Place] = Counter()
        for row in rows:
            places[row["job"], row["booked_to"], row["cause"]] += int(row["ms"])
        assert {place: ms for place, ms in places.items() if ms} == self.model.hours(), self.said
        reasons = Counter(row["reason"] for row in self.yard.json("held"))
        assert dict(reasons) == self.model.held(), self.said
        waiting = {(row["file"], row["sheet"].casefold()) for row in self.yard.json("reissues")}
        names = self.model.loads
        expected = {(names[again.load], again.sheet) for again in self.model.open_reissues()}
        assert waiting == expected, self.said
        for job, codes in self.model.jobs.items():
            if codes:
                row = self.yard.json("performance", "--job", job, "--status-date", FRIDAY)["rows"][
                    0
                ]
                actual = Decimal(self.model.actual(job, FRIDAY)) / HOUR
                earned = Decimal(sum(PERCENT[code] for code in codes)) * BUDGET / 100
                assert (row["ac"], row["ev"]) == (actual, earned), self.said
        self.yard.run("check")


def written(row: Fields, decomposed: bool) -> str:
    """Return a line of a file; a note may be written with its accents apart."""
    note = row.note.replace("\u00e9", "e\u0301") if decomposed else row.note
    cells = (row.sheet, row.worker, row.day, row.ms // HOUR, row.start, row.finish)
    return ",".join(map(str, (*cells, row.code, row.job, note))) + "\n"
