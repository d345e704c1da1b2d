"""What makes an invoice unfit to be issued: every fault at once, before it is written.

The official rules look at the finished file and say the same of most; here it is said in the words
of whoever fills in a job's card, and before a number is used.
"""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date

from ledger.domain.currencies import CURRENCIES, places_of
from ledger.domain.invoices import Invoice, InvoiceLine, Party, totals
from ledger.domain.tax_categories import CATEGORIES
from ledger.domain.units import UNIT_NAMES
from ledger.errors import Refused

# What no XML 1.0 file can hold (production 2, Char).
UNPRINTABLE = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
PLACES = 2  # EN 16931 takes amounts of at most two decimals (BR-DEC), and rounds to them.


def faults(invoice: Invoice) -> tuple[Refused, ...]:
    """Return all that is wrong with the invoice; the sums are looked at when the rest is right."""
    refusals = [
        *_about_head(invoice),
        *_about_currency(invoice),
        *_about_party("seller", invoice.seller, with_address=True),
        *_about_party("buyer", invoice.buyer, with_address=False),
        *_about_lines(invoice),
        *_about_texts(invoice, ""),
    ]
    refusals = refusals or [*_about_categories(invoice)]
    return tuple(refusals or _about_sums(invoice))


def _about_head(invoice: Invoice) -> Iterator[Refused]:
    if not invoice.number.strip():
        yield Refused("invoice_number_missing")
    if invoice.is_credit and not invoice.preceding:
        yield Refused("credit_names_no_invoice")
    if invoice.is_credit and invoice.due_on:
        yield Refused("credit_with_due_date", due=invoice.due_on)
    if any(not each.number.strip() for each in invoice.preceding):
        yield Refused("credited_number_missing")
    if invoice.due_on and invoice.due_on < invoice.issued_on:
        yield Refused("invoice_due_before_issue", due=invoice.due_on, issued=invoice.issued_on)
    yield from _about_period(invoice.delivery.starts, invoice.delivery.ends)


def _about_period(starts: date | None, ends: date | None) -> Iterator[Refused]:
    if starts and ends and ends < starts:
        yield Refused("invoice_period_reversed", starts=starts, ends=ends)


def _about_currency(invoice: Invoice) -> Iterator[Refused]:
    """Yield what is wrong with the currencies: their codes, their decimals, a missing rate."""
    own = invoice.accounting.currency if invoice.accounting else invoice.currency
    for currency in dict.fromkeys((invoice.currency, own)):
        if currency not in CURRENCIES:
            yield Refused("invoice_currency_unknown", currency=currency)
        elif places_of(currency) != PLACES:
            yield Refused("invoice_currency_places", currency=currency, places=places_of(currency))
    rate = invoice.accounting.rate if invoice.accounting else None
    if invoice.is_in_foreign_currency and (rate is None or rate <= 0):
        yield Refused("invoice_rate_missing", currency=invoice.currency, own=own)


def _about_party(role: str, party: Party, *, with_address: bool) -> Iterator[Refused]:
    """Yield what a party lacks: a buyer's street may be left out, a seller's may not."""
    address = party.address
    texts = {"name": party.name, "country": address.country}
    if with_address:
        texts |= {"address": " ".join((*address.lines, address.city))}
    identified = party.tax_number or party.registration
    if role == "seller" and not identified:  # BR-CO-26
        yield Refused("invoice_seller_unidentified")
    if missing := tuple(what for what, text in texts.items() if not text.strip()):
        yield Refused("invoice_party_incomplete", party=role, missing=missing)
    if address.country.strip() and not _is_country(address.country):
        yield Refused("invoice_country_unreadable", party=role, country=address.country)
    if party.electronic and not (party.electronic.scheme and party.electronic.identifier):
        yield Refused("invoice_address_incomplete", party=role)


def _is_country(code: str) -> bool:
    return len(code) == 2 and code.isascii() and code.isalpha() and code.isupper()


def _about_lines(invoice: Invoice) -> Iterator[Refused]:
    if not invoice.lines:
        yield Refused("invoice_without_lines")
    for number, line in enumerate(invoice.lines, start=1):
        yield from _about_line(number, line)


def _about_line(number: int, line: InvoiceLine) -> Iterator[Refused]:
    if not line.description.strip():
        yield Refused("invoice_description_missing", line=number)
    if line.unit not in UNIT_NAMES:
        yield Refused("invoice_unit_unknown", line=number, unit=line.unit, units=tuple(UNIT_NAMES))
    if line.unit_price < 0:
        yield Refused("invoice_price_negative", line=number, price=line.unit_price)
    category = CATEGORIES.get(line.category)
    if category is None:
        known = tuple(CATEGORIES)
        yield Refused(
            "invoice_category_unknown", line=number, category=line.category, categories=known
        )
    elif category.taxed and not 0 < line.rate <= 100:
        yield Refused(
            "invoice_tax_rate_missing", line=number, category=line.category, rate=line.rate
        )
    elif not category.taxed and line.rate:
        yield Refused(
            "invoice_tax_rate_unwanted", line=number, category=line.category, rate=line.rate
        )


def _about_texts(value: object, path: str) -> Iterator[Refused]:
    """Yield each text that has a character no XML file can hold, by the name of its field."""
    if isinstance(value, str):
        if UNPRINTABLE.search(value):
            yield Refused("invoice_text_unprintable", field=path, text=ascii(value))
    elif isinstance(value, tuple):
        for each in value:
            yield from _about_texts(each, path)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _about_texts(getattr(value, field.name), field.name)


def _about_categories(invoice: Invoice) -> Iterator[Refused]:
    """Yield what the categories on the lines ask for and the invoice has not."""
    used = list(dict.fromkeys(line.category for line in invoice.lines))
    for code in used:
        yield from _about_reason(invoice, code)
        yield from _about_tax_numbers(invoice, code)
        if CATEGORIES[code].delivery:
            yield from _about_delivery(invoice, code)
    if "O" in used and len(used) > 1:
        yield Refused(
            "invoice_not_subject_and_others", others=tuple(each for each in used if each != "O")
        )
    for exemption in invoice.exemptions:
        if exemption.category not in used:
            yield Refused("invoice_reason_unused", category=exemption.category)


def _about_reason(invoice: Invoice, code: str) -> Iterator[Refused]:
    typed = [each for each in invoice.exemptions if each.category == code]
    if not CATEGORIES[code].gives_reason:
        if typed:
            yield Refused("invoice_reason_unwanted", category=code)
        return
    if len(typed) > 1:
        yield Refused("invoice_reason_twice", category=code)
    reason = invoice.exemption(code)
    if reason is None or not (reason.reason.strip() or reason.code.strip()):
        yield Refused("invoice_reason_missing", category=code)


def _about_tax_numbers(invoice: Invoice, code: str) -> Iterator[Refused]:
    """Yield the tax numbers that a category asks for, or that it must not bear beside it."""
    seller, buyer = invoice.seller.tax_number, invoice.buyer.tax_number
    if code == "O":
        for role, number in (("seller", seller), ("buyer", buyer)):
            if number:
                yield Refused("invoice_tax_number_unwanted", party=role, number=number)
        return
    if not seller and (CATEGORIES[code].buyer_number or not invoice.seller.tax_registration):
        yield Refused("invoice_tax_number_missing", party="seller", category=code)
    if CATEGORIES[code].buyer_number and not buyer:
        yield Refused("invoice_tax_number_missing", party="buyer", category=code)


def _about_delivery(invoice: Invoice, code: str) -> Iterator[Refused]:
    delivery = invoice.delivery
    if not (delivery.on or delivery.starts or delivery.ends):
        yield Refused("invoice_delivery_undated", category=code)
    if not delivery.country:
        yield Refused("invoice_delivery_placeless", category=code)
    elif not _is_country(delivery.country):
        yield Refused("invoice_country_unreadable", party="delivery", country=delivery.country)


def _about_sums(invoice: Invoice) -> Iterator[Refused]:
    due = totals(invoice).due
    if due < 0:
        yield Refused(
            "invoice_below_zero", due=due, currency=invoice.currency, document=invoice.kind
        )
    elif due > 0 and not invoice.is_credit and not invoice.due_on:
        yield Refused("invoice_due_date_missing", due=due, currency=invoice.currency)
