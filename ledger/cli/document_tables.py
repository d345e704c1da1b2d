"""Documents and the register of what was sent, as they are shown."""

from typing import TYPE_CHECKING

from ledger.cli.output import give, give_rows, to_json

if TYPE_CHECKING:
    from ledger.commands.documents import DocumentsKnown, SendingsKnown


def give_documents(known: "DocumentsKnown", format: str) -> None:
    """Give documents in the format asked for."""
    from ledger.commands.documents_as_json import DOCUMENTS, document_rows, documents_json

    if format == "json":
        give(to_json(documents_json(known)))
    else:
        give_rows(format, DOCUMENTS, document_rows(known), ("kind", "mark"))


def give_sendings(known: "SendingsKnown", format: str, *, is_open: bool) -> None:
    """Give the register in the format asked for; only what waits for a reply, if `is_open`."""
    from ledger.commands.documents_as_json import SENDINGS, sending_rows, sendings_json

    rows = sending_rows(known, is_open=is_open)
    if format == "json":
        give(to_json(sendings_json(known, rows)))
        return
    give_rows(format, SENDINGS, rows, ("kind", "sent_by", "standing"))
