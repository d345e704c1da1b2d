"""The page of an invoice of a job, and its file as data."""

from collections.abc import Iterator
from pathlib import Path
from typing import cast

from ledger.domain.invoices import Invoice
from ledger.language import _
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.invoices.documents import Kind, invoice_document
from ledger.reports.invoices.page import InvoiceAdditions, InvoicePage, invoice_page
from ledger.reports.owner.document_parts import DRAFT, proof_of
from ledger.reports.owner.invoice_view import AccountToDate, JobInvoice
from ledger.reports.tables import Column, Fact, Print, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout


def job_invoice_page(view: JobInvoice) -> InvoicePage:
    """Return an invoice ready to be shown; the digest is that of the view as it was given."""
    job_invoice = cast("JobInvoice", visible_throughout(view))
    return invoice_page(job_invoice.invoice, _marks(view, job_invoice))


def job_invoice_file(view: JobInvoice, kind: str, out: Print, templates: Path | None) -> bytes:
    """Return an invoice as data, or as a PDF that carries them; checked by the official rules.

    Raises: Refused with all that these find, or where they are not installed.
    """
    job_invoice = cast("JobInvoice", visible_throughout(view))
    marks = _marks(view, job_invoice)
    return invoice_document(view.invoice, cast("Kind", kind), out, marks, templates)


def _marks(view: JobInvoice, job_invoice: JobInvoice) -> InvoiceAdditions:
    head, seal = job_invoice.head, digest(view)
    number = head.number or _("Draft")
    return InvoiceAdditions(
        f"{number} · {page_parts.foot(head.known_at, seal)}",
        page_parts.banner(rehearsal=head.rehearsal),
        proof_of(head, seal, view),
        (_annex(job_invoice.account, job_invoice.invoice),) if job_invoice.account else (),
        tuple(_facts(job_invoice)),
        _(DRAFT) if head.is_draft else "",
    )


def _facts(view: JobInvoice) -> Iterator[Fact]:
    """Yield what the yard's people know it by."""
    head = view.head
    yield Fact(_("Job"), f"{cut(head.job, NAME_LENGTH)} · {cut(head.job_title, NAME_LENGTH)}")
    if view.claim is not None:
        yield Fact(_("Claim"), str(view.claim))
    if head.prepared_by:
        yield Fact(_("Prepared by"), cut(head.prepared_by, NAME_LENGTH))


def _annex(account: AccountToDate, invoice: Invoice) -> Section:
    """Return the account of the job, without tax, down to what the invoice bears."""
    signed = _("Original contract sum, as signed")
    if account.amended_on:
        amended = written(account.amended_on)
        signed = _("Original contract sum, amended on {day}").format(day=amended)
    steps = (
        (_("Less retention held"), -account.retention_held),
        (_("Less advance recovered"), -account.advance_recovered),
    )
    rows = (
        Row((signed, account.contract_sum)),
        Row((_("Approved variations"), account.variations), "step"),
        Row((_("Adjusted contract sum"), account.adjusted_sum), "subtotal"),
        Row((_("Value of the work to date"), account.value_to_date)),
        *(Row(step, "step") for step in steps if step[1]),
        Row((_("Less invoiced before, net of credits"), -account.invoiced_before), "step"),
        Row((_("This invoice, without tax"), account.net), "total"),
    )
    columns = (Column(_("Amount"), "text"), Column(_("Sum"), "money", invoice.currency))
    day = written(account.day)
    caption = _("Account of the work to {day}, without tax").format(day=day)
    title = _("Account")
    return Section(title, Table("Account", caption, columns, rows))
