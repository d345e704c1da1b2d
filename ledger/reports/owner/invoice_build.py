"""An invoice of a job, made of the claim it bills; a credit note, of the invoice it credits."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from ledger.billing.invoicing import Increment, Tax, advance_line, increment
from ledger.changes.sums import contract_sum_on, contract_sums, sums_unspent
from ledger.documents.invoices import (
    ADVANCE,
    FINAL,
    INVOICE,
    InvoicedLine,
    IssuedInvoice,
    invoices_of,
)
from ledger.documents.issued_claims import claims_of
from ledger.documents.issuing import About
from ledger.domain.codes import code_of
from ledger.domain.contracts import TIME_CHARGE
from ledger.domain.invoices import Delivery, Invoice, Preceding
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.language import _, speaking
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.invoices.checks import refuse_faulty
from ledger.reports.owner.changes import shown_changes
from ledger.reports.owner.document_ground import JobGround
from ledger.reports.owner.invoice_lines import printed_lines
from ledger.reports.owner.invoice_terms import InvoiceAsked, InvoiceTerms
from ledger.reports.owner.invoice_view import AccountToDate, JobCreditNote, JobInvoice
from ledger.reports.page_parts import owner_language

DRAFT = "Draft"
RETAINED = "Retention is deducted here with its tax, and invoiced with its tax when it is released."
HELD_BACK = (
    "Retention is not deducted here. By the contract {held} {currency} without tax are held of the "
    "work to {day}, of this invoice and those before it."
)
FINAL_NOTE = "This is the final invoice of the contract."
DATES = ("delivered_on", "delivered_from", "delivered_to")


def invoice(ground: JobGround) -> JobInvoice:
    """Return the invoice of a claim, or of the advance.

    Raises: Refused when there is nothing to invoice, it comes to less than nothing, a final one
    leaves an advance, or anything is wrong with it.
    """
    asked = ground.wanted.invoice
    _refuse_day(ground)
    terms = InvoiceTerms(ground.card, ground.settings, asked)
    _refuse_other_currency(ground, terms.currency)
    with speaking(owner_language(ground.book, ground.job)):
        made = _advance(ground, terms) if asked.mark == ADVANCE else _of_claim(ground, terms)
    refuse_faulty(made.invoice)
    return made


def _refuse_day(ground: JobGround) -> None:
    """Raises: Refused for a day to come, or one before the last document of the series."""
    on, last = ground.wanted.on, ground.wanted.last_on
    if ground.wanted.today is not None and on > ground.wanted.today:
        raise Refused("invoice_to_come", on=on, today=ground.wanted.today)
    if last is not None and on < last:
        raise Refused("invoice_before_last", on=on, last=last)


def _refuse_other_currency(ground: JobGround, currency: str) -> None:
    """Raises: Refused where an invoice that stands is in another currency: the sums are of one."""
    for each in invoices_of(ground.book, ground.job):
        if each.stands and each.currency != currency:
            raise Refused(
                "invoice_other_currency",
                job=ground.job,
                currency=currency,
                document=each.document,
                other=each.currency,
                remedy=Remedy("credit_invoice", document=each.document),
            )


def _advance(ground: JobGround, terms: InvoiceTerms) -> JobInvoice:
    used = terms.tax(ground.wanted.on)
    line = advance_line(ground.book, ground.job, ground.wanted.on, used)
    made = _invoice(ground, terms, used, (line,), _delivery(terms.asked))
    return JobInvoice(ground.head, made, (line,), _about(ground, made))


def _of_claim(ground: JobGround, terms: InvoiceTerms) -> JobInvoice:
    asked, book, job = terms.asked, ground.book, ground.job
    claims = claims_of(book, job)
    assert asked.claim is not None
    worked = [each.day for each in claims if each.number == asked.claim]
    used = terms.tax(
        asked.delivered_on or asked.delivered_to or next(iter(worked), ground.wanted.on)
    )
    added = increment(book, job, asked.claim, used)
    if ground.wanted.on < added.claim.day:
        raise Refused("invoice_before_work", on=ground.wanted.on, to=added.claim.day)
    _refuse_nothing(job, added, terms.currency)
    account = _account(ground, added)
    _refuse_advance_left(job, added, account, asked.mark)
    _refuse_advance_missing(ground, added)
    starts = [each.day for each in claims if added.last and each.number == added.last.claim]
    period = (
        starts[0] + timedelta(days=1) if starts and starts[0] < added.claim.day else None,
        added.claim.day,
    )
    delivery = _delivery(asked, *period)
    made = _invoice(ground, terms, used, added.lines, delivery)
    if asked.mark == FINAL:
        made = replace(made, notes=(*made.notes, _(FINAL_NOTE)))
    if added.retention_in_full and added.sums.retention_held:
        made = replace(made, notes=(*made.notes, _held_back(added, terms.currency)))
    about = _about(ground, made)
    return JobInvoice(ground.head, made, added.lines, about, asked.claim, account)


def _held_back(added: Increment, currency: str) -> str:
    held = number_text(added.sums.retention_held)
    day = written(added.claim.day)
    return _(HELD_BACK).format(held=held, currency=currency, day=day)


def _refuse_nothing(job: str, added: Increment, currency: str) -> None:
    """Raises: Refused when nothing is left to invoice, or less than nothing."""
    if added.net > 0:
        return
    claim = added.claim.number
    if not added.net:
        raise Refused("invoice_empty", job=job, claim=claim, remedy=Remedy("claimable", job=job))
    if added.last is None:
        raise Refused(
            "invoice_first_below_zero", job=job, claim=claim, net=added.net, currency=currency
        )
    if not added.to_credit:
        raise Refused(
            "invoice_all_below_zero", job=job, claim=claim, net=added.net, currency=currency
        )
    raise Refused(
        "invoice_claim_below_zero",
        job=job,
        claim=claim,
        net=added.net,
        currency=currency,
        documents=tuple(each.document for each in added.to_credit),
        remedy=Remedy("credit_invoice", document=added.to_credit[0].document),
    )


def _refuse_advance_left(job: str, added: Increment, account: AccountToDate, mark: str) -> None:
    """Raises: Refused where all of the work is invoiced and an advance is not yet deducted."""
    is_whole = mark == FINAL or account.value_to_date >= account.adjusted_sum
    if is_whole and added.advances_left > 0:
        load = Remedy("load", what="job")
        raise Refused(
            "invoice_advance_left",
            job=job,
            claim=added.claim.number,
            left=added.advances_left,
            remedy=load,
        )


def _refuse_advance_missing(ground: JobGround, added: Increment) -> None:
    """Raises: Refused where more is deducted of an advance invoiced here than stands of it."""
    issued = invoices_of(ground.book, ground.job)
    if added.advances_left < 0 and any(each.mark == ADVANCE for each in issued):
        raise Refused(
            "invoice_advance_missing",
            job=ground.job,
            claim=added.claim.number,
            missing=-added.advances_left,
        )


def _delivery(
    asked: InvoiceAsked, starts: date | None = None, ends: date | None = None
) -> Delivery:
    """Return the delivery as typed, else the days of the work."""
    typed = Delivery(asked.delivered_on, asked.delivered_from, asked.delivered_to)
    return typed if typed != Delivery() else Delivery(starts=starts, ends=ends)


def _invoice(
    ground: JobGround,
    terms: InvoiceTerms,
    used: Tax,
    lines: tuple[InvoicedLine, ...],
    delivery: Delivery,
) -> Invoice:
    day, number = ground.wanted.on, ground.wanted.number
    retained = any(line.claim_kind == "retention" and line.amount < 0 for line in lines)
    return Invoice(
        number or _(DRAFT),
        day,
        terms.due_on(day),
        terms.currency,
        terms.seller(used),
        terms.buyer(used),
        printed_lines(lines, _titles(ground)),
        terms.payment(number),
        terms.references,
        replace(delivery, country=terms.term("deliver_to_country")),
        terms.exemptions(line.tax_category for line in lines),
        accounting=terms.accounting(day),
        notes=(*terms.asked.notes, *((_(RETAINED),) if retained else ())),
    )


def _titles(ground: JobGround) -> dict[str, str]:
    """Return the titles of changes as the owner was sent them."""
    time_charge = ground.card["contract_basis"] == TIME_CHARGE
    standings = shown_changes(
        ground.book, ground.job, ground.wanted.on, ground.changes, time_charge=time_charge
    )
    return {each.change.code: each.change.facts["title"] or "" for each in standings}


def _account(ground: JobGround, added: Increment) -> AccountToDate:
    day, card = added.claim.day, ground.card
    time_charge = card["contract_basis"] == TIME_CHARGE
    standings = shown_changes(ground.book, ground.job, day, ground.changes, time_charge=time_charge)
    contract_sum, amended_on = contract_sum_on(ground.book, ground.job, card["contract_sum"], day)
    unspent = sums_unspent(ground.book, ground.job, day, standings)
    of = contract_sums(contract_sum, standings, unspent)
    sums = added.sums
    return AccountToDate(
        day,
        of.original,
        amended_on,
        of.adjusted - of.original,
        of.adjusted,
        sums.value_to_date,
        added.retention_deducted,
        sums.advance_recovered,
        added.before,
        added.net,
    )


def _about(ground: JobGround, made: Invoice) -> About:
    """Return what is recorded of the document."""
    wanted, asked = ground.wanted, ground.wanted.invoice
    return About(
        wanted.kind,
        wanted.job,
        day_from=made.delivery.starts,
        day_to=made.delivery.ends or made.delivery.on,
        mark=asked.mark or None,
        claim=asked.claim,
        credits=asked.credits or None,
        due_on=made.due_on,
        currency=made.currency,
        particulars=asked.particulars,
    )


# -- credit notes --------------------------------------------------------------------------------


def credit_note(ground: JobGround) -> JobCreditNote:
    """Return the credit note of a whole invoice, with the particulars that it was issued with.

    Raises: Refused when it is no invoice of the job, is credited already, or is dated later.
    """
    asked = ground.wanted.invoice
    _refuse_day(ground)
    credited = _credited(ground, asked.credits)
    if ground.wanted.on < credited.issued_on:
        raise Refused("credit_before_invoice", on=ground.wanted.on, issued=credited.issued_on)
    then = JobGround(
        ground.book.known_by(credited.known_at),
        replace(ground.wanted, on=credited.issued_on, invoice=_asked_then(credited)),
    )
    terms = InvoiceTerms(then.card, then.settings, then.wanted.invoice)
    used = _borne(credited)
    with speaking(owner_language(ground.book, ground.job)):
        delivery = _delivery(terms.asked, credited.day_from, credited.day_to)
        billed = _invoice(then, terms, used, credited.lines, delivery)
    made = replace(
        billed,
        issued_on=ground.wanted.on,
        due_on=None,
        preceding=(Preceding(credited.document, credited.issued_on),),
        notes=(asked.reason,),
        is_credit=True,
    )
    refuse_faulty(made)
    lines = tuple(replace(line, to_date=line.amount, before=NOTHING) for line in credited.lines)
    about = _about(ground, made)
    return JobCreditNote(ground.head, made, lines, about)


def _borne(credited: IssuedInvoice) -> Tax:
    """Return the tax that an invoice bore: that of its increments, not of an advance deducted."""
    own = [line for line in credited.lines if line.claim_kind != "advance"] or credited.lines
    return Tax(own[0].tax_category, own[0].tax_rate)


def _credited(ground: JobGround, document: str) -> IssuedInvoice:
    every = {code_of(each.document): each for each in invoices_of(ground.book, ground.job)}
    invoice = every.get(code_of(document))
    if invoice is None or invoice.kind != INVOICE:
        raise Refused("credit_of_no_invoice", document=document)
    if invoice.credited_by:
        raise Refused("credited_already", document=invoice.document, credit=invoice.credited_by)
    return invoice


def _asked_then(credited: IssuedInvoice) -> InvoiceAsked:
    typed: dict[str, Any] = {
        name: date.fromisoformat(value) if name in DATES else value
        for name, value in credited.particulars.items()
    }
    if "notes" in typed:
        typed["notes"] = tuple(typed["notes"])
    return InvoiceAsked(claim=credited.claim, mark=credited.mark or "", **typed)
