"""What is known of one change: its life, prices as sent, documents, attachments and entries."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.changes.requests import Change, changes_of
from ledger.changes.standing import Standing, standings
from ledger.documents.issued import ENDINGS
from ledger.documents.sendings import sendings
from ledger.domain.contracts import TIME_CHARGE
from ledger.errors import Refused
from ledger.inputs.change_entry import change_unknown
from ledger.jobs.jobs import JobCard, currency_of, job_card
from ledger.reports.commands_named import NONE, Commands
from ledger.reports.evidence.asked import (
    HOURS,
    QUERIES,
    USUAL,
    EvidenceAsked,
    FileShown,
    KeptFile,
    salt_text,
    sealed_name,
)
from ledger.reports.evidence.measured_mile import MileShown, mile_shown
from ledger.reports.evidence.raw_lines import RawLine, raw_lines, whole_files
from ledger.reports.identity import StampShown, Yard, stamp_of, yard_of
from ledger.store.book import Book
from ledger.store.proving import Place, Proof, proof_of


@dataclass(frozen=True)
class LifeEvent:
    """An event of the change, its request among them, in words that the other side may read."""

    day: date
    event: str
    revision: int | None
    person: str
    reference: str
    days_asked: int | None
    days_granted: int | None
    aware_on: date | None
    received_on: date | None
    sealed_in: str


@dataclass(frozen=True)
class SentPrice:
    """A price that was sent or agreed: two places, None where it cannot be worked out."""

    revision: int
    state: str
    amount: Decimal | None


@dataclass(frozen=True)
class SentDocument:
    """That a document was sent, and whether it was replied to."""

    document: str
    sent_to: str
    sent_on: date
    sent_by: str
    reply_due: date | None
    replied_on: date | None


@dataclass(frozen=True)
class EvidencePages:
    """What the pages of a pack say; `entries` have a cell for each of `columns`, as text."""

    yard: Yard
    job: str
    job_title: str
    owner: str
    currency: str
    change: str
    title: str
    stamp: StampShown
    rehearsal: bool
    for_adjudicator: bool
    columns: tuple[str, ...]
    events: tuple[LifeEvent, ...]
    prices: tuple[SentPrice, ...]
    documents: tuple[FileShown, ...]
    sendings: tuple[SentDocument, ...]
    attachments: tuple[FileShown, ...]
    entries: tuple[tuple[str | None, ...], ...]
    entry_ms: tuple[int, ...]
    mile: MileShown | None
    remade_by: str


@dataclass(frozen=True)
class Evidence:
    """All that a pack is made from: its pages, its files, its entries, and what proves them."""

    pages: EvidencePages
    documents: tuple[KeptFile, ...]
    attachments: tuple[KeptFile, ...]
    sheets: tuple[KeptFile, ...]
    entries: tuple[dict[str, Any], ...]
    lines: tuple[RawLine, ...]
    proof: Proof


def evidence_of(book: Book, asked: EvidenceAsked, commands: Commands = NONE) -> Evidence:
    """Return what is known of a change. Raises: Refused when there is no such job or change."""
    card = job_card(book, asked.job)
    change = changes_of(book, asked.job).get(asked.change)
    if change is None:
        raise change_unknown(asked.job, asked.change)
    asked = replace(asked, columns=_columns(asked, change, card))
    of_change = {"job": asked.job, "change": asked.change}
    attached = [_attached(row) for row in book.records(f"{QUERIES}/attached", **of_change)]
    issued = [_issued(row) for row in book.records(f"{QUERIES}/issued", **of_change)]
    entries = tuple(book.records(f"{QUERIES}/entries", **of_change))
    pages = EvidencePages(
        yard=yard_of(book),
        job=asked.job,
        job_title=card.title,
        owner=card.owner,
        currency=_currency(book, asked.job),
        change=asked.change,
        title=change.facts["title"] or "",
        stamp=stamp_of(book),
        rehearsal=book.rehearsal,
        for_adjudicator=asked.for_adjudicator,
        columns=asked.columns,
        events=tuple(_events(book, **of_change)),
        prices=tuple(_prices(book, change, asked.job)),
        documents=tuple(each.file for each in issued),
        sendings=tuple(_sent(book, asked)),
        attachments=tuple(each.file for each in attached),
        entries=tuple(_cells(entry, asked.columns) for entry in entries),
        entry_ms=tuple(int(e["ms"]) for e in entries) if HOURS in asked.columns else (),
        mile=mile_shown(book, asked.job, asked.stretches) if asked.stretches else None,
        remade_by=commands.makes(asked.remade(book.upto)),
    )
    sheets = whole_files(book, asked) if asked.whole_files else ()
    lines = raw_lines(book, asked) if asked.for_adjudicator else ()
    files = (each.file.sealed_in for each in (*issued, *attached, *sheets))
    events = (each.sealed_in for each in pages.events)
    proof = proof_of(book, _sealed(book, asked, (*files, *events)))
    return Evidence(pages, tuple(issued), tuple(attached), sheets, entries, lines, proof)


def _columns(asked: EvidenceAsked, change: Change, card: JobCard) -> tuple[str, ...]:
    """Return the columns asked for, else the usual ones.

    On a fixed price the hours worked are the yard's own affair, unless the job shows them or they
    are for an adjudicator.
    """
    by_the_hour = change.facts["change_basis"] == "daywork" or card.contract_basis == TIME_CHARGE
    if asked.columns or asked.for_adjudicator or by_the_hour or card.owner_sees_overrun:
        return asked.columns or USUAL
    return tuple(name for name in USUAL if name != HOURS)


def _cells(entry: dict[str, Any], columns: Sequence[str]) -> tuple[str | None, ...]:
    row = {**entry, "hours": entry["ms"]}
    return tuple(None if row[name] is None else str(row[name]) for name in columns)


def _sent(book: Book, asked: EvidenceAsked) -> Iterable[SentDocument]:
    for each in sendings(book):
        if (each.job, each.change) == (asked.job, asked.change):
            yield SentDocument(
                each.document,
                each.sent_to,
                each.sent_on,
                each.sent_by,
                each.reply_due,
                each.replied_on,
            )


def _attached(row: dict[str, Any]) -> KeptFile:
    what = f"attached to {row['event'] or 'the request'}"
    kept = _kept(row, "attachment", row["name"] or "erased", what)
    return replace(kept, name=sealed_name(row))


def _issued(row: dict[str, Any]) -> KeptFile:
    ending = ENDINGS.get(row["media_type"] or "", "")
    return _kept(row, "document", f"{row['document']}{ending}", row["kind"])


def _kept(row: dict[str, Any], table: str, name: str, what: str) -> KeptFile:
    data = row["data"]
    place = f"{table}:{row['batch']}.{row['row']}"
    return KeptFile(
        FileShown(name, what.replace("_", " "), row["day"], row["sha256"], place),
        salt_text(row["salt"]),
        None if data is None else bytes(data),
    )


def _currency(book: Book, job: str) -> str:
    """Return the currency of the job's prices, as its statement and its orders have it."""
    return currency_of(book.records("owner/job", job=job)[0], dict(book.rows("owner/yard")))


def _events(book: Book, job: str, change: str) -> Iterable[LifeEvent]:
    """Yield what happened between the parties, from the request on."""
    for row in book.records(f"{QUERIES}/events", job=job, change=change):
        yield LifeEvent(
            day=row["day"],
            event=row["event"],
            revision=row["revision"],
            person=row["person"] or "",
            reference=row["reference"] or "",
            days_asked=row["days_requested"],
            days_granted=row["days_granted"],
            aware_on=row["aware_on"],
            received_on=row["received_on"],
            sealed_in=f"{row['table_name']}:{row['batch']}.{row['row']}",
        )


def _prices(book: Book, change: Change, job: str) -> Iterable[SentPrice]:
    """Yield the price of each revision that was sent or agreed."""
    # An order may have been given before the request for it was written down.
    last = max([change.facts["requested_on"], *(event.day for event in change.events)])
    standing = next(e for e in standings(book, job, last) if e.change.code == change.code)
    for revision, state in sorted(standing.state.prices.items()):
        if state not in {"priced", "requested"}:
            yield SentPrice(revision, state, _amount(standing, revision))


def _amount(standing: Standing, revision: int) -> Decimal | None:
    try:
        return standing.price_of(revision).net
    except Refused:
        return None


def _sealed(book: Book, asked: EvidenceAsked, named: Iterable[str]) -> dict[str, list[Place]]:
    """Return the sealed rows that a pack proves: those named, and of entries if asked for."""
    by_table: dict[str, list[Place]] = defaultdict(list)
    for each in named:
        table, _, place = each.partition(":")
        batch, _, row = place.partition(".")
        by_table[table].append((int(batch), int(row)))
    if asked.for_adjudicator:
        rows = book.rows(f"{QUERIES}/sealed_rows", job=asked.job, change=asked.change)
        for name, number, place_in_batch in rows:
            by_table[name].append((number, place_in_batch))
    return dict(by_table)
