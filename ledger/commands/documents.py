"""Documents issued, drafted, handed out again and listed; what was sent, and what was replied."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

from ledger.billing.claim_record import record_claim
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.commands.pages import PageAsked
from ledger.documents.invoice_facts import record_lines
from ledger.documents.issued import (
    ENDINGS,
    MEDIA_TYPES,
    Document,
    document_bytes,
    document_named,
    documents,
    last_day,
    last_issued_on,
    local_day,
)
from ledger.documents.issuing import About, Made, Slot, has_moved, slot, write_document
from ledger.documents.sendings import Sending, sendings
from ledger.domain.codes import code_of
from ledger.domain.documents import INVOICES
from ledger.errors import FairhoursError, Refused, Remedy, WrongUsage
from ledger.inputs.sending_entry import SendingEntered, enter_reply, enter_sending
from ledger.outcomes import Outcome
from ledger.reports.canonical import digest
from ledger.reports.owner.document_build import build_document
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.page_parts import logo_address, owner_language
from ledger.reports.rendering import RenderChoices, render, write
from ledger.store.batches import Batch
from ledger.store.book import Book, Stamp
from ledger.store.out_files import write_out

# How often a page is made anew because the book was written meanwhile.
TRIES = 5
# What is kept when no copy is asked for.
USUAL_FILE = Path("document.pdf")
# What a document is kept as that is not data.
PAGES = (".pdf", ".html")


@dataclass(frozen=True)
class Issued(Outcome):
    """A document that was issued, where a copy was written if anywhere, and what followed."""

    document: Document
    out: Path | None
    finished: Finished


@dataclass(frozen=True)
class Drafted(Outcome):
    """A draft of a document that was written, known at a batch."""

    out: Path
    kind: str
    job: str
    change: str
    sequence: int


@dataclass(frozen=True)
class DocumentsKnown(Outcome):
    """The documents issued, known at a batch."""

    documents: tuple[Document, ...]
    stamp: Stamp


@dataclass(frozen=True)
class SendingsKnown(Outcome):
    """The register of what was sent, and how each stands on a day."""

    day: date
    sendings: tuple[Sending, ...]
    stamp: Stamp


@dataclass(frozen=True)
class SendingRecorded(Outcome):
    """A sending or a reply as it was recorded, and what followed."""

    entered: SendingEntered
    finished: Finished


@dataclass(frozen=True)
class _Rendered:
    """A document's page, made for a place that may be taken meanwhile."""

    place: Slot
    about: About
    view: Any
    made: Made
    prepared_by: str | None


def issue(
    access: WriteAccess, wanted: DocumentWanted, asked: PageAsked, *, copy: bool = True
) -> Issued:
    """Issue a document: its page with the next number is kept in the book, and copied if asked.

    The ending of the file asked for says what it is kept as.
    Raises: Refused when it cannot be made, or the book is written again and again meanwhile.
    """
    wanted = _by_codes(wanted)
    if not wanted.file_kind:
        _refuse_ending(asked.out)
    command = f"issue {wanted.kind.replace('_', '-')}"
    for _ in range(TRIES):
        rendered = _rendered(access, command, wanted, asked)
        with access.writing(command) as (book, batch):
            if has_moved(batch, rendered.about, rendered.place, wanted.invoice.dated):
                continue
            by = rendered.prepared_by
            write_document(batch, rendered.about, rendered.place, rendered.made, by)
            _write_facts(batch, rendered)
            finished = finish(book, batch)
            document = document_named(book, rendered.place.name)
        out = asked.out if copy else None
        _hand_out(document, rendered.made.data, out)
        return Issued(document, out, finished)
    raise Refused("document_overtaken", tries=TRIES)


def _by_name(book: Book, wanted: DocumentWanted) -> DocumentWanted:
    """Return what is wanted with the name of who prepared it, where the book has it by a number."""
    names = {row["worker_id"]: row["name"] for row in book.current("worker_name")}
    return replace(wanted, prepared_by=names.get(wanted.prepared_by) or wanted.prepared_by)


def _by_codes(wanted: DocumentWanted) -> DocumentWanted:
    """Return what is wanted with its codes as they are kept; what is of a job has no change."""
    change = code_of(wanted.change) if wanted.change else ""
    return replace(wanted, job=code_of(wanted.job), change=change)


def _rendered(
    access: WriteAccess, command: str, wanted: DocumentWanted, page: PageAsked
) -> _Rendered:
    """Return a document's page with the number that comes next; the book is closed meanwhile."""
    with reading_from(access, command) as book:
        today = local_day(book, access.recorded_at or datetime.now(UTC))
        on = wanted.invoice.dated or today
        place = slot(book, wanted.about, on)
        wanted = replace(
            _by_name(book, wanted),
            number=place.name,
            on=on,
            today=today,
            last_on=_last(book, place, wanted.kind),
        )
        view, about = build_document(book, wanted, page.commands)
        choices = _choices(book, page, wanted.job)
    kind = wanted.file_kind or page.out.suffix.lower().removeprefix(".")
    instant = place.stamp.recorded_at
    data = render(view, kind, recorded_at=instant, choices=choices, progress=access.progress)
    media_type = MEDIA_TYPES[page.out.suffix.lower().removeprefix(".")]
    made = Made(digest(view), data, media_type)
    return _Rendered(place, about, view, made, wanted.prepared_by or None)


def _last(book: Book, place: Slot, kind: str) -> date | None:
    """Return the day of the last invoice of a series; other documents are dated when issued."""
    return last_issued_on(book, place.series) if kind in INVOICES else None


def _write_facts(batch: Batch, issued: _Rendered) -> None:
    """Add what a document states besides its bytes: its lines, and of a claim its time."""
    if issued.about.kind == "claim":
        view = issued.view
        record_claim(batch, issued.about.job, issued.place.name, view.day_to, view.lines)
    elif issued.about.kind in INVOICES:
        record_lines(batch, issued.place.name, issued.view.lines)


@contextmanager
def reading_from(access: WriteAccess, command: str) -> Iterator[Book]:
    """Give the book to read from: as it is kept open, else opened for reading alone."""
    if access.book:
        with access.opened(command) as book:
            yield book
        return
    reading = ReadAccess(access.path, wait=access.wait, progress=access.progress)
    with reading.reading() as book:
        yield book


def _choices(book: Book, page: PageAsked, job: str) -> RenderChoices:
    usual, logo = book.setting("yard.paper", "A4"), logo_address(book)
    language = owner_language(book, job)
    return RenderChoices(
        page.paper, usual, page.templates, page.pdf_variant, logo, page.commands, language
    )


def _refuse_ending(out: Path) -> None:
    """Raises: WrongUsage for a file that no page is kept as."""
    if out.suffix.lower() not in PAGES:
        raise WrongUsage("document_ending_unknown", file=out, endings=PAGES)


def _hand_out(document: Document, data: bytes, out: Path | None) -> None:
    """Write a copy. Raises: Refused when it cannot be written, though the document stands."""
    if out is None:
        return
    try:
        write_out(out, data)
    except FairhoursError as error:
        remedy = Remedy("show_document", document=document.document)
        raise Refused(
            "document_not_written", document=document.document, because=error, remedy=remedy
        ) from error


def draft(
    access: ReadAccess,
    wanted: DocumentWanted,
    asked: PageAsked,
    recorded_at: datetime | None = None,
) -> Drafted:
    """Write the page that a document would have, headed as a draft, without a number.

    Its day is today; of a rehearsal, or at an earlier moment, that of the last batch that counts.
    """
    wanted = _by_codes(wanted)
    with access.reading() as book:
        is_past = recorded_at is None and (book.rehearsal or access.known_at is not None)
        on = last_day(book) if is_past else local_day(book, recorded_at or datetime.now(UTC))
        wanted = replace(_by_name(book, wanted), on=wanted.invoice.dated or on)
        view, _ = build_document(book, wanted, asked.commands)
        choices, stamp = _choices(book, asked, wanted.job), book.stamp()
    write(
        view,
        asked.out,
        recorded_at=stamp.recorded_at,
        choices=choices,
        progress=access.progress,
    )
    return Drafted(asked.out, wanted.kind, wanted.job, wanted.change, stamp.sequence)


def save_document(access: ReadAccess, named: str, out: Path) -> int:
    """Write a document's bytes as they were issued; return how many.

    Raises: Refused when there is none of that number, or it was erased; WrongUsage for the ending
    of another kind of file.
    """
    with access.reading() as book:
        document = document_named(book, named)
        data = document_bytes(book, document)
    ending = ENDINGS[document.media_type or ""]
    if out.suffix.lower() != ending:
        raise WrongUsage("document_of_other_ending", document=document.document, ending=ending)
    write_out(out, data)
    return len(data)


def known_documents(access: ReadAccess, job: str | None = None) -> DocumentsKnown:
    """Return the documents issued, of one job if one is named."""
    with access.reading() as book:
        wanted = code_of(job) if job else None
        listed = tuple(each for each in documents(book) if wanted in {None, each.job})
        return DocumentsKnown(listed, book.stamp())


def known_document(access: ReadAccess, named: str) -> DocumentsKnown:
    """Return one document. Raises: Refused when there is none of that number."""
    with access.reading() as book:
        return DocumentsKnown((document_named(book, named),), book.stamp())


def known_sendings(access: ReadAccess, job: str | None, status_date: date | None) -> SendingsKnown:
    """Return the register of what was sent by a day, of one job if one is named.

    Left out, the day is that of the last batch that counts.
    """
    with access.reading() as book:
        wanted, day = code_of(job) if job else None, status_date or last_day(book)
        sent = tuple(
            each for each in sendings(book) if wanted in {None, each.job} and each.sent_on <= day
        )
        return SendingsKnown(day, sent, book.stamp())


def record_sending(access: WriteAccess, named: str, facts: Mapping[str, str]) -> SendingRecorded:
    """Record that a document was sent.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("record sending") as (book, batch):
        return SendingRecorded(enter_sending(book, batch, named, facts), finish(book, batch))


def record_reply(
    access: WriteAccess, named: str, facts: Mapping[str, str], attach: Path | None
) -> SendingRecorded:
    """Record what was replied to a document that was sent.

    Raises: Refused and Faults, and then nothing is written.
    """
    with access.writing("record reply") as (book, batch):
        return SendingRecorded(enter_reply(book, batch, named, facts, attach), finish(book, batch))
