"""What a reckoned book holds: lines of files, entries and re-issues."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

# A line with one of these questions may be another line of the book.
QUESTIONS = {"job_differs", "times_differ"}
# Until a person has said what it is, a sheet is not short of a line with one of these.
ASKED = QUESTIONS | {"same_as_sheet"}
ENDED = {"booked", "rejected", "matched"}
UNNAMED = "(no sheet)"
Place = tuple[str, str, str]


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


@dataclass(eq=False)
class Entry:
    """Hours that were booked: they stand until they are reversed."""

    fields: Fields
    place: Place
    stands: bool = True
    closed: bool = False


@dataclass(eq=False)
class Line:
    """A line that was new when its file was loaded.

    It may be another line of the book (`like`); a person may have said that it is right as it
    reads; a confirmed re-issue may have taken it back.
    """

    load: int
    number: int
    was: Fields
    reads: Fields
    state: str
    entry: Entry | None = None
    gone: bool = False
    like: "Line | None" = None
    is_right: bool = False
    replaced_by: "Reissue | None" = None

    @property
    def stands(self) -> bool:
        return self.entry is not None and self.entry.stands

    @property
    def is_held(self) -> bool:
        return self.state not in ENDED


@dataclass(eq=False)
class Reissue:
    """A sheet handed in again otherwise: its worker-days, and the lines that it gives of each."""

    load: int
    sheet: str
    days: dict[tuple[str, date], list[Line]] = field(default_factory=dict)
    ended: bool = False
    confirmed: bool = False

    def lines(self) -> list[Line]:
        return [line for given in self.days.values() for line in given]

    def brings(self, line: Line) -> bool:
        """Return whether a line is one that came into the book with this re-issue."""
        return line.load == self.load and line in self.lines()


def sheet_of(fields: Fields) -> str:
    """Return what a line's sheet is known by: its name, else the worker's week."""
    if fields.sheet:
        return fields.sheet.casefold()
    monday = fields.day - timedelta(days=fields.day.weekday())
    return f"{UNNAMED} {fields.worker} {monday}"


def by_worker_day(lines: Iterable[Line]) -> dict[tuple[str, str, date], list[Line]]:
    """Return the lines of sheets with a name, by sheet, worker and day."""
    found: dict[tuple[str, str, date], list[Line]] = {}
    for line in lines:
        if line.reads.sheet:
            key = (sheet_of(line.reads), line.reads.worker, line.reads.day)
            found.setdefault(key, []).append(line)
    return found
