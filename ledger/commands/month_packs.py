"""The reports of a month of a job, made together from one reading of the book."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from ledger.commands.access import ReadAccess
from ledger.commands.entries import EntriesAsked
from ledger.commands.entries import entries as entries_listed
from ledger.commands.pages import (
    PageAsked,
    Ready,
    Since,
    account_ready,
    job_ready,
    overrun_ready,
    performance_ready,
    reconciliation_ready,
    statement_ready,
)
from ledger.commands.payroll import Reconciled, reconciliation
from ledger.documents.issued import ENDINGS, Document, document_bytes, document_named
from ledger.documents.issued_claims import claims_of
from ledger.domain.codes import code_of
from ledger.errors import Refused, WrongUsage
from ledger.outcomes import Outcome
from ledger.progress import Progress
from ledger.reports.month_pack import OWNER, YARD, MonthPack, PackedFile, zipped_month
from ledger.reports.packing import safe_name
from ledger.reports.yard.performance_build import Words
from ledger.store.out_files import write_out

ENDING = ".zip"
PAID = ("pdf", "xlsx")
ENTRIES, RECONCILIATION, DOCUMENT = "entries", "reconciliation", "document"


@dataclass(frozen=True)
class PackAsked:
    """The job and its days, and the statement that this one is compared with."""

    job: str
    last: date
    first: date | None = None
    since: Since | None = None

    @property
    def start(self) -> date:
        """The first day: that of the calendar month, where none is given."""
        return self.first or self.last.replace(day=1)


@dataclass(frozen=True)
class ListRemade:
    """What makes a list of a pack again; `document` is the number of one that was issued."""

    what: str
    job: str
    known_at: int
    first: date
    last: date
    document: str = ""
    ending: str = ""


@dataclass(frozen=True)
class Lists:
    """How lists are written by their commands as CSV, and the words of these commands."""

    entries: Callable[[list[dict[str, Any]]], str]
    reconciliation: Callable[[Reconciled], str]
    command: Callable[[ListRemade], str]
    reason: Words


@dataclass(frozen=True)
class PackMade(Outcome):
    """A pack that was written: its days, how many files, and its claim, if there is one."""

    out: Path
    job: str
    first: date
    last: date
    files: int
    claim: str | None
    sequence: int
    closed_to: date | None


def month_pack(access: ReadAccess, asked: PackAsked, page: PageAsked, lists: Lists) -> PackMade:
    """Write the reports of a month of a job as one ZIP, whole or not at all.

    Every file is that of the command it names. A folder takes the pack under the name of its job
    and day. The book is closed before pages are made.

    Raises: Refused as these commands do, or when the days are turned round; WrongUsage for another
    ending.
    """
    asked = replace(asked, job=code_of(asked.job))
    if asked.last < asked.start:
        raise Refused("days_turned", start=asked.start, end=asked.last)
    out = _out(page.out, asked)
    with access.kept_open() as kept:
        gathered = _gathered(kept, asked, page, lists)
    files = (*_rendered(gathered.pages, access.progress), *gathered.files)
    write_out(out, zipped_month(_pack(asked, gathered, files)))
    statement, days = gathered.statement, (asked.start, asked.last)
    return PackMade(
        out,
        asked.job,
        *days,
        len(files),
        gathered.claim,
        statement.stamp.sequence,
        gathered.closed_to,
    )


def _out(out: Path, asked: PackAsked) -> Path:
    if out.is_dir():
        return out / f"{safe_name(f'{asked.job}-{asked.last}')}{ENDING}"
    if out.suffix.lower() != ENDING:
        raise WrongUsage("report_ending_unknown", file=out, endings=(ENDING,))
    return out


@dataclass(frozen=True)
class _PageFile:
    """A page that lies in a folder under a name, whose ending says what it is made as."""

    folder: str
    name: str
    ready: Ready


@dataclass(frozen=True)
class _Gathered:
    """What is read of the book: pages to be made, files, the claim's number, what is closed."""

    pages: tuple[_PageFile, ...]
    files: tuple[PackedFile, ...]
    claim: str | None
    closed_to: date | None

    @property
    def statement(self) -> Ready:
        return self.pages[0].ready


def _gathered(kept: ReadAccess, asked: PackAsked, page: PageAsked, lists: Lists) -> _Gathered:
    """Return what is read: pages as they say that they are made again, at one batch.

    The claim alone is as known now, as a month is closed before it is claimed.
    """
    job, last, since = asked.job, asked.last, asked.since
    with kept.reading() as book:
        closed_to = kept.as_closed(book, job, last)
        access = kept.at(book.upto)
    statement = statement_ready(access, job, last, page, since)
    overrun = overrun_ready(access, job, last, page, since.status_date if since else None)
    performance = performance_ready(access, job, last, page, lists.reason)
    account = account_ready(access, job, last, page)
    for_owner = job_ready(access, job, last, page)
    claim = _claim(kept, asked)
    paid = _paid(access, asked, page)
    pages = (
        _PageFile(OWNER, "statement.pdf", statement),
        _PageFile(OWNER, "statement.xlsx", statement),
        _PageFile(OWNER, "job.html", for_owner),
        _PageFile(YARD, "overrun.pdf", overrun),
        _PageFile(YARD, "performance.pdf", performance),
        _PageFile(YARD, "performance.xlsx", performance),
        _PageFile(YARD, "account.pdf", account),
        *(_PageFile(YARD, f"reconciliation.{kind}", each) for each in paid for kind in PAID),
    )
    files = [*_lists(access, asked, lists, statement.stamp.sequence)]
    if claim:
        document, data = claim
        ending = ENDINGS[document.media_type or ""]
        name = f"{safe_name(document.document)}{ending}"
        asks = ListRemade(DOCUMENT, job, 0, asked.start, last, document.document, ending)
        files.append(PackedFile(OWNER, name, data, lists.command(asks)))
    return _Gathered(pages, tuple(files), claim[0].document if claim else None, closed_to)


def _paid(access: ReadAccess, asked: PackAsked, page: PageAsked) -> Iterator[Ready]:
    """Yield the report of hours paid and booked, if anything that was paid is in the book."""
    with access.reading() as book:
        is_paid = book.rows("payroll/first_paid_day")[0][0] is not None
    if is_paid:
        yield reconciliation_ready(access, asked.start, asked.last, page)


def _lists(
    access: ReadAccess, asked: PackAsked, lists: Lists, known_at: int
) -> Iterator[PackedFile]:
    """Yield the entries and the reconciliation of the days, known at the batch of the pages."""
    days = asked.start, asked.last
    of_days = EntriesAsked(job=asked.job, first_day=asked.start, last_day=asked.last)
    listed = lists.entries(entries_listed(access, of_days))
    paid = lists.reconciliation(reconciliation(access, *days, None))
    for what, text in ((ENTRIES, listed), (RECONCILIATION, paid)):
        remade_by = lists.command(ListRemade(what, asked.job, known_at, *days))
        yield PackedFile(YARD, f"{what}.csv", text.encode("utf-8"), remade_by)


def _claim(access: ReadAccess, asked: PackAsked) -> tuple[Document, bytes] | None:
    """Return the last claim issued to the day, as it was issued.

    Raises: Refused when it was erased since.
    """
    with access.reading() as book:
        issued = [each for each in claims_of(book, asked.job) if each.day == asked.last]
        if not issued:
            return None
        document = document_named(book, issued[-1].document)
        return document, document_bytes(book, document)


def _rendered(pages: Sequence[_PageFile], progress: Progress) -> Iterator[PackedFile]:
    for each in pages:
        progress.step(each.name, len(pages))
        kind = each.name.rpartition(".")[2]
        data = each.ready.rendered(kind)
        yield PackedFile(each.folder, each.name, data, each.ready.remade_by(kind))


def _pack(asked: PackAsked, gathered: _Gathered, files: tuple[PackedFile, ...]) -> MonthPack:
    statement = gathered.statement
    return MonthPack(
        job=asked.job,
        title=statement.view.job.title,
        last=asked.last,
        stamp=f"{statement.stamp.sequence}.{statement.stamp.head}",
        instant=statement.page.recorded_at,
        closed_to=gathered.closed_to,
        language=statement.page.choices.language,
        files=files,
    )
