"""The reckoned book: its lines, what they are booked to, and what makes two of them one."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from tests.histories._lines import Entry, Fields, Line, Place, Reissue, sheet_of

HOUR = 3_600_000
LOST = {"RAIN": "weather"}
OUTSIDE = {"SWEEP": ("overhead", "clean_up"), "LEAVE": ("absence", "leave")}


class Book:
    """What was recorded, and what follows from it."""

    def __init__(self, jobs: dict[str, set[str]], workers: set[str]) -> None:
        self.jobs = {job: set(codes) for job, codes in jobs.items()}
        self.workers = set(workers)
        self.loads: list[str] = []
        self.texts: list[str] = []
        self.seen: set[str] = set()
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

    # Lines

    def first_state(self, fields: Fields) -> str:
        """Return what becomes of a line by itself: booked, or what it is held for."""
        if fields.worker not in self.workers:
            return "worker_unknown"
        return "over_24_hours" if fields.ms > 24 * HOUR else "booked"

    def can_be_read(self, line: Line) -> bool:
        """Return whether a line can be booked by itself, or a person said that it is right."""
        return line.is_right or self.first_state(line.reads) == "booked"

    def held(self) -> dict[str, int]:
        """Return how many lines are held for each reason."""
        return dict(Counter(line.state for line in self.lines if line.is_held))

    def present(self) -> list[Line]:
        """Return the lines that are in the book.

        One that was put right by another is there while its sheet has hours of that day.
        """
        return [
            line
            for line in self.lines
            if not line.gone and (line.state != "matched" or self.has_hours_beside(line))
        ]

    def has_hours_beside(self, line: Line) -> bool:
        return any(
            each.stands
            for each in self.lines
            if sheet_of(each.reads) == sheet_of(line.reads)
            and (each.reads.worker, each.reads.day) == (line.reads.worker, line.reads.day)
        )

    def waiting_or_standing(self) -> list[Line]:
        return [line for line in self.present() if line.stands or line.is_held]

    def of_day(self, sheet: str, worker: str, day: date) -> list[Line]:
        """Return the lines that a sheet has of a worker's day: they stand, or are held.

        What an open re-issue brings is not the sheet's yet.
        """
        return [
            line
            for line in self.waiting_or_standing()
            if (sheet_of(line.reads), line.reads.worker, line.reads.day) == (sheet, worker, day)
            and not self.waits_for_reissue(line)
        ]

    def waits_for_reissue(self, line: Line) -> bool:
        return any(again.brings(line) for again in self.open_reissues())

    def open_reissues(self) -> list[Reissue]:
        return [again for again in self.reissues if not again.ended]

    # What is the same

    def key(self, fields: Fields) -> tuple[object, ...]:
        """Return all that tells a line from others, the job resolved by what is known now."""
        return (sheet_of(fields), *self.without_sheet(fields))

    def without_sheet(self, fields: Fields) -> tuple[object, ...]:
        f = fields
        return self.job_of(f), f.worker, f.day, f.ms, f.start, f.finish, f.code, f.note

    def without_times(self, fields: Fields) -> tuple[object, ...]:
        return self.key(replace(fields, start="", finish=""))

    def without_job(self, fields: Fields) -> tuple[object, ...]:
        return self.key(replace(fields, job="any"))
