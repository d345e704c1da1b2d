"""Totals of an invoice by EN 16931, and what makes one unfit."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.cli.refusals.worded import worded
from ledger.domain.currencies import CURRENCIES, places_of
from ledger.domain.invoice_checks import faults
from ledger.domain.invoices import (
    Accounting,
    Address,
    Delivery,
    ElectronicAddress,
    Exemption,
    Invoice,
    InvoiceLine,
    Preceding,
    totals,
)
from ledger.domain.units import UNIT_NAMES, unit_code
from tests.reports.invoices._yard import (
    CREDIT,
    DELIVERED,
    EXEMPT,
    HOURS,
    KINDS,
    OVERSEAS,
    OWNER,
    TAXED_ABROAD,
    YARD,
    fixed,
    invoice,
    untaxed,
)


def line(quantity: str, price: str) -> InvoiceLine:
    return replace(HOURS, quantity=Decimal(quantity), unit_price=Decimal(price))


@pytest.mark.parametrize(
    ("quantity", "price", "expected"),
    [
        ("0.5", "0.01", "0.01"),  # 0.005
        ("-0.5", "0.01", "-0.01"),  # -0.005
        ("37.5", "13.15", "493.13"),  # 493.125
        ("1", "68.4049", "68.40"),
        ("0", "68.40", "0.00"),
        ("3", "0.333", "1.00"),  # 0.999
    ],
)
def test_a_line_is_quantity_times_price(quantity: str, price: str, expected: str) -> None:
    """The amount is rounded once, to two places, half away from zero."""
    assert line(quantity, price).amount == Decimal(expected)


def test_tax_is_reckoned_on_the_sum_of_its_lines() -> None:
    """Three lines of 0.03 at 21 % bear 0.02 of tax, not three times 0.01."""
    made = invoice(*[line("1", "0.03")] * 3)  # 0.09 x 21 % = 0.0189; each 0.0063

    assert totals(made).tax == Decimal("0.02")
    assert totals(made).due == Decimal("0.11")


def test_each_rate_has_its_own_tax() -> None:
    """Lines are summed by category and rate, 21 and 21.00 being one; O has no rate."""
    other = replace(fixed(), rate=Decimal("21.00"))
    found = totals(invoice(fixed(), fixed(rate=9), other, fixed("Z", 0))).subtotals

    assert [(each.category, each.rate, each.taxable, each.tax) for each in found] == [
        ("S", 21, 25000, 5250),
        ("S", 9, 12500, 1125),
        ("Z", 0, 12500, 0),
    ]
    assert [each.rate for each in totals(KINDS["not subject"]).subtotals] == [None]


def test_tax_is_stated_in_the_yards_currency_too() -> None:
    """391.42 at 0.0852 are 33.35 (33.348984); the same currency needs none."""
    assert totals(KINDS["foreign currency"]).tax_in_accounting == Decimal("33.35")
    assert totals(invoice(accounting=Accounting("EUR"))).tax_in_accounting is None


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.decimals(-999, 999, places=2),
            st.decimals(0, 999, places=4),
            st.sampled_from([9, 21]),
        ),
        min_size=1,
        max_size=8,
    )
)
def test_parts_of_the_totals_add_up(rows: list[tuple[Decimal, Decimal, int]]) -> None:
    """Lines add to bases, bases to the net, taxes to the tax, net and tax to what is due."""
    lines = [
        replace(HOURS, quantity=quantity, unit_price=price, rate=Decimal(rate))
        for quantity, price, rate in rows
    ]
    found = totals(invoice(*lines))

    assert found.lines == sum(each.amount for each in lines)
    assert found.net == sum(each.taxable for each in found.subtotals)
    assert found.tax == sum(each.tax for each in found.subtotals)
    assert found.due == found.gross == found.net + found.tax
    for each in found.subtotals:
        exact = each.taxable * (each.rate or 0) / 100
        assert abs(each.tax - exact) <= Decimal("0.005")


@pytest.mark.parametrize("kind", KINDS)
def test_a_right_invoice_has_no_fault(kind: str) -> None:
    """None of the yard's invoices is refused."""
    assert faults(KINDS[kind]) == ()


def priced(**given: Any) -> Invoice:
    return invoice(replace(HOURS, **given))


def from_the_yard(**given: Any) -> Invoice:
    return invoice(seller=replace(YARD, **given))


# Of each invoice all that is said of it.
FAULTY: dict[str, tuple[Invoice, list[str]]] = {
    "no number": (invoice(number=" "), ["the number is missing"]),
    "no line": (replace(invoice(), lines=()), ["there is nothing to invoice"]),
    "due before": (
        invoice(due_on=date(2026, 6, 14)),
        ["due on 2026-06-14, before its date of issue 2026-06-15"],
    ),
    "no due date": (
        invoice(due_on=None),
        ["2255.32 EUR to pay and no due date; give the days to pay"],
    ),
    "below zero": (
        invoice(line("-1", "10")),
        [
            "the invoice comes to -12.10 EUR; below zero it is carried forward, or is another kind "
            "of document"
        ],
    ),
    "no such currency": (
        invoice(currency="EUX"),
        ['unknown currency "EUX"; use a code of ISO 4217'],
    ),
    "no rate of exchange": (
        invoice(currency="NOK", accounting=Accounting("EUR")),
        [
            "in NOK, while the yard's currency is EUR: the tax is stated in both; give the "
            "exchange rate that your tax office accepts, above 0"
        ],
    ),
    "nobody": (
        invoice(buyer=replace(OWNER, name="", address=Address(""))),
        ["buyer: missing name, country"],
    ),
    "no address": (
        from_the_yard(address=Address("NL")),
        ["seller: missing address"],
    ),
    "a country in words": (
        invoice(buyer=replace(OWNER, address=Address("Netherlands"))),
        ['buyer: "Netherlands" is not a country code; use two capitals of ISO 3166, such as NL'],
    ),
    "half an electronic address": (
        invoice(buyer=replace(OWNER, electronic=ElectronicAddress("", "77"))),
        ["buyer: an electronic address has a scheme and an identifier"],
    ),
    "an unknown seller": (
        from_the_yard(tax_number="", registration=""),
        ["seller: give a tax number or a registration number"],
    ),
    "no description": (priced(description=" "), ["line 1: the description is missing"]),
    "a unit in words": (
        priced(unit="hours"),
        [f'line 1: unknown unit "hours"; use one of {", ".join(UNIT_NAMES)}'],
    ),
    "a negative price": (
        priced(unit_price=Decimal("-68.40")),
        ["line 1: the price -68.40 is below zero; an omission has a negative quantity"],
    ),
    "an unknown category": (
        invoice(fixed(), fixed("X")),
        ['line 2: unknown tax category "X"; use one of S, Z, E, AE, K, G, O'],
    ),
    "no rate": (
        invoice(fixed("S", 0)),
        ["line 1: tax category S needs a rate above 0 and up to 100, found 0"],
    ),
    "a rate without tax": (
        invoice(fixed("Z", 21)),
        ["line 1: tax category Z carries no tax, found a rate of 21"],
    ),
    "no reason": (
        untaxed("E"),
        [
            "tax category E needs the reason why no tax is due: in words, or a VATEX code",
        ],
    ),
    "a reason too many": (
        untaxed("Z", exemptions=(Exemption("Z", "none"),)),
        ["tax category Z takes no reason; remove it"],
    ),
    "two reasons": (
        untaxed("E", exemptions=(EXEMPT, EXEMPT)),
        ["tax category E has two reasons; issue two invoices"],
    ),
    "a reason for nothing": (
        invoice(exemptions=(EXEMPT,)),
        ["a reason for tax category E, which no line has"],
    ),
    "reverse charge to nobody": (
        untaxed("AE"),
        ["buyer: tax category AE needs a tax number"],
    ),
    "reverse charge by nobody": (
        untaxed("AE", buyer=TAXED_ABROAD, seller=replace(YARD, tax_number="")),
        ["seller: tax category AE needs a tax number"],
    ),
    "taxed by nobody": (
        from_the_yard(tax_number=""),
        ["seller: tax category S needs a tax number"],
    ),
    "delivered nowhere": (
        untaxed("K", buyer=TAXED_ABROAD, delivery=Delivery()),
        [
            "tax category K needs the date or period of delivery",
            "tax category K needs the country of delivery",
        ],
    ),
    "not subject with numbers": (
        untaxed("O"),
        [
            "seller: with tax category O no tax number may stand on the invoice, found "
            "NL123456782B90"
        ],
    ),
    "not subject beside others": (
        invoice(
            *(fixed(category, 0) for category in ("O", "Z")),
            seller=replace(YARD, tax_number="", tax_registration="R1"),
        ),
        ["tax category O cannot stand beside Z; issue two invoices"],
    ),
    "a credit of nothing": (
        replace(CREDIT, preceding=()),
        ["a credit note names the invoices it credits, with their dates"],
    ),
    "a credit of something": (
        replace(CREDIT, preceding=(Preceding("", date(2026, 5, 4)),)),
        ["an invoice that is referred to has no number"],
    ),
    "a credit that is due": (
        replace(CREDIT, due_on=date(2026, 7, 15)),
        ["a credit note asks for no payment; remove the due date 2026-07-15"],
    ),
    "a period backwards": (
        invoice(delivery=replace(DELIVERED, starts=date(2026, 6, 2), ends=date(2026, 6, 1))),
        ["the period of delivery starts on 2026-06-02 and ends on 2026-06-01"],
    ),
    "a character of no file": (
        priced(detail="a\x07b"),
        ["detail: 'a\\x07b' has a character that no file can hold"],
    ),
    "three at once": (
        invoice(replace(HOURS, unit_price=Decimal(-1), unit="x"), number=""),
        [
            "the number is missing",
            f'line 1: unknown unit "x"; use one of {", ".join(UNIT_NAMES)}',
            "line 1: the price -1 is below zero; an omission has a negative quantity",
        ],
    ),
}


@pytest.mark.parametrize("case", FAULTY)
def test_every_fault_is_said(case: str) -> None:
    """Each thing that is wrong has its own sentence, and all are said at once."""
    made, expected = FAULTY[case]

    assert [worded(each) for each in faults(made)] == expected


def currencies_of(places: int) -> Iterator[str]:
    return (currency for currency in sorted(CURRENCIES) if places_of(currency) == places)


@pytest.mark.parametrize("currency", ["JPY", "KWD", "UYW"])
def test_a_currency_of_other_than_two_decimals_is_refused(currency: str) -> None:
    """The reason is said; so it is where the yard's own currency is such a one."""
    reason = (
        f"{currency} has {places_of(currency)} decimals; an electronic invoice (EN 16931) rounds "
        "each amount to 2, so its sums would not be those that are paid; invoice in a currency of 2"
    )
    abroad = invoice(buyer=OVERSEAS, accounting=Accounting(currency, Decimal(160)))

    assert [worded(each) for each in faults(invoice(currency=currency))] == [reason]
    assert [worded(each) for each in faults(abroad)] == [reason]


def test_most_currencies_have_two_decimals() -> None:
    """Those with none and with three are refused, and no others but one of four."""
    refused = {places: list(currencies_of(places)) for places in (0, 3, 4)}

    assert len(refused[0]) == 16
    assert refused[3] == ["BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"]
    assert refused[4] == ["UYW"]
    assert all(not faults(invoice(currency=each)) for each in currencies_of(2))


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        ("hour", "HUR"),
        ("Hrs.", "HUR"),
        ("days", "DAY"),
        ("lump sum", "LS"),
        ("lump_sum", "LS"),
        ("m2", "MTK"),
        ("pcs", "C62"),
        ("firkin", None),
        ("", None),
    ],
)
def test_a_unit_is_known_by_its_words(written: str, expected: str | None) -> None:
    """Usual words are known in any case; a word that is not has no code."""
    assert unit_code(written) == expected
