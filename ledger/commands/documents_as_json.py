"""Documents and the register of what was sent, as rows and for machines."""

from collections.abc import Sequence

from ledger.commands.as_json import Json, known_at
from ledger.commands.documents import DocumentsKnown, SendingsKnown

DOCUMENTS = (
    *("document", "kind", "job", "change", "revision", "issued_on", "prepared_by"),
    *(
        "day_from",
        "day_to",
        "mark",
        "claim",
        "credits",
        "due_on",
        "retain_until",
        "known_at",
        "bytes",
        "sha256",
        "id",
    ),
)
SENDINGS = (
    *("document", "sent_on", "sent_to", "sent_by", "reply_due", "standing", "replied_on"),
    *("replied_by", "answer", "attachment", "kind", "job", "change", "number", "note", "id"),
)


def document_rows(known: DocumentsKnown) -> list[Json]:
    """Return a row for each document."""
    rows = (vars(each) | {"bytes": each.byte_count} for each in known.documents)
    return [{name: row[name] for name in DOCUMENTS} for row in rows]


def sending_rows(known: SendingsKnown, *, is_open: bool) -> list[Json]:
    """Return a row for each sending; only those that wait, the first due first, if `is_open`."""
    rows = [vars(each) | {"standing": each.standing(known.day)} for each in known.sendings]
    if is_open:
        rows = [row for row in rows if row["standing"] in {"overdue", "waiting"}]
        rows.sort(key=lambda row: row["reply_due"])
    return [{name: row[name] for name in SENDINGS} for row in rows]


def documents_json(known: DocumentsKnown) -> Json:
    """Return the documents issued."""
    return {"documents": document_rows(known), "known_at": known_at(known.stamp)}


def sendings_json(known: SendingsKnown, rows: Sequence[Json]) -> Json:
    """Return rows of the register of what was sent, with the day that they stand on."""
    named = {"status_date": known.day, "sendings": list(rows)}
    return {**named, "known_at": known_at(known.stamp)}
