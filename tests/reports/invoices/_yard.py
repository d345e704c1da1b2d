"""An invented yard's invoices: one of each kind that the rules know.

Numbers of tax offices and banks are made up, with check digits that fit.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.domain.invoices import (
    Accounting,
    Address,
    Delivery,
    ElectronicAddress,
    Exemption,
    Invoice,
    InvoiceLine,
    Party,
    PaymentTerms,
    Preceding,
    References,
)

YARD = Party(
    name="Brackvane Slip Boatbuilders B.V.",
    address=Address("NL", ("Slipway 4", "Unit B"), "1784 AB", "Den Helder"),
    tax_number="NL123456782B90",
    registration="87654321",
    electronic=ElectronicAddress("EM", "office@brackvane.example"),
)
OWNER = Party(
    name="Lake Tellowen Crossing Society",
    address=Address("NL", ("Ferry Road 1",), "8401 CD", "Gorredijk"),
    electronic=ElectronicAddress("EM", "accounts@tellowen.example"),
)
ABROAD = replace(OWNER, address=Address("DE", ("Seeweg 12",), "17192", "Waren"))
TAXED_ABROAD = replace(ABROAD, tax_number="DE123456788")
OVERSEAS = replace(OWNER, address=Address("NO", ("Sjøgata 2",), "8006", "Bodø"))
PAYMENT = PaymentTerms(
    terms="30 days net.",
    account="NL61 QQQQ 0123 4567 89",
    account_name="Brackvane Slip Boatbuilders B.V.",
    bank="QQQQNL2A",
    reference="2026-014",
)
REFERENCES = References("PO-7711", "Ferry committee", "TLC-2026-01")
HOURS = InvoiceLine(
    "V-03 Second mooring dolphin: welder",
    Decimal("31.75"),
    "HUR",
    Decimal("68.40"),
    "S",
    Decimal(21),
    "Daywork sheets D-11 to D-14",
)
OMITTED = replace(HOURS, description="V-03 Omitted: handrail", quantity=Decimal("-4.5"), detail="")


def invoice(*lines: InvoiceLine, **given: Any) -> Invoice:
    """Return an invoice of these lines, without lines of hours and what was omitted of them."""
    usual: dict[str, Any] = {
        "number": "2026-014",
        "issued_on": date(2026, 6, 15),
        "due_on": date(2026, 7, 15),
        "currency": "EUR",
        "seller": YARD,
        "buyer": OWNER,
        "lines": lines or (HOURS, OMITTED),
        "payment": PAYMENT,
        "references": REFERENCES,
        "delivery": Delivery(starts=date(2026, 5, 1), ends=date(2026, 5, 31)),
    }
    return Invoice(**(usual | given))


def fixed(category: str = "S", rate: int = 21, amount: str = "12500.00") -> InvoiceLine:
    price = Decimal(amount)
    return InvoiceLine("Stage 2: deck closed", Decimal(1), "LS", price, category, Decimal(rate))


def untaxed(category: str, **given: Any) -> Invoice:
    """Return an invoice of one line of a category that bears no tax."""
    return invoice(fixed(category, 0), **given)


def lines_of(many: int) -> tuple[InvoiceLine, ...]:
    """Return so many lines, every seventh an omission, of two rates."""
    return tuple(
        replace(
            HOURS,
            description=f"V-{number:03} Work on frame {number} and what goes with it",
            quantity=Decimal(number % 37 + 1) / 4 * (-1 if number % 7 == 0 else 1),
            rate=Decimal(9 if number % 3 == 0 else 21),
        )
        for number in range(1, many + 1)
    )


EXEMPT = Exemption("E", "Exempt: article 11, paragraph 1", "VATEX-EU-132-1M")
DELIVERED = Delivery(on=date(2026, 5, 29), country="DE")
CREDIT = invoice(
    replace(HOURS, quantity=Decimal("2.25")),
    number="2026-C02",
    due_on=None,
    is_credit=True,
    preceding=(Preceding("2026-011", date(2026, 5, 4)), Preceding("2026-012", date(2026, 5, 18))),
    notes=("Hours struck off sheet D-9.",),
)
KINDS = {
    "fixed price": invoice(fixed()),
    "daywork with omission": invoice(),
    "credit note": CREDIT,
    "two rates": invoice(fixed(), fixed(rate=9, amount="400.10")),
    "taxed and zero": invoice(fixed(), fixed("Z", 0)),
    "zero rate": untaxed("Z"),
    "exempt": untaxed("E", exemptions=(EXEMPT,)),
    "exempt, in words alone": untaxed("E", exemptions=(replace(EXEMPT, code=""),)),
    "reverse charge": untaxed("AE", buyer=TAXED_ABROAD),
    "intra-community": untaxed("K", buyer=TAXED_ABROAD, delivery=DELIVERED),
    "export": untaxed("G", buyer=OVERSEAS),
    "not subject": untaxed("O", seller=replace(YARD, tax_number="")),
    "foreign currency": invoice(
        currency="NOK",
        buyer=OVERSEAS,
        accounting=Accounting("EUR", Decimal("0.0852"), "European Central Bank, 2026-06-12"),
    ),
    "no account": invoice(payment=PaymentTerms("Paid by agreement.")),
    "account of another kind": invoice(payment=PaymentTerms("Net.", "12-345 678")),
    "seller without a tax number": invoice(
        seller=replace(YARD, tax_number="", tax_registration="Reg. 77-1")
    ),
    "a long address": invoice(
        buyer=replace(OWNER, address=Address("NL", ("A", "B", "C", "D"), "1", "Town", "Region"))
    ),
}
