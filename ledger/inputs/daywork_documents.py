"""A daywork sheet against the document it was signed on: it covers what stood there as issued."""

from collections.abc import Iterator

from ledger.documents.issued import Document, document_if_any
from ledger.domain.daywork import AGREED
from ledger.errors import Remedy
from ledger.store.book import Book
from ledger.tables.small_tables import Line, ReadTable


def check_document(book: Book, table: ReadTable, line: Line, job: str) -> None:
    """Note what is wrong with the document that a row names, and keep its number as printed."""
    if line["document"] is None:
        return
    found = document_if_any(book, line["document"])
    if found is None or found.kind != "daywork_sheet" or found.job != job:
        what = f'document "{line["document"]}" is not a daywork sheet issued for {job}'
        table.fault(line.number, what, "document", remedy=Remedy("documents_listed"))
        return
    for what in _disagreements(found, line):
        table.fault(line.number, what, "document")
    line.values["document"] = found.document


def _disagreements(found: Document, line: Line) -> Iterator[str]:
    named, (start, end) = found.document, (line["day_from"], line["day_to"])
    if line["change"] and line["change"] != found.change:
        yield f"{named} is of {found.change}, not of {line['change']}"
    if start and end and (start, end) != (found.day_from, found.day_to):
        yield f"{named} is of {found.day_from} to {found.day_to}; give these days as from and to"
    if line["mark"] == AGREED and found.mark not in {None, AGREED}:
        yield f"{named} was issued for record only; issue another for agreement"
    if line["agreed_on"] and line["agreed_on"] < found.issued_on:
        yield f"agreed_on {line['agreed_on']} is before {named} was issued, {found.issued_on}"
