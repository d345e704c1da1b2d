"""Pages: the owner's statement, the booking codes for the wall, the sheets of a week.

What builds a page is imported by the function that makes it: a command makes one, and to import
all takes as long as to read a book.
"""

import shlex
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused
from ledger.language import ENGLISH
from ledger.outcomes import Outcome
from ledger.reports.commands_named import NONE, Commands
from ledger.reports.foremen.week_sheets import ALL
from ledger.reports.identity import StampShown
from ledger.reports.page_parts import logo_address, owner_language
from ledger.reports.rendering import RenderChoices, render, write
from ledger.store.book import Book, Stamp
from ledger.store.out_files import write_out

if TYPE_CHECKING:
    from ledger.reports.yard.performance_build import Words
    from ledger.reports.yard.week import WeekShown


@dataclass(frozen=True)
class PageAsked:
    """The file to make, and how: paper, a folder of own templates, the standard of a PDF.

    `commands` are the words of those that it names.
    """

    out: Path
    paper: str = ""
    templates: Path | None = None
    pdf_variant: str = ""
    commands: Commands = NONE


@dataclass(frozen=True)
class SheetsAsked:
    """The sheets to make: any day of the week, one job or all that go on, one worker or all."""

    day: date
    job: str = ""
    worker: str = ALL


@dataclass(frozen=True)
class PageMade(Outcome):
    """A page of a job on a day, known at a batch, and the end of its period if closed."""

    out: Path
    job: str
    status_date: date
    sequence: int
    closed_to: date | None = None


@dataclass(frozen=True)
class SheetsMade(Outcome):
    """Sheets to fill in, from the first day of their week, known at a batch."""

    out: Path
    count: int
    first_day: date
    sequence: int


@dataclass(frozen=True)
class Since:
    """The statement to compare with: its status date, and its stamp; else as recorded now."""

    status_date: date
    known_at: str | None = None


def variations(
    access: ReadAccess,
    job: str,
    status_date: date | None,
    asked: PageAsked,
    since: Since | None = None,
) -> PageMade:
    """Make the owner's statement of variations and open requests."""
    return statement_ready(access, job, status_date, asked, since).written()


def statement_ready(
    access: ReadAccess,
    job: str,
    status_date: date | None,
    asked: PageAsked,
    since: Since | None = None,
) -> "Ready":
    """Return the owner's statement ready to be put out."""
    from ledger.performance.status_dates import status_date_of
    from ledger.reports.owner.build import LastStatement, build

    code, day, closed_to = code_of(job), status_date, None
    with access.reading() as book:
        if book.rows("owner/job", job=code):
            day = status_date_of(book, code, day)
            closed_to = access.as_closed(book, code, day)
        last = LastStatement(since.status_date, _batch_of(book, since)) if since else None
        view = build(book, code, day, asked.commands, last)
        page = _Page(book, asked, owner_language(book, code))
    return Ready(view, view.job.code, view.status_date, page, closed_to)


def job_page(access: ReadAccess, job: str, status_date: date | None, asked: PageAsked) -> PageMade:
    """Make the page of a job for its owner."""
    return job_ready(access, job, status_date, asked).written()


def job_ready(access: ReadAccess, job: str, status_date: date | None, asked: PageAsked) -> "Ready":
    """Return the page of a job for its owner, ready to be put out."""
    from ledger.performance.status_dates import status_date_of
    from ledger.reports.owner.job_build import build_job

    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        view = build_job(book, code, day, asked.commands)
        return Ready(view, code, day, _Page(book, asked, owner_language(book, code)), closed_to)


def _batch_of(book: Book, since: Since) -> int:
    """Return the batch that the last statement was known at, not after that of this one."""
    if since.known_at is None:
        return book.upto
    sequence = book.known_by(book.upto).resolve(since.known_at)
    if sequence > book.upto:
        raise Refused("last_stamp_later", last=sequence, now=book.upto)
    return sequence


def overrun(
    access: ReadAccess,
    job: str,
    status_date: date | None,
    asked: PageAsked,
    last_date: date | None = None,
) -> PageMade:
    """Make the yard's report of why the hours of a job changed."""
    return overrun_ready(access, job, status_date, asked, last_date).written()


def overrun_ready(
    access: ReadAccess,
    job: str,
    status_date: date | None,
    asked: PageAsked,
    last_date: date | None = None,
) -> "Ready":
    """Return the yard's report of why the hours changed, ready to be put out."""
    from ledger.performance.status_dates import status_date_of
    from ledger.reports.yard.overrun_build import build_overrun

    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        view = build_overrun(book, code, day, last_date, asked.commands)
        return Ready(view, view.job, view.status_date, _Page(book, asked), closed_to)


@dataclass(frozen=True)
class WeekKnown(Outcome):
    """A week of one job or of all, and the end of its period if closed."""

    week: "WeekShown"
    stamp: Stamp
    closed_to: date | None


def week(access: ReadAccess, job: str | None, day: date | None, commands: Commands) -> WeekKnown:
    """Return a week of a job, or of all of them.

    Raises: Refused when there is no such job, or no day to be told.
    """
    with access.reading() as book:
        built, closed_to = _week(access, book, job, day, commands)
        return WeekKnown(built, book.stamp(), closed_to)


def week_page(access: ReadAccess, job: str | None, day: date | None, asked: PageAsked) -> PageMade:
    """Make the page of a week, of a job or of all of them."""
    with access.reading() as book:
        view, closed_to = _week(access, book, job, day, asked.commands)
        page = _Page(book, asked)
    page.write(view)
    codes = ", ".join(each.job for each in view.jobs)
    return PageMade(asked.out, codes, view.last, view.known_at.sequence, closed_to)


def overview(access: ReadAccess, day: date | None, asked: PageAsked) -> PageMade:
    """Make the page of all jobs as they stand at the end of the week of a day."""
    from ledger.reports.yard.overview_build import build_overview
    from ledger.reports.yard.week_build import last_day_of

    with access.reading() as book:
        last = last_day_of(book, None, day)
        closed_to = access.as_closed(book, None, last)
        view = build_overview(book, last, asked.commands)
        page = _Page(book, asked)
    page.write(view)
    codes = ", ".join(each.job for each in view.jobs)
    return PageMade(asked.out, codes, view.last, view.known_at.sequence, closed_to)


def _week(
    access: ReadAccess, book: Book, job: str | None, day: date | None, commands: Commands
) -> "tuple[WeekShown, date | None]":
    from ledger.reports.yard.week_build import build_week, last_day_of

    code = code_of(job) if job else None
    last = last_day_of(book, code, day)
    closed_to = access.as_closed(book, code, last)
    return build_week(book, last, code, commands), closed_to


def codes(access: ReadAccess, job: str, status_date: date | None, asked: PageAsked) -> PageMade:
    """Make the list of a job's booking codes for the wall."""
    from ledger.reports.foremen.code_list_build import build_codes

    with access.reading() as book:
        view = build_codes(book, code_of(job), status_date, asked.commands)
        page = _Page(book, asked)
    page.write(view)
    return PageMade(asked.out, view.job, view.status_date, view.known_at.sequence)


def performance(
    access: ReadAccess, job: str, status_date: date | None, asked: PageAsked, words: "Words"
) -> PageMade:
    """Make the report of a job's labour performance; `words` says why figures are as they are."""
    return performance_ready(access, job, status_date, asked, words).written()


def performance_ready(
    access: ReadAccess, job: str, status_date: date | None, asked: PageAsked, words: "Words"
) -> "Ready":
    """Return the report of a job's labour performance, ready to be put out."""
    from ledger.performance.status_dates import status_date_of
    from ledger.reports.yard.performance_build import ReportAsked, build_performance

    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_read(book, code, day)
        wanted = ReportAsked(code, day, closed_to)
        view = build_performance(book, wanted, words, asked.commands)
        return Ready(view, view.job, view.status_date, _Page(book, asked), closed_to)


def progress_form(
    access: ReadAccess, job: str, status_date: date | None, asked: PageAsked
) -> PageMade:
    """Make the form on which a job's progress is measured."""
    from ledger.reports.foremen.progress_form_build import build_progress_form

    with access.reading() as book:
        view = build_progress_form(book, code_of(job), status_date, asked.commands)
        page = _Page(book, asked)
    page.write(view)
    return PageMade(asked.out, view.job, view.status_date, view.known_at.sequence)


def sheets(access: ReadAccess, wanted: SheetsAsked, asked: PageAsked) -> SheetsMade:
    """Make the sheets of a week to be filled in, one for each worker."""
    from ledger.reports.foremen.week_sheets_build import build_sheets

    worker = ALL if word_of(wanted.worker) == ALL else code_of(wanted.worker)
    with access.reading() as book:
        view = build_sheets(book, wanted.day, code_of(wanted.job), worker, asked.commands)
        page = _Page(book, asked)
    page.write(view)
    return SheetsMade(asked.out, len(view.sheets), view.days[0].day, view.known_at.sequence)


def account(access: ReadAccess, job: str, to: date | None, asked: PageAsked) -> PageMade:
    """Make the statement of account of a job by a day; left out, by that of `money_day`."""
    return account_ready(access, job, to, asked).written()


def account_ready(access: ReadAccess, job: str, to: date | None, asked: PageAsked) -> "Ready":
    """Return the statement of account of a job, ready to be put out."""
    from ledger.billing.days import money_day
    from ledger.reports.yard.account_build import build_account

    code = code_of(job)
    with access.reading() as book:
        day = money_day(book, code, to)
        closed_to = access.as_closed(book, code, day)
        view = build_account(book, code, day, asked.commands)
        return Ready(view, code, day, _Page(book, asked), closed_to)


def reconciliation(access: ReadAccess, start: date, end: date, asked: PageAsked) -> PageMade:
    """Make the accountant's report of hours paid and booked, of periods that end in some days."""
    return reconciliation_ready(access, start, end, asked).written()


def reconciliation_ready(access: ReadAccess, start: date, end: date, asked: PageAsked) -> "Ready":
    """Return the report of hours paid and booked, ready to be put out.

    Raises: Refused when the last day is before the first.
    """
    from ledger.reports.yard.reconciliation_build import DaysAsked, build_reconciliation

    with access.reading() as book:
        closed_to = access.as_read(book, None, end)
        days = DaysAsked(start, end, closed_to)
        view = build_reconciliation(book, days, asked.commands)
        return Ready(view, "", end, _Page(book, asked), closed_to)


@dataclass(frozen=True)
class BackupMade(Outcome):
    """The hours behind a claim that were written: of which claim, how many lines, known at."""

    out: Path
    document: str
    lines: int
    sequence: int


def daywork(access: ReadAccess, job: str, claim: str, asked: PageAsked) -> BackupMade:
    """Make the appendix of a claim with the hours behind its daywork.

    Raises: Refused when there is no such job or claim, or it has no daywork by hours.
    """
    from ledger.reports.evidence.daywork_backup_build import daywork_backup
    from ledger.reports.evidence.daywork_backup_csv import backup_csv

    code = code_of(job)
    with access.reading() as book:
        view = daywork_backup(book, code, claim, asked.commands)
        page = _Page(book, asked, owner_language(book, code))
    if asked.out.suffix.lower() == ".csv":
        write_out(asked.out, backup_csv(view))
    else:
        page.write(view)
    return BackupMade(asked.out, view.document, len(view.lines), view.known_at.sequence)


class _Page:
    """What a page needs of the book, read while it is open; it is written once it is closed."""

    def __init__(self, book: Book, asked: PageAsked, language: str = ENGLISH) -> None:
        usual_paper, logo = book.setting("yard.paper", "A4"), logo_address(book)
        self.out, self.recorded_at = asked.out, book.stamp().recorded_at
        self.progress = book.progress
        self.choices = RenderChoices(
            asked.paper,
            usual_paper,
            asked.templates,
            asked.pdf_variant,
            logo,
            asked.commands,
            language,
        )

    def write(self, view: object) -> None:
        write(
            view,
            self.out,
            recorded_at=self.recorded_at,
            choices=self.choices,
            progress=self.progress,
        )


@dataclass(frozen=True)
class Ready:
    """A page of a job on a day that is made and not put out yet: the book may be closed."""

    view: Any
    job: str
    day: date
    page: _Page
    closed_to: date | None

    @property
    def stamp(self) -> StampShown:
        stamp: StampShown = self.view.known_at
        return stamp

    def remade_by(self, kind: str) -> str:
        """Return the command that makes the page as a kind, with the options it was made with."""
        choices = self._choices(kind)
        made = f"{self.view.remade_by.rpartition('.')[0]}.{kind}"
        return " ".join([made, *map(shlex.quote, choices.options(str(choices.templates or "")))])

    def rendered(self, kind: str) -> bytes:
        """Return the page as bytes of a kind; nobody is told how far it is."""
        recorded_at = self.page.recorded_at
        return render(self.view, kind, recorded_at=recorded_at, choices=self._choices(kind))

    def _choices(self, kind: str) -> RenderChoices:
        choices = self.page.choices
        return choices if kind == "pdf" else replace(choices, pdf_variant="", templates=None)

    def written(self) -> PageMade:
        """Write the page to its file."""
        self.page.write(self.view)
        out, sequence = self.page.out, self.stamp.sequence
        return PageMade(out, self.job, self.day, sequence, self.closed_to)
