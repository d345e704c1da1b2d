"""An invoice as a page: parties, lines, tax, totals, and how it is paid."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.invoices import (
    Delivery,
    Invoice,
    InvoiceLine,
    Party,
    PaymentTerms,
    TaxSubtotal,
    totals,
)
from ledger.domain.tax_categories import CATEGORIES
from ledger.domain.units import UNIT_NAMES
from ledger.language import _
from ledger.reports.dates import written
from ledger.reports.figures import GROUP, number_text
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import visible_throughout

ENCLOSED = (
    "This file carries the same invoice as data for accounting programs: factur-x.xml, EN 16931."
)
CHARGED = "What is charged, in {currency} without tax"
CHARGED_LESS = "What is charged, in {currency} without tax; what is below zero is deducted"
CREDITED = "What is credited, in {currency} without tax"
CREDITED_LESS = "What is credited, in {currency} without tax; what is below zero was deducted"
CENT = Decimal("0.01")
CATEGORY_NAMES = {code: each.name for code, each in CATEGORIES.items()}


@dataclass(frozen=True)
class InvoiceAdditions:
    """What the book adds to an invoice: its foot, banner, proof, annexes, facts, a draft's mark."""

    foot: str = ""
    banner: str = ""
    proof: tuple[Fact, ...] = ()
    annexes: tuple[Section, ...] = ()
    facts: tuple[Fact, ...] = ()
    draft: str = ""


NO_MARKS = InvoiceAdditions()


@dataclass(frozen=True, kw_only=True)
class InvoicePage(Page):
    """An invoice ready to be shown; its sections are the annexes."""

    addressee: tuple[str, ...]
    lines: Table
    tax: Table
    totals: tuple[Fact, ...]
    payment: tuple[Fact, ...]
    notes: tuple[str, ...]
    enclosed: str
    draft: str = ""


def invoice_page(
    invoice: Invoice, marks: InvoiceAdditions = NO_MARKS, *, enclosed: bool = False
) -> InvoicePage:
    """Return the invoice as a page; `enclosed` is whether its file carries it as data too."""
    printed: Invoice = visible_throughout(invoice)
    kind = _("Credit note") if printed.is_credit else _("Invoice")
    named = kind if marks.draft else f"{kind} {printed.number}"
    return InvoicePage(
        title=named,
        subject=printed.buyer.name,
        letterhead=(printed.seller.name, *_address(printed.seller), *_numbers(printed.seller)),
        facts=(*_facts(printed), *marks.facts),
        headline="",
        figures=tuple(_figures(printed)),
        sections=marks.annexes,
        how_to_read=(),
        caution="",
        proof=marks.proof,
        running=(f"{named} · {printed.seller.name}", written(printed.issued_on)),
        foot=marks.foot or named,
        banner=marks.banner,
        addressee=(printed.buyer.name, *_address(printed.buyer), *_numbers(printed.buyer)),
        lines=_lines(printed),
        tax=_tax(printed),
        totals=tuple(_totals(printed)),
        payment=tuple(_payment(printed)),
        notes=() if printed.is_credit else printed.notes,
        enclosed=_(ENCLOSED) if enclosed else "",
        draft=marks.draft,
    )


def _address(party: Party) -> Iterator[str]:
    at = party.address
    yield from filter(None, at.lines)
    town = f"{at.postcode} {at.city}".strip()
    yield ", ".join(filter(None, (town, at.region, at.country)))


def _numbers(party: Party) -> Iterator[str]:
    if party.tax_number:
        yield _("Tax number {number}").format(number=party.tax_number)
    if party.tax_registration:
        yield _("Tax registration {number}").format(number=party.tax_registration)
    if party.registration:
        yield _("Registered under {number}").format(number=party.registration)


def _facts(invoice: Invoice) -> Iterator[Fact]:
    """Yield what stands beside the addressee: dates, and what the buyer knows it by."""
    yield Fact(_("Date of issue"), written(invoice.issued_on))
    if invoice.due_on:
        yield Fact(_("Due date"), written(invoice.due_on))
    yield from _delivered(invoice.delivery)
    for each in invoice.preceding:
        label = _("Credits invoice") if invoice.is_credit else _("Follows invoice")
        day = written(each.issued_on)
        yield Fact(label, _("{number} of {day}").format(number=each.number, day=day))
    if invoice.is_credit:
        yield from (Fact(_("Reason"), note) for note in invoice.notes)
    of = invoice.references
    for label, value in (
        (_("Your purchase order"), of.purchase_order),
        (_("Your reference"), of.buyer_reference),
        (_("Contract"), of.contract),
    ):
        if value:
            yield Fact(label, value)


def _delivered(delivery: Delivery) -> Iterator[Fact]:
    if delivery.on:
        yield Fact(_("Delivered on"), written(delivery.on))
    if delivery.starts or delivery.ends:
        yield Fact(_("Work done"), _period(delivery.starts, delivery.ends))
    if delivery.country:
        yield Fact(_("Delivered to"), delivery.country)


def _period(starts: date | None, ends: date | None) -> str:
    if starts and ends:
        return _("{first} to {last}").format(first=written(starts), last=written(ends))
    if starts:
        return _("from {day}").format(day=written(starts))
    return _("until {day}").format(day=written(ends)) if ends else ""


def _figures(invoice: Invoice) -> Iterator[Fact]:
    """Yield what a reader in a hurry needs: how much, until when, to which account."""
    due = _money(totals(invoice).due, invoice.currency)
    if invoice.is_credit:
        yield Fact(_("Credited to you"), due)
        return
    yield Fact(_("To pay"), due)
    if invoice.due_on:
        yield Fact(_("By"), written(invoice.due_on))
    if invoice.payment.account:
        yield Fact(_("To account"), invoice.payment.account)


def _money(amount: Decimal, currency: str) -> str:
    return f"{number_text(amount)}{GROUP}{currency}"


def _lines(invoice: Invoice) -> Table:
    columns = (
        Column(_("No."), "line"),
        Column(_("Description"), "text"),
        Column(_("Quantity"), "quantity"),
        Column(_("Unit"), "unit"),
        Column(_("Price"), "rate"),
        Column(_("Tax"), "tax"),
        Column(_("Amount"), "money"),
    )
    last = Row((_("Total without tax"), totals(invoice).net), "total", span=len(columns) - 1)
    rows = (_line(number, line) for number, line in enumerate(invoice.lines, start=1))
    says = _(CREDITED) if invoice.is_credit else _(CHARGED)
    if any(line.quantity < 0 for line in invoice.lines):
        says = _(CREDITED_LESS) if invoice.is_credit else _(CHARGED_LESS)
    caption = says.format(currency=invoice.currency)
    return Table("lines", caption, columns, (*rows, last))


def _line(number: int, line: InvoiceLine) -> Row:
    return Row(
        (
            str(number),
            line.description,
            _in_cents(line.quantity) if line.unit == "HUR" else line.quantity,
            _(UNIT_NAMES[line.unit]),
            _in_cents(line.unit_price),
            _rate(*line.tax_key),
            line.amount,
        ),
        remark=line.detail,
    )


def _in_cents(figure: Decimal) -> Decimal:
    """Return hours or a price with two decimals at least."""
    coarse = figure == figure.quantize(CENT)
    return figure.quantize(CENT) if coarse else figure


def _rate(category: str, rate: Decimal | None) -> str:
    """Return the tax of a line in short: its rate, or the letters of a category without tax."""
    if CATEGORIES[category].taxed and rate is not None:
        return _percent(rate)
    return category


def _percent(rate: Decimal) -> str:
    """Return a rate without the zeros that say nothing: 21 %, 5.5 %."""
    return f"{rate.normalize():f}{GROUP}%"


def _tax(invoice: Invoice) -> Table:
    columns = (
        Column(_("Tax category"), "text"),
        Column(_("Rate"), "tax"),
        Column(_("On"), "money"),
        Column(_("Tax"), "money"),
    )
    of = totals(invoice)
    rows = (_subtotal(each) for each in of.subtotals)
    last = Row((_("Tax"), of.net, of.tax), "total", span=2)
    caption = _("Tax, in {currency}").format(currency=invoice.currency)
    return Table("tax", caption, columns, (*rows, last))


def _subtotal(of: TaxSubtotal) -> Row:
    name = f"{_(CATEGORY_NAMES[of.category])} ({of.category})"
    rate = _("none") if of.rate is None else _percent(of.rate)
    why = (of.exemption.reason, of.exemption.code) if of.exemption else ()
    return Row((name, rate, of.taxable, of.tax), remark=" · ".join(filter(None, why)))


def _totals(invoice: Invoice) -> Iterator[Fact]:
    of = totals(invoice)
    yield Fact(_("Total without tax"), _money(of.net, invoice.currency))
    yield Fact(_("Tax"), _money(of.tax, invoice.currency))
    yield Fact(
        _("Credited") if invoice.is_credit else _("To pay"),
        _money(of.due, invoice.currency),
        "total",
    )
    own = invoice.accounting
    if of.tax_in_accounting is not None and own and own.rate is not None:
        rate = f"1 {invoice.currency} = {own.rate:f} {own.currency}"
        source = f"; {own.source}" if own.source else ""
        yield Fact(
            _("Tax in {currency}").format(currency=own.currency),
            _money(of.tax_in_accounting, own.currency),
        )
        yield Fact(_("At the rate"), rate + source)


def _payment(invoice: Invoice) -> Iterator[Fact]:
    """Yield how it is paid; a credit note asks for no payment, so it names no account."""
    payment = PaymentTerms(invoice.payment.terms) if invoice.is_credit else invoice.payment
    for label, value in (
        (_("Terms"), payment.terms),
        (_("Account"), payment.account),
        (_("In the name of"), payment.account_name),
        (_("Bank (BIC)"), payment.bank),
        (_("Please quote"), payment.reference),
    ):
        if value:
            yield Fact(label, value)
