"""A daywork sheet against the document it was signed on: it covers what stood there as issued."""

from collections.abc import Iterator

from ledger.documents.issued import Document, document_if_any
from ledger.domain.daywork import AGREED
from ledger.errors import Remedy
from ledger.store.book import Book
from ledger.tables.small_tables import FileRow, ReadTable


def check_document(book: Book, table: ReadTable, line: FileRow, job: str) -> None:
    """Note what is wrong with the document that a row names, and keep its number as printed."""
    if line["document"] is None:
        return
    document = document_if_any(book, line["document"])
    if document is None or document.kind != "daywork_sheet" or document.job != job:
        what = f'document "{line["document"]}" is not a daywork sheet issued for {job}'
        table.fault(line.number, what, "document", remedy=Remedy("documents_listed"))
        return
    for what in _disagreements(document, line):
        table.fault(line.number, what, "document")
    line.values["document"] = document.document


def _disagreements(document: Document, line: FileRow) -> Iterator[str]:
    named, days = document.document, (document.day_from, document.day_to)
    if line["change"] and line["change"] != document.change:
        yield f"{named} is of {document.change}, not of {line['change']}"
    own_days = (line["day_from"], line["day_to"])
    if all(own_days) and own_days != days:
        yield f"{named} is of {days[0]} to {days[1]}; give these days as from and to"
    if line["mark"] == AGREED and document.mark not in {None, AGREED}:
        yield f"{named} was issued for record only; issue another for agreement"
    if line["agreed_on"] and line["agreed_on"] < document.issued_on:
        yield f"agreed_on {line['agreed_on']} is before {named} was issued, {document.issued_on}"
