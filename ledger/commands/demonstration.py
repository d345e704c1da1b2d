"""The demo: a yard's 42 weeks of files, loaded as they came in, and what can then be asked."""

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.book import new_book
from ledger.commands.loads import FilesLoaded, JobFrozen, freeze, load_files
from ledger.commands.sheets import SheetLoadAsked, SheetsLoad, load_sheets
from ledger.outcomes import Outcome
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import Asked, Performance, performance
from ledger.reports.commands_named import Commands
from ledger.reports.owner.build import build
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.page_parts import logo_address, owner_language
from ledger.reports.rendering import Choices, write

ACTOR = "ofarr"
JOB, STATUS_DATE = "FERRY", date(2026, 11, 1)
BEGUN = datetime(2026, 1, 5, 9, tzinfo=UTC)
Ran = FilesLoaded | SheetsLoad | JobFrozen


@dataclass(frozen=True)
class Step:
    """A load or a freeze of the schedule: when it was recorded, its kind, its job, file and day."""

    at: datetime
    kind: str
    job: str | None = None
    file: str = ""
    on: date | None = None


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


class Demonstration:
    """The demo's book, kept open for all steps of the schedule."""

    def __init__(self, access: WriteAccess, samples: Path) -> None:
        self.access, self.samples = access, samples

    def run(self, step: Step) -> Ran:
        """Load the file of a step, or freeze its job."""
        access = replace(self.access, recorded_at=step.at)
        if step.job and step.on:
            return freeze(access, step.job, step.on)
        files = [self.samples / step.file]
        if step.kind == "sheets":
            return load_sheets(access, SheetLoadAsked(files))
        return load_files(access, step.kind, files, job=step.job)

    def read(self, commands: Commands) -> DemoRead:
        """Return what the book says once the schedule was run; pages name these commands."""
        with self.access.opened("demo") as book:
            why = overrun(book, JOB, STATUS_DATE)
            result = performance(book, Asked(JOB, STATUS_DATE))
            counts = book.records("sheets/demo_counts")[0]
            statement = build(book, JOB, STATUS_DATE, commands)
            recorded_at = book.stamp().recorded_at
            language = owner_language(book, JOB)
            choices = Choices(logo=logo_address(book), commands=commands, language=language)
            yard = book.setting("yard.name", "")
        return DemoRead(yard, counts, why, result, statement, recorded_at, choices)


@contextlib.contextmanager
def begun(path: Path, samples: Path) -> Iterator[Demonstration]:
    """Make the demo's book, and give it open for the steps of the schedule."""
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
