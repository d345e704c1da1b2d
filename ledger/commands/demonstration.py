"""The demo: a yard's 42 weeks of files and bills, as they came, and what can then be asked."""

import contextlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path

from ledger.commands import documents
from ledger.commands.access import WriteAccess
from ledger.commands.book import new_book
from ledger.commands.documents import Issued
from ledger.commands.loads import FilesLoaded, JobFrozen, UnderChange, freeze, load_files
from ledger.commands.pages import PageAsked
from ledger.commands.sheets import SheetLoadAsked, SheetsLoad, load_sheets
from ledger.outcomes import Outcome
from ledger.performance.overrun import Overrun, overrun
from ledger.performance.report import Performance, PerformanceAsked, performance
from ledger.reports.commands_named import Commands
from ledger.reports.owner.build import build
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.owner.invoice_terms import NOTHING_ASKED, InvoiceAsked
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.page_parts import logo_address, owner_language
from ledger.reports.rendering import RenderChoices, write

ACTOR = "ofarr"
# By whom its papers are prepared: the name behind those initials.
CLERK = "Ottoline Farr"
JOB, STATUS_DATE = "FERRY", date(2026, 11, 1)
BEGUN = datetime(2026, 1, 5, 9, tzinfo=UTC)
# The documents that the schedule issues.
ISSUED = ("claim", "invoice")
Ran = FilesLoaded | SheetsLoad | JobFrozen | Issued


@dataclass(frozen=True)
class Step:
    """A step of the schedule: when it was recorded, its kind, its job, file and day.

    Its kind is that of the file to load, `freeze`, or that of the document to issue; `claim` is the
    number of the claim that an invoice bills, `under` the baseline change that a file replans by.
    """

    at: datetime
    kind: str
    job: str | None = None
    file: str = ""
    on: date | None = None
    claim: int | None = None
    under: str = ""


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
    choices: RenderChoices


class Demonstration:
    """The demo's book, kept open for all steps of the schedule."""

    def __init__(self, access: WriteAccess, samples: Path, commands: Commands) -> None:
        self.access, self.samples, self.commands = access, samples, commands

    def run(self, step: Step) -> Ran:
        """Load the file of a step, freeze its job, or issue its claim or invoice."""
        access = replace(self.access, recorded_at=step.at)
        if step.kind in ISSUED:
            return self._issue(access, step)
        if step.job and step.on:
            return freeze(access, step.job, step.on)
        files = [self.samples / step.file]
        if step.kind == "sheets":
            return load_sheets(access, SheetLoadAsked(files))
        job = UnderChange(step.job, step.under) if step.under else step.job
        return load_files(access, step.kind, files, job=job)

    def _issue(self, access: WriteAccess, step: Step) -> Issued:
        """Issue a claim to a day, or the invoice of one dated so; it is kept in the book alone."""
        to, asked = (step.on, NOTHING_ASKED) if step.kind == "claim" else (None, _billing(step))
        wanted = DocumentWanted(
            step.kind, step.job or "", prepared_by=CLERK, day_to=to, invoice=asked
        )
        page = PageAsked(documents.USUAL_FILE, commands=self.commands)
        return documents.issue(access, wanted, page, copy=False)

    def read(self) -> DemoRead:
        """Return what the book says once the schedule was run."""
        with self.access.opened("demo") as book:
            why = overrun(book, JOB, STATUS_DATE)
            result = performance(book, PerformanceAsked(JOB, STATUS_DATE))
            counts = book.records("sheets/demo_counts")[0]
            statement = build(book, JOB, STATUS_DATE, self.commands)
            recorded_at = book.stamp().recorded_at
            language = owner_language(book, JOB)
            choices = RenderChoices(
                logo=logo_address(book), commands=self.commands, language=language
            )
            yard = book.setting("yard.name", "")
        return DemoRead(yard, counts, why, result, statement, recorded_at, choices)


def _billing(step: Step) -> InvoiceAsked:
    return InvoiceAsked(claim=step.claim, dated=step.on)


@contextlib.contextmanager
def begun(path: Path, samples: Path, commands: Commands) -> Iterator[Demonstration]:
    """Make the demo's book, and give it open for the steps; its pages name these commands."""
    access = WriteAccess(path, ACTOR, BEGUN)
    new_book(access, rehearsal=True)
    with access.kept_open("demo") as opened:
        yield Demonstration(opened, samples, commands)


def make_pages(read: DemoRead, folder: Path) -> tuple[Path, ...]:
    """Write the owner's statement into a folder, for paper and for the screen."""
    made = tuple(folder / f"variations.{ending}" for ending in ("pdf", "html"))
    for path in made:
        write(read.statement, path, recorded_at=read.recorded_at, choices=read.choices)
    return made
