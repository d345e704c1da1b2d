"""Invoices and credit notes: documents, of which a credit note has the job of its invoice."""

from dataclasses import replace
from datetime import datetime

from ledger.commands import documents
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.documents import Drafted, Issued
from ledger.commands.pages import PageAsked
from ledger.documents.issued import document_named
from ledger.domain.documents import INVOICES
from ledger.errors import Refused
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.store.book import Book


def issue(
    access: WriteAccess, wanted: DocumentWanted, asked: PageAsked, *, copy: bool = True
) -> Issued:
    """Issue the invoice of a claim, or the credit note of a whole invoice.

    Raises: Refused when there is nothing to invoice, no such invoice, or anything is wrong with it.
    """
    if wanted.invoice.credits:
        with documents.reading_from(access, "credit invoice") as book:
            wanted = _of_its_job(book, wanted)
    return documents.issue(access, wanted, asked, copy=copy)


def draft(
    access: ReadAccess,
    wanted: DocumentWanted,
    asked: PageAsked,
    recorded_at: datetime | None = None,
) -> Drafted:
    """Write the page that an invoice or a credit note would have, headed as a draft."""
    if wanted.invoice.credits:
        with access.reading() as book:
            wanted = _of_its_job(book, wanted)
    return documents.draft(access, wanted, asked, recorded_at)


def _of_its_job(book: Book, wanted: DocumentWanted) -> DocumentWanted:
    """Return what is wanted with the job of the invoice credited, and its number as printed."""
    document = document_named(book, wanted.invoice.credits)
    if document.kind not in INVOICES:
        raise Refused("credit_of_no_invoice", document=document.document)
    credits = replace(wanted.invoice, credits=document.document)
    return replace(wanted, job=document.job, invoice=credits)
