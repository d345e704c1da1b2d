"""What the official rules do not reckon: read back from a finished file, to the cent.

They let pass a line that is not quantity x price, a tax wrong by less than one unit of the
currency, and an invoice without a due date whose terms are in words.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from ledger.domain.allocation import to_places
from ledger.errors import Refused

UBL = {
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}
CII = {"ram": "urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100"}

CREDIT_NOTE = "381"  # UNTDID 1001.


@dataclass(frozen=True)
class Places:
    """Where a kind of file has the figures: of a line, of a tax subtotal, of the whole."""

    names: dict[str, str]
    line: str
    quantity: str
    price: str
    amount: str
    line_category: str
    line_rate: str
    subtotal: str
    base: str
    rate: str
    tax: str
    category: str
    due: str
    due_on: str


def _ubl(kind: str, quantity: str) -> Places:
    return Places(
        names=UBL,
        line=f"cac:{kind}Line",
        quantity=f"cbc:{quantity}",
        price="cac:Price/cbc:PriceAmount",
        amount="cbc:LineExtensionAmount",
        line_category="cac:Item/cac:ClassifiedTaxCategory/cbc:ID",
        line_rate="cac:Item/cac:ClassifiedTaxCategory/cbc:Percent",
        subtotal="cac:TaxTotal/cac:TaxSubtotal",
        base="cbc:TaxableAmount",
        rate="cac:TaxCategory/cbc:Percent",
        tax="cbc:TaxAmount",
        category="cac:TaxCategory/cbc:ID",
        due="cac:LegalMonetaryTotal/cbc:PayableAmount",
        due_on="cbc:DueDate",
    )


SETTLED = "ram:SpecifiedLineTradeSettlement"
WHOLE = "ram:ApplicableHeaderTradeSettlement"
PLACES = {
    "Invoice": _ubl("Invoice", "InvoicedQuantity"),
    "CreditNote": _ubl("CreditNote", "CreditedQuantity"),
    "CrossIndustryInvoice": Places(
        names=CII,
        line=".//ram:IncludedSupplyChainTradeLineItem",
        quantity="ram:SpecifiedLineTradeDelivery/ram:BilledQuantity",
        price="ram:SpecifiedLineTradeAgreement/ram:NetPriceProductTradePrice/ram:ChargeAmount",
        amount=f"{SETTLED}/ram:SpecifiedTradeSettlementLineMonetarySummation/ram:LineTotalAmount",
        line_category=f"{SETTLED}/ram:ApplicableTradeTax/ram:CategoryCode",
        line_rate=f"{SETTLED}/ram:ApplicableTradeTax/ram:RateApplicablePercent",
        subtotal=f".//{WHOLE}/ram:ApplicableTradeTax",
        base="ram:BasisAmount",
        rate="ram:RateApplicablePercent",
        tax="ram:CalculatedAmount",
        category="ram:CategoryCode",
        due=f".//{WHOLE}/ram:SpecifiedTradeSettlementHeaderMonetarySummation/ram:DuePayableAmount",
        due_on=f".//{WHOLE}/ram:SpecifiedTradePaymentTerms/ram:DueDateDateTime",
    ),
}


class _File:
    """The figures of a file, by their places."""

    def __init__(self, file: bytes) -> None:
        self.root = ElementTree.fromstring(file)
        self.at = PLACES[self.root.tag.rpartition("}")[2]]

    @property
    def is_credit(self) -> bool:
        code = self.root.findtext("{*}ExchangedDocument/{*}TypeCode")
        return self.root.tag.endswith("CreditNote") or code == CREDIT_NOTE

    def all(self, path: str) -> list[Element]:
        return self.root.findall(path, self.at.names)

    def text(self, within: Element, path: str) -> str:
        return within.findtext(path, "", self.at.names).strip()

    def figure(self, within: Element, path: str) -> Decimal:
        """Return the figure there, 0 where there is none: a category without a rate."""
        return Decimal(self.text(within, path) or 0)


def refuse_misreckoned(number: str, file: bytes) -> None:
    """Raise Refused with every figure of an invoice's file that is not what it must be."""
    if faults := tuple(misreckoned(file)):
        raise Refused("invoice_unfit", number=number, faults=faults)


def misreckoned(file: bytes) -> Iterator[Refused]:
    """Yield each line, tax and due date of a file (UBL or CII) that is not as reckoned here."""
    read = _File(file)
    sums: dict[tuple[str, Decimal], Decimal] = {}
    for number, line in enumerate(read.all(read.at.line), start=1):
        stated = read.figure(line, read.at.amount)
        quantity, price = read.figure(line, read.at.quantity), read.figure(line, read.at.price)
        right = to_places(Fraction(quantity) * Fraction(price), 2)
        if stated != right:
            yield Refused("invoice_line_misreckoned", line=number, stated=stated, right=right)
        key = read.text(line, read.at.line_category), read.figure(line, read.at.line_rate)
        sums[key] = sums.get(key, Decimal(0)) + stated
    yield from _about_tax(read, sums)
    due = read.figure(read.root, read.at.due)
    if due > 0 and not read.is_credit and not read.all(read.at.due_on):
        yield Refused("invoice_undated", due=due)


def _about_tax(read: _File, sums: dict[tuple[str, Decimal], Decimal]) -> Iterator[Refused]:
    """Yield each subtotal whose base is not the sum of its lines, or whose tax is not of it."""
    for each in read.all(read.at.subtotal):
        category, rate = read.text(each, read.at.category), read.figure(each, read.at.rate)
        base, tax = read.figure(each, read.at.base), read.figure(each, read.at.tax)
        summed = sums.get((category, rate), Decimal(0))
        right = to_places(Fraction(summed) * Fraction(rate) / 100, 2)
        if base != summed:
            yield Refused(
                "invoice_base_misreckoned", category=category, rate=rate, stated=base, right=summed
            )
        elif tax != right:
            yield Refused(
                "invoice_tax_misreckoned", category=category, rate=rate, stated=tax, right=right
            )
