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
    Payment,
    TaxSubtotal,
    totals,
)
from ledger.domain.tax_categories import CATEGORIES
from ledger.domain.units import UNIT_NAMES
from ledger.reports.dates import written
from ledger.reports.figures import GROUP, number_text
from ledger.reports.tables import Column, Fact, Page, Row, Section, Table
from ledger.reports.text import visible_throughout

ENCLOSED = (
    "This file carries the same invoice as data for accounting programs: factur-x.xml, EN 16931."
)
CENT = Decimal("0.01")
COLUMNS = (
    Column("No.", "line"),
    Column("Description", "text"),
    Column("Quantity", "quantity"),
    Column("Unit", "unit"),
    Column("Price", "rate"),
    Column("Tax", "tax"),
    Column("Amount", "money"),
)


@dataclass(frozen=True)
class Marks:
    """What the book adds to an invoice: its foot, a rehearsal's banner, its proof, and annexes."""

    foot: str = ""
    banner: str = ""
    proof: tuple[Fact, ...] = ()
    annexes: tuple[Section, ...] = ()


NO_MARKS = Marks()


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


def invoice_page(
    invoice: Invoice, marks: Marks = NO_MARKS, *, enclosed: bool = False
) -> InvoicePage:
    """Return the invoice as a page; `enclosed` is whether its file carries it as data too."""
    shown: Invoice = visible_throughout(invoice)
    named = f"{shown.kind.capitalize()} {shown.number}"
    return InvoicePage(
        title=named,
        subject=shown.buyer.name,
        letterhead=(shown.seller.name, *_address(shown.seller), *_numbers(shown.seller)),
        facts=tuple(_facts(shown)),
        headline="",
        figures=tuple(_figures(shown)),
        sections=marks.annexes,
        how_to_read=(),
        caution="",
        proof=marks.proof,
        running=(f"{named} · {shown.seller.name}", written(shown.issued_on)),
        foot=marks.foot or named,
        banner=marks.banner,
        addressee=(shown.buyer.name, *_address(shown.buyer), *_numbers(shown.buyer)),
        lines=_lines(shown),
        tax=_tax(shown),
        totals=tuple(_totals(shown)),
        payment=tuple(_payment(shown)),
        notes=shown.notes,
        enclosed=ENCLOSED if enclosed else "",
    )


def _address(party: Party) -> Iterator[str]:
    at = party.address
    yield from filter(None, at.lines)
    town = f"{at.postcode} {at.city}".strip()
    yield ", ".join(filter(None, (town, at.region, at.country)))


def _numbers(party: Party) -> Iterator[str]:
    if party.tax_number:
        yield f"Tax number {party.tax_number}"
    if party.tax_registration:
        yield f"Tax registration {party.tax_registration}"
    if party.registration:
        yield f"Registered under {party.registration}"


def _facts(invoice: Invoice) -> Iterator[Fact]:
    """Yield what stands beside the addressee: dates, and what the buyer knows it by."""
    yield Fact("Date of issue", written(invoice.issued_on))
    if invoice.due_on:
        yield Fact("Due date", written(invoice.due_on))
    yield from _delivered(invoice.delivery)
    for each in invoice.preceding:
        label = "Credits invoice" if invoice.is_credit else "Follows invoice"
        yield Fact(label, f"{each.number} of {written(each.issued_on)}")
    of = invoice.references
    for label, value in (
        ("Your purchase order", of.purchase_order),
        ("Your reference", of.buyer_reference),
        ("Contract", of.contract),
    ):
        if value:
            yield Fact(label, value)


def _delivered(delivery: Delivery) -> Iterator[Fact]:
    if delivery.on:
        yield Fact("Delivered on", written(delivery.on))
    if delivery.starts or delivery.ends:
        yield Fact("Work done", _period(delivery.starts, delivery.ends))
    if delivery.country:
        yield Fact("Delivered to", delivery.country)


def _period(starts: date | None, ends: date | None) -> str:
    if starts and ends:
        return f"{written(starts)} to {written(ends)}"
    return f"from {written(starts)}" if starts else f"until {written(ends)}" if ends else ""


def _figures(invoice: Invoice) -> Iterator[Fact]:
    """Yield what a reader in a hurry needs: how much, until when, to which account."""
    due = _money(totals(invoice).due, invoice.currency)
    if invoice.is_credit:
        yield Fact("Credited to you", due)
        return
    yield Fact("To pay", due)
    if invoice.due_on:
        yield Fact("By", written(invoice.due_on))
    if invoice.payment.account:
        yield Fact("To account", invoice.payment.account)


def _money(amount: Decimal, currency: str) -> str:
    return f"{number_text(amount)}{GROUP}{currency}"


def _lines(invoice: Invoice) -> Table:
    last = Row(("Total without tax", totals(invoice).net), "total", span=len(COLUMNS) - 1)
    rows = (_line(number, line) for number, line in enumerate(invoice.lines, start=1))
    done = "credited" if invoice.is_credit else "charged"
    deducted = any(line.quantity < 0 for line in invoice.lines)
    below = "; what is below zero is deducted" if deducted else ""
    caption = f"What is {done}, in {invoice.currency} without tax{below}"
    return Table("lines", caption, COLUMNS, (*rows, last))


def _line(number: int, line: InvoiceLine) -> Row:
    return Row(
        (
            str(number),
            line.description,
            _in_cents(line.quantity) if line.unit == "HUR" else line.quantity,
            UNIT_NAMES[line.unit],
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
        Column("Tax category", "text"),
        Column("Rate", "tax"),
        Column("On", "money"),
        Column("Tax", "money"),
    )
    of = totals(invoice)
    rows = (_subtotal(each) for each in of.subtotals)
    last = Row(("Tax", of.net, of.tax), "total", span=2)
    return Table("tax", f"Tax, in {invoice.currency}", columns, (*rows, last))


def _subtotal(of: TaxSubtotal) -> Row:
    name = f"{CATEGORIES[of.category].name} ({of.category})"
    rate = "none" if of.rate is None else _percent(of.rate)
    why = (of.exemption.reason, of.exemption.code) if of.exemption else ()
    return Row((name, rate, of.taxable, of.tax), remark=" · ".join(filter(None, why)))


def _totals(invoice: Invoice) -> Iterator[Fact]:
    of = totals(invoice)
    yield Fact("Total without tax", _money(of.net, invoice.currency))
    yield Fact("Tax", _money(of.tax, invoice.currency))
    yield Fact(
        "Credited" if invoice.is_credit else "To pay", _money(of.due, invoice.currency), "total"
    )
    own = invoice.accounting
    if of.tax_in_accounting is not None and own and own.rate is not None:
        rate = f"1 {invoice.currency} = {own.rate:f} {own.currency}"
        source = f"; {own.source}" if own.source else ""
        yield Fact(f"Tax in {own.currency}", _money(of.tax_in_accounting, own.currency))
        yield Fact("At the rate", rate + source)


def _payment(invoice: Invoice) -> Iterator[Fact]:
    """Yield how it is paid; a credit note asks for no payment, so it names no account."""
    payment = Payment(invoice.payment.terms) if invoice.is_credit else invoice.payment
    for label, value in (
        ("Terms", payment.terms),
        ("Account", payment.account),
        ("In the name of", payment.account_name),
        ("Bank (BIC)", payment.bank),
        ("Please quote", payment.reference),
    ):
        if value:
            yield Fact(label, value)
