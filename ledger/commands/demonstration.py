"""The demo: a yard's 42 weeks of files, loaded as they came in, and what can then be asked."""

import contextlib
import csv
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.book import new_book
from ledger.commands.loads import FilesLoaded, JobFrozen, freeze, load_files
from ledger.commands.sheets import SheetLoadAsked, SheetsLoad, load_sheets
from ledger.outcomes import Outcome
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import Asked, Performance, performance
from ledger.reports.owner.build import build
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.page_parts import logo_address
from ledger.reports.rendering import Choices, write

ACTOR = "Ottoline Farr"
JOB, STATUS_DATE = "FERRY", date(2026, 11, 1)
BEGUN = datetime(2026, 1, 5, 9, tzinfo=UTC)
Ran = FilesLoaded | SheetsLoad | JobFrozen


@dataclass(frozen=True)
class Command:
    """One command as the yard gave it: when it was recorded, its words, its file if it has one."""

    at: datetime
    words: tuple[str, ...]
    file: str


@dataclass(frozen=True)
class DemoRead(Outcome):
    """What the demo's book says in the end: of all its sheets, and of one job on a day.

    `counts` are sheet lines, workers, jobs, lines booked and lines held.
    """

    yard: str
    counts: Mapping[str, int]
    overrun: Overrun
    performance: Performance
    statement: OwnerVariations
    recorded_at: datetime
    choices: Choices


def schedule(path: Path) -> Iterator[Command]:
    """Yield the commands of schedule.csv, recorded in the afternoon, a minute after the last."""
    given: Counter[str] = Counter()
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            day = row["on"]
            at = datetime.combine(date.fromisoformat(day), time(17, given[day]), UTC)
            given[day] += 1
            yield Command(at, tuple(row["command"].split()), row["file"])


class Demonstration:
    """The demo's book, kept open for all commands of the schedule."""

    def __init__(self, access: WriteAccess, samples: Path) -> None:
        self.access, self.samples = access, samples

    def run(self, command: Command) -> Ran:
        """Run a command of the schedule."""
        access = replace(self.access, recorded_at=command.at)
        files = [self.samples / command.file]
        match command.words:
            case ("load", "sheets"):
                return load_sheets(access, SheetLoadAsked(files))
            case ("load", kind):
                return load_files(access, kind, files)
            case ("load", kind, "--job", job):
                return load_files(access, kind, files, job=job)
            case ("freeze", "--job", job, "--on", day):
                return freeze(access, job, date.fromisoformat(day))
        raise AssertionError(f"the schedule has a command of another kind: {command.words}")

    def read(self) -> DemoRead:
        """Return what the book says once the schedule was run."""
        with self.access.opened("demo") as book:
            why = overrun(book, JOB, STATUS_DATE)
            result = performance(book, Asked(JOB, STATUS_DATE))
            counts = book.records("sheets/demo_counts")[0]
            statement = build(book, JOB, STATUS_DATE)
            recorded_at, choices = book.stamp().recorded_at, Choices(logo=logo_address(book))
            yard = book.setting("yard.name", "")
        return DemoRead(yard, counts, why, result, statement, recorded_at, choices)


@contextlib.contextmanager
def begun(path: Path, samples: Path) -> Iterator[Demonstration]:
    """Make the demo's book, and give it open for the commands of the schedule."""
    access = WriteAccess(path, ACTOR, BEGUN)
    new_book(access, rehearsal=True)
    with access.kept_open("demo") as opened:
        yield Demonstration(opened, samples)


def make_pages(read: DemoRead, folder: Path) -> tuple[Path, ...]:
    """Write the owner's statement into a folder, for paper and for the screen."""
    made = tuple(folder / f"variations.{ending}" for ending in ("pdf", "html"))
    for path in made:
        write(read.statement, path, recorded_at=read.recorded_at, choices=read.choices)
    return made
