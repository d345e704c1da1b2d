"""What was sent and what was replied, entered one by one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from ledger.changes.requests import changes_of
from ledger.documents.issued import Document, document_named, local_day, reply_days
from ledger.documents.sendings import WAYS, Sending, next_sending, sendings
from ledger.domain import parsing as p
from ledger.errors import Refused, Remedy
from ledger.inputs.files import keep_file
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.small_tables import FileColumn, choice, typed_table

SENDINGS = (
    FileColumn("to", p.parse_person, needed=True, stored_as="sent_to"),
    FileColumn("date", p.parse_date, stored_as="sent_on"),
    FileColumn("by", choice(*WAYS), needed=True, stored_as="sent_by"),
    FileColumn("reply_by", p.parse_date, stored_as="reply_due"),
    FileColumn("note"),
)
REPLIES = (
    FileColumn("person", p.parse_person, needed=True, stored_as="replied_by"),
    FileColumn("date", p.parse_date, stored_as="replied_on"),
    FileColumn("answer"),
    FileColumn("sending", p.parse_whole, stored_as="number"),
)
DECISION = "decision_request"
OF_A_REPLY = ("replied_on", "replied_by", "answer", "attached_batch", "attached_row")
STORED = (
    *("document", "number", "sent_to", "sent_on", "sent_by", "reply_due", "note"),
    *OF_A_REPLY,
)
Facts = Mapping[str, str]


@dataclass(frozen=True)
class SendingEntered(Outcome):
    """A sending as it now stands; `attached` is the name of the reply's file, if it has one.

    `replaced` says that a reply was recorded before, and is superseded.
    """

    sending: Sending
    attached: str | None = None
    replaced: bool = False


def enter_sending(book: Book, batch: Batch, named: str, facts: Facts) -> SendingEntered:
    """Record that a document was sent; the reply is due as typed, else as the contract says.

    Raises: Refused when there is no such document, or it was sent before it was issued.
    """
    document = document_named(book, named)
    row = _typed(facts, SENDINGS)
    row["sent_on"] = row["sent_on"] or local_day(book, batch.recorded_at)
    if row["sent_on"] < document.issued_on:
        raise Refused(
            "sent_before_issue",
            document=document.document,
            sent_on=row["sent_on"],
            issued_on=document.issued_on,
        )
    row["reply_due"] = row["reply_due"] or _reply_due(book, document, row["sent_on"])
    if row["reply_due"] and row["reply_due"] < row["sent_on"]:
        raise Refused(
            "reply_due_before",
            document=document.document,
            reply_by=row["reply_due"],
            sent_on=row["sent_on"],
        )
    number = next_sending(book, document.document)
    empty = dict.fromkeys(OF_A_REPLY)
    batch.append_row("sending", {**row, **empty, "document": document.document, "number": number})
    return SendingEntered(_sending(book, document.document, number))


def _typed(facts: Facts, columns: Sequence[FileColumn]) -> dict[str, Any]:
    return dict(typed_table([facts], columns).lines[0].values)


def _reply_due(book: Book, document: Document, sent_on: date) -> date | None:
    """Return the day that a request for a decision names, else that which the contract sets.

    A request that names none is due on the day of its change.
    """
    if document.due_on and document.kind == DECISION and document.due_on >= sent_on:
        return document.due_on
    days = reply_days(book, document.kind, document.job)
    if days is not None:
        return sent_on + timedelta(days=days)
    if document.kind != DECISION or document.change is None:
        return None
    change = changes_of(book, document.job).get(document.change)
    needed: date | None = change.facts["decision_needed_by"] if change else None
    return needed if needed and needed >= sent_on else None


def enter_reply(
    book: Book, batch: Batch, named: str, facts: Facts, attach: Path | None
) -> SendingEntered:
    """Record a reply to a document, to its last sending that has none if none is named.

    Raises: Refused when it was never sent, or the reply is older than the sending.
    """
    document = document_named(book, named)
    row = _typed(facts, REPLIES)
    sent = _answered(book, document.document, row.pop("number"))
    row["replied_on"] = row["replied_on"] or local_day(book, batch.recorded_at)
    if row["replied_on"] < sent.sent_on:
        raise Refused(
            "reply_before_sending",
            document=document.document,
            replied_on=row["replied_on"],
            sent_on=sent.sent_on,
        )
    row |= _attached(batch, document, row["replied_on"], attach)
    known = vars(sent)
    batch.append_row("sending", {name: row.get(name, known[name]) for name in STORED})
    entered = _sending(book, document.document, sent.number)
    name = attach.name if attach else None
    return SendingEntered(entered, name, replaced=sent.replied_on is not None)


def _answered(book: Book, document: str, number: int | None) -> Sending:
    """Return the sending that is answered."""
    own = [each for each in sendings(book) if each.document == document]
    if number is not None:
        own = [each for each in own if each.number == number]
    if not own:
        first = Remedy("record_sending", document=document)
        raise Refused("never_sent", document=document, remedy=first)
    waiting = [each for each in own if each.replied_on is None]
    return (waiting or own)[-1]


def _attached(batch: Batch, document: Document, day: date, attach: Path | None) -> dict[str, int]:
    """Keep the file of a reply, attached to the change of the document; return where."""
    if attach is None:
        return {}
    row = {"job": document.job, "change": document.change, "event": "reply", "day": day}
    digest = keep_file(batch, attach)
    batch.append_row("attachment", {**row, "revision": None, "name": attach.name, "sha256": digest})
    return {"attached_batch": batch.sequence, "attached_row": batch.last_row("attachment")}


def _sending(book: Book, document: str, number: int) -> Sending:
    matching = [e for e in sendings(book) if (e.document, e.number) == (document, number)]
    return matching[0]
