"""An invoice or a credit note as facts, and its totals.

Source of the totals: EN 16931-1, BR-CO-10 to BR-CO-18; the names BT-106 and so on are the
standard's. What makes an invoice unfit is in `invoice_checks.py`.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import to_places
from ledger.domain.tax_categories import CATEGORIES

NOTHING = Decimal("0.00")
# Category and rate, which lines are summed by; category O has no rate.
TaxKey = tuple[str, Decimal | None]
IBAN = re.compile("[A-Z]{2}[0-9]{2}[A-Z0-9]{10,30}")


@dataclass(frozen=True)
class Address:
    """A postal address; `country` is a code of ISO 3166-1, two capitals."""

    country: str
    lines: tuple[str, ...] = ()
    postcode: str = ""
    city: str = ""
    region: str = ""

    @property
    def three_lines(self) -> tuple[str, str, str]:
        """The lines as the standard takes them (BT-35, 36, 162): the third has all the rest."""
        first, second, *rest = (*filter(str.strip, self.lines), "", "")
        return first, second, ", ".join(filter(None, rest))


@dataclass(frozen=True)
class ElectronicAddress:
    """Where a party takes electronic invoices: an identifier, and its scheme of the EAS list."""

    scheme: str
    identifier: str


@dataclass(frozen=True)
class Party:
    """Seller or buyer.

    `tax_number` is the one of value added tax, with its country before it; `tax_registration` is
    any other that a seller must show, `registration` the number in a register of companies.
    """

    name: str
    address: Address
    tax_number: str = ""
    tax_registration: str = ""
    registration: str = ""
    electronic: ElectronicAddress | None = None


def tax_key(category: str, rate: Decimal) -> TaxKey:
    """Return what lines of a category and rate are summed by."""
    return category, None if category == "O" else rate


def taxed(amounts: Iterable[tuple[TaxKey, Decimal]]) -> dict[TaxKey, tuple[Decimal, Decimal]]:
    """Return base and tax of each category and rate, in the order they come; tax rounded once."""
    bases: dict[TaxKey, Decimal] = {}
    for key, amount in amounts:
        bases[key] = bases.get(key, NOTHING) + amount
    return {
        key: (base, to_places(Fraction(base) * Fraction(key[1] or 0) / 100, 2))
        for key, base in bases.items()
    }


@dataclass(frozen=True)
class InvoiceLine:
    """What is charged: quantity x unit price. What is omitted has a quantity below zero.

    `unit` is a code of UN/ECE Recommendation 20; `rate` is a percentage, 0 where no tax is due and
    of no meaning in category O.
    """

    description: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    category: str = "S"
    rate: Decimal = NOTHING
    detail: str = ""

    @property
    def amount(self) -> Decimal:
        """Its amount without tax (BT-131), to two places, half away from zero."""
        return to_places(Fraction(self.quantity) * Fraction(self.unit_price), 2)

    @property
    def tax_key(self) -> TaxKey:
        """What it is summed by."""
        return tax_key(self.category, self.rate)


@dataclass(frozen=True)
class PaymentTerms:
    """How it is to be paid: terms in words, the account (an IBAN or another), and a reference."""

    terms: str = ""
    account: str = ""
    account_name: str = ""
    bank: str = ""  # Its identifier, ISO 9362 (BIC).
    reference: str = ""

    @property
    def number(self) -> str:
        """The account as files have it, without the spaces of print."""
        return "".join(self.account.split())

    @property
    def is_iban(self) -> bool:
        """Whether the account looks like an IBAN (ISO 13616)."""
        return bool(IBAN.fullmatch(self.number))


@dataclass(frozen=True)
class Delivery:
    """When and to which country: on a day, or over a period."""

    on: date | None = None
    starts: date | None = None
    ends: date | None = None
    country: str = ""


@dataclass(frozen=True)
class References:
    """The buyer's: purchase order, own reference and contract."""

    purchase_order: str = ""
    buyer_reference: str = ""
    contract: str = ""


@dataclass(frozen=True)
class Preceding:
    """An invoice that this one credits or follows."""

    number: str
    issued_on: date


@dataclass(frozen=True)
class Exemption:
    """Why a category bears no tax: in words, by a code of the VATEX list, or both."""

    category: str
    reason: str = ""
    code: str = ""


@dataclass(frozen=True)
class Accounting:
    """The seller's own currency, and what one unit of the invoice's currency is in it, as typed."""

    currency: str
    rate: Decimal | None = None
    source: str = ""  # Whose rate of which day, as the page says it.


@dataclass(frozen=True)
class Invoice:
    """An invoice, or a credit note whose quantities are those credited.

    It bears its own increment alone: no earlier invoice is a prepaid amount of it, and what is
    deducted (an advance recovered, an omission) is a line below zero, with its tax.
    """

    number: str
    issued_on: date
    due_on: date | None
    currency: str
    seller: Party
    buyer: Party
    lines: tuple[InvoiceLine, ...]
    payment: PaymentTerms = PaymentTerms()
    references: References = References()
    delivery: Delivery = Delivery()
    exemptions: tuple[Exemption, ...] = ()
    preceding: tuple[Preceding, ...] = ()
    accounting: Accounting | None = None
    notes: tuple[str, ...] = ()
    is_credit: bool = False

    @property
    def kind(self) -> str:
        """What it is called: an invoice or a credit note."""
        return "credit note" if self.is_credit else "invoice"

    @property
    def is_in_foreign_currency(self) -> bool:
        return self.accounting is not None and self.accounting.currency != self.currency

    def exemption(self, category: str) -> Exemption | None:
        """Return why the category bears no tax, None where the standard asks no reason."""
        of = CATEGORIES[category]
        if not of.gives_reason:
            return None
        typed = next((each for each in self.exemptions if each.category == category), None)
        return typed or Exemption(category, of.usual_reason)


@dataclass(frozen=True)
class TaxSubtotal:
    """The tax of one category and rate, reckoned on the sum of its lines (BG-23)."""

    category: str
    rate: Decimal | None
    taxable: Decimal
    tax: Decimal
    exemption: Exemption | None


@dataclass(frozen=True)
class Totals:
    """The totals of an invoice, each to two places.

    Allowances, charges, amounts paid before and roundings (BT-107, 108, 113, 114) do not occur:
    they would hide what a line shows.
    """

    lines: Decimal  # BT-106
    tax: Decimal  # BT-110
    subtotals: tuple[TaxSubtotal, ...]
    tax_in_accounting: Decimal | None = None  # BT-111

    @property
    def net(self) -> Decimal:
        """Without tax (BT-109)."""
        return self.lines

    @property
    def gross(self) -> Decimal:
        """With tax (BT-112)."""
        return self.net + self.tax

    @property
    def due(self) -> Decimal:
        """What is to be paid (BT-115)."""
        return self.gross


def totals(invoice: Invoice) -> Totals:
    """Return the totals: tax by category and rate on the summed base, rounded once.

    Raises: KeyError for a category that `invoice_checks` would refuse.
    """
    subtotals = tuple(_subtotals(invoice))
    tax = sum((each.tax for each in subtotals), NOTHING)
    return Totals(
        lines=sum((line.amount for line in invoice.lines), NOTHING),
        tax=tax,
        subtotals=subtotals,
        tax_in_accounting=_in_accounting(invoice, tax),
    )


def _subtotals(invoice: Invoice) -> Iterable[TaxSubtotal]:
    """Yield the tax of each category and rate, in the order they come on the lines."""
    sums = taxed((line.tax_key, line.amount) for line in invoice.lines)
    for (category, rate), (base, tax) in sums.items():
        yield TaxSubtotal(category, rate, base, tax, invoice.exemption(category))


def _in_accounting(invoice: Invoice, tax: Decimal) -> Decimal | None:
    """Return the tax in the seller's own currency where that is another."""
    if not invoice.is_in_foreign_currency or invoice.accounting is None:
        return None
    assert invoice.accounting.rate is not None, "a missing rate is refused before"
    return to_places(Fraction(tax) * Fraction(invoice.accounting.rate), 2)
