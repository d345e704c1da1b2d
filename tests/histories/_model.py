"""An independent reckoning of what a book holds after any commands, from the rules alone.

Nothing of the program is imported. Times are whole milliseconds; a line is told by its fields.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

HOUR = 3_600_000
LOST = {"RAIN": "weather"}
OUTSIDE = {"SWEEP": ("overhead", "clean_up"), "LEAVE": ("absence", "leave")}
Place = tuple[str, str, str]
UNNAMED = "(no sheet)"


@dataclass(frozen=True)
class Fields:
    """What a line of a file says; an empty text is a blank cell."""

    worker: str
    day: date
    ms: int
    code: str
    sheet: str = ""
    job: str = ""
    start: str = ""
    finish: str = ""
    note: str = ""


@dataclass
class Entry:
    """Hours that were booked: they stand until they are reversed."""

    fields: Fields
    place: Place
    stands: bool = True
    closed: bool = False


@dataclass
class Line:
    """A line that was new when its file was loaded."""

    load: int
    number: int
    was: Fields
    reads: Fields
    state: str
    entry: Entry | None = None
    gone: bool = False
    replaced: bool = False


@dataclass
class Reissue:
    """A sheet handed in again otherwise: its worker-days, and the lines that it gives of each."""

    load: int
    sheet: str
    days: dict[tuple[str, date], list[Line]] = field(default_factory=dict)
    ended: bool = False
    confirmed: bool = False


class Refused(Exception):
    """The rules say no; nothing was changed."""


class Model:
    """The book as the rules have it."""

    def __init__(self, jobs: dict[str, set[str]], workers: set[str]) -> None:
        self.jobs = {job: set(codes) for job, codes in jobs.items()}
        self.workers = set(workers)
        self.loads: list[str] = []
        self.lines: list[Line] = []
        self.reissues: list[Reissue] = []
        self.closed_to: list[date] = []

    # Where hours belong

    def job_of(self, fields: Fields) -> str:
        """Return the job named, else the one job that has the code; overhead and absence: none."""
        if fields.code in OUTSIDE:
            return ""
        if fields.job:
            return fields.job
        having = [job for job, codes in self.jobs.items() if fields.code in codes | set(LOST)]
        return having[0] if len(having) == 1 else ""

    def place_of(self, fields: Fields) -> Place:
        job = self.job_of(fields)
        job = job if job in self.jobs else ""
        if job and fields.code in self.jobs[job]:
            return job, fields.code, ""
        if job and fields.code in LOST:
            return job, "non_productive", LOST[fields.code]
        if fields.code in OUTSIDE:
            return "", *OUTSIDE[fields.code]
        return job, "untagged", ""

    def place_anew(self, *, asked: bool) -> None:
        """Move entries to where they belong by now.

        Raises: Refused when hours would leave a job and that was not asked for.
        """
        moves = [(each, self.place_of(each.fields)) for each in self.free_entries()]
        if not asked and any(e.place[0] and p[0] != e.place[0] for e, p in moves if e.fields.ms):
            raise Refused
        for entry, place in moves:
            entry.place = place

    def entries(self) -> Iterator[Entry]:
        return (line.entry for line in self.lines if line.entry is not None)

    def free_entries(self) -> list[Entry]:
        return [entry for entry in self.entries() if entry.stands and not entry.closed]

    def hours(self) -> dict[Place, int]:
        """Return the time of each place, nothing where nothing is."""
        sums: Counter[Place] = Counter()
        for entry in self.entries():
            if entry.stands:
                sums[entry.place] += entry.fields.ms
        return {place: ms for place, ms in sums.items() if ms}

    def actual(self, job: str, day: date) -> int:
        return sum(
            entry.fields.ms
            for entry in self.entries()
            if entry.stands and entry.place[0] == job and entry.fields.day <= day
        )

    def held(self) -> dict[str, int]:
        """Return how many lines are held for each reason."""
        return dict(Counter(line.state for line in self.lines if line.state not in ENDED))

    # What is the same

    def key(self, fields: Fields) -> tuple[object, ...]:
        """Return all that tells a line from others, the job resolved by what is known now."""
        return (self.job_of(fields), *self.without_job(fields))

    def without_job(self, fields: Fields) -> tuple[object, ...]:
        return (sheet_of(fields), *self.without_sheet(fields)[1:])

    def without_sheet(self, fields: Fields) -> tuple[object, ...]:
        f = fields
        return self.job_of(f), f.worker, f.day, f.ms, f.start, f.finish, f.code, f.note

    def without_times(self, fields: Fields) -> tuple[object, ...]:
        return self.key(replace(fields, start="", finish=""))

    # Commands

    def load_sheets(self, name: str, given: list[Fields], job: str) -> dict[str, int]:
        """Load a file; return the counts of its lines."""
        load = len(self.loads)
        self.loads.append(name)
        lines = [
            Line(load, number, fields, fields, self.first_state(fields))
            for number, fields in enumerate(
                (replace(each, job=each.job or job) for each in given), start=2
            )
        ]
        paired = self.pair(lines)
        new = [line for line in lines if line.number not in paired]
        left = [line for line in self.present() if all(line is not p for p in paired.values())]
        for line in new:
            line.state = self.question(line, left) or line.state
        self.hold_copies(lines, paired)
        self.hold_reissues(lines, paired)
        for line in new:
            if line.state == "booked":
                line.entry = Entry(line.reads, self.place_of(line.reads))
        self.lines += new
        states = Counter("booked" if line.state == "booked" else "held" for line in new)
        return {
            "lines_read": len(lines),
            "booked": states["booked"],
            "held": states["held"],
            "already": len(paired),
        }

    def first_state(self, fields: Fields) -> str:
        if fields.worker not in self.workers:
            return "worker_unknown"
        return "over_24_hours" if fields.ms > 24 * HOUR else "booked"

    def present(self) -> list[Line]:
        return [line for line in self.lines if not line.gone]

    def pair(self, lines: list[Line]) -> dict[int, Line]:
        """Return, by its number in the file, the line of the book that each line is."""
        free = self.present()
        paired: dict[int, Line] = {}
        for reads in (False, True):
            for line in lines:
                if line.number in paired:
                    continue
                for had in free:
                    if self.key(had.reads if reads else had.was) == self.key(line.reads):
                        paired[line.number] = had
                        free.remove(had)
                        break
        return paired

    def question(self, line: Line, left: list[Line]) -> str:
        """Return what a readable new line is held for, taking its counterpart out of those left."""
        for reason, alike in (("job_differs", self.job_alone), ("times_differ", self.times_alone)):
            for had in left:
                if alike(line.reads, had.reads):
                    left.remove(had)
                    return reason
        return ""

    def job_alone(self, one: Fields, other: Fields) -> bool:
        same = replace(one, job="X"), replace(other, job="X")
        differ = self.job_of(one) != self.job_of(other) and not (one.job and other.job)
        return differ and self.key(same[0]) == self.key(same[1])

    def times_alone(self, one: Fields, other: Fields) -> bool:
        given = bool(one.start or one.finish), bool(other.start or other.finish)
        return given[0] != given[1] and self.without_times(one) == self.without_times(other)

    def hold_copies(self, lines: list[Line], paired: dict[int, Line]) -> None:
        """Hold each whole sheet whose lines all stand under another sheet's name."""
        for sheet in {sheet_of(line.reads) for line in lines if line.reads.sheet}:
            own = [line for line in lines if sheet_of(line.reads) == sheet]
            if any(line.number in paired or line.state in QUESTIONS for line in own):
                continue
            for other in {
                sheet_of(had.reads) for had in self.waiting_or_standing() if had.reads.sheet
            }:
                had = [each for each in self.waiting_or_standing() if sheet_of(each.reads) == other]
                if other != sheet and self.stand_among(own, had):
                    for line in own:
                        line.state = "same_as_sheet"
                    break

    def stand_among(self, own: list[Line], had: list[Line]) -> bool:
        """Return whether each line has one of its own that reads, or was written, as it does."""
        wanted = Counter(self.without_sheet(line.reads) for line in own)
        readings = [{self.without_sheet(each.reads), self.without_sheet(each.was)} for each in had]
        enough = all(sum(key in ways for ways in readings) >= wanted[key] for key in wanted)
        return enough and sum(bool(ways & set(wanted)) for ways in readings) >= len(own)

    def waiting_or_standing(self) -> list[Line]:
        return [
            line
            for line in self.present()
            if (line.entry and line.entry.stands) or line.state not in ENDED
        ]

    def hold_reissues(self, lines: list[Line], paired: dict[int, Line]) -> None:
        """Hold the new lines of each worker-day that its sheet has otherwise."""
        found: dict[str, Reissue] = {}
        for (sheet, worker, day), own in by_worker_day(lines).items():
            new = [line for line in own if line.number not in paired]
            if any(line.state == "same_as_sheet" for line in new):
                continue
            kept = [paired[line.number] for line in own if line.number in paired]
            had = self.of_day(sheet, worker, day)
            missing = [each for each in had if all(each is not k for k in kept)]
            others = [line for line in new if line.state not in QUESTIONS]
            if self.puts_right(missing, new):
                for each in missing:
                    each.state = "matched"
                continue
            if had and (others or (missing and not new)):
                for line in new:
                    if line.state == "booked" or line.state in QUESTIONS:
                        line.state = "re_issue"
                again = found.setdefault(sheet, Reissue(len(self.loads) - 1, sheet))
                again.days[worker, day] = [*kept, *new]
        self.reissues += found.values()

    def puts_right(self, missing: list[Line], new: list[Line]) -> bool:
        """Return whether new lines give held ones again readably, one by one, by their codes."""
        return (
            bool(missing)
            and all(line.state == "over_24_hours" for line in missing)
            and all(line.state == "booked" for line in new)
            and Counter(each.reads.code for each in missing)
            == Counter(each.reads.code for each in new)
        )

    def load_job(self, job: str, codes: set[str], *, move_hours: bool) -> None:
        """Raises: Refused when hours would leave a job, unless that was asked for."""
        before = self.jobs
        self.jobs = {**before, job: set(codes)}
        try:
            self.place_anew(asked=move_hours)
        except Refused:
            self.jobs = before
            raise

    def load_worker(self, worker: str) -> None:
        """Book the lines that waited for the worker."""
        self.workers.add(worker)
        for line in self.lines:
            if line.state == "worker_unknown" and line.reads.worker == worker:
                line.state = self.first_state(line.reads)
                if line.state == "booked":
                    self.book(line)

    def book(self, line: Line) -> None:
        line.state = "booked"
        line.entry = Entry(line.reads, self.place_of(line.reads))

    def correct(self, line: Line, reads: Fields) -> None:
        """Reverse the entry of a line, and book what the line reads now."""
        line.reads = reads
        self.book(line)

    def reverse(self, line: Line) -> None:
        assert line.entry is not None
        line.entry.stands = False

    def may_stand_again(self, line: Line) -> bool:
        """Return whether no later line of the sheet's worker-day stands in its place."""
        later = [
            each
            for each in self.present()
            if each.entry is not None
            and each.entry.stands
            and each.load > line.load
            and self.loads[each.load] != self.loads[line.load]
            and line.reads.sheet
            and sheet_of(each.reads) == sheet_of(line.reads)
            and (each.reads.worker, each.reads.day) == (line.reads.worker, line.reads.day)
        ]
        return all(self.stand_together(line, each) for each in later)

    def stand_together(self, one: Line, other: Line) -> bool:
        """Return whether a confirmed re-issue gives both lines."""
        return any(
            any(each is one for each in given) and any(each is other for each in given)
            for again in self.reissues
            if again.confirmed
            for given in again.days.values()
        )

    def restore(self, line: Line) -> None:
        assert line.entry is not None
        line.replaced = False
        line.entry.stands = True
        if not line.entry.closed:
            line.entry.place = self.place_of(line.entry.fields)

    def reverse_file(self, load: int) -> None:
        """Take a file's lines out of the book: they can be loaded again."""
        for line in self.lines:
            if line.load == load:
                line.gone = True
                if line.entry is not None:
                    line.entry.stands = False
                if line.state not in ENDED:
                    line.state = "rejected"

    def confirm(self, reissue: Reissue) -> None:
        """Let a sheet stand as it was handed in again."""
        reissue.ended = reissue.confirmed = True
        for (worker, day), given in reissue.days.items():
            for line in self.of_day(reissue.sheet, worker, day):
                if all(line is not each for each in given):
                    if line.entry is not None and line.entry.stands:
                        line.entry.stands = False
                        line.replaced = True
                    elif line.state not in ENDED:
                        line.state = "rejected"
            for line in given:
                if line.state == "re_issue":
                    self.book(line)
                elif line.entry is not None and not line.entry.stands:
                    self.restore(line)

    def reject(self, reissue: Reissue) -> None:
        """Leave a sheet as it was."""
        reissue.ended = True
        for line in (line for given in reissue.days.values() for line in given):
            if line.state == "re_issue" and line.load == reissue.load:
                line.state = "rejected"

    def close(self, day: date) -> None:
        """Let what is booked to a day stay where it is."""
        self.closed_to.append(day)
        for entry in self.entries():
            if entry.fields.day <= day:
                entry.closed = True

    def of_day(self, sheet: str, worker: str, day: date) -> list[Line]:
        """Return the lines that a sheet has of a worker's day: they stand, or are held."""
        return [
            line
            for line in self.waiting_or_standing()
            if (sheet_of(line.reads), line.reads.worker, line.reads.day) == (sheet, worker, day)
            and line.state != "re_issue"
        ]


QUESTIONS = {"job_differs", "times_differ"}
ENDED = {"booked", "rejected", "matched"}


def sheet_of(fields: Fields) -> str:
    """Return what a line's sheet is known by: its name, else the worker's week."""
    if fields.sheet:
        return fields.sheet.casefold()
    monday = fields.day - timedelta(days=fields.day.weekday())
    return f"{UNNAMED} {fields.worker} {monday}"


def by_worker_day(lines: Iterable[Line]) -> dict[tuple[str, str, date], list[Line]]:
    found: dict[tuple[str, str, date], list[Line]] = {}
    for line in lines:
        if line.reads.sheet:
            key = (sheet_of(line.reads), line.reads.worker, line.reads.day)
            found.setdefault(key, []).append(line)
    return found
