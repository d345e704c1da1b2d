"""Wrong invoices: a right file with one thing changed, and the official rule that must say so."""

from dataclasses import dataclass

from ledger.reports.invoices.xml import cii, ubl
from tests.reports.invoices._yard import KINDS

Change = tuple[str, str]


@dataclass(frozen=True)
class Mutant:
    """What is changed in the UBL and in the CII file of one kind of invoice."""

    rule: str
    what: str
    kind: str
    in_ubl: Change
    in_cii: Change
    rule_in_cii: str = ""

    def files(self) -> tuple[bytes, bytes]:
        """Return both files, each with its change made."""
        right = KINDS[self.kind]
        return changed(ubl(right), self.in_ubl), changed(cii(right), self.in_cii)


def changed(file: bytes, change: Change) -> bytes:
    """Return the file with the first place changed."""
    old, new = change
    text = file.decode()

    assert old in text, old
    return text.replace(old, new, 1).encode()


def amount(name: str, right: str, wrong: str) -> Change:
    return (
        f'<cbc:{name} currencyID="EUR">{right}</cbc:{name}>',
        f'<cbc:{name} currencyID="EUR">{wrong}</cbc:{name}>',
    )


def element(name: str, right: str, wrong: str) -> Change:
    return f"<ram:{name}>{right}</ram:{name}>", f"<ram:{name}>{wrong}</ram:{name}>"


def without(text: str) -> Change:
    return text, ""


DAYWORK = "daywork with omission"
TAX_TOTAL = (
    '<ram:TaxTotalAmount currencyID="EUR">391.42',
    '<ram:TaxTotalAmount currencyID="EUR">391.43',
)
MUTANTS = (
    Mutant(
        "BR-CO-10",
        "the lines do not add up to their total",
        DAYWORK,
        (
            '<cac:LegalMonetaryTotal>\n    <cbc:LineExtensionAmount currencyID="EUR">1863.90',
            '<cac:LegalMonetaryTotal>\n    <cbc:LineExtensionAmount currencyID="EUR">1863.91',
        ),
        (
            "HeaderMonetarySummation>\n        <ram:LineTotalAmount>1863.90",
            "HeaderMonetarySummation>\n        <ram:LineTotalAmount>1863.91",
        ),
    ),
    Mutant(
        "BR-CO-13",
        "the total without tax is not that of the lines",
        DAYWORK,
        amount("TaxExclusiveAmount", "1863.90", "1863.80"),
        element("TaxBasisTotalAmount", "1863.90", "1863.80"),
    ),
    Mutant(
        "BR-CO-14",
        "the tax is not the sum of its subtotals",
        DAYWORK,
        amount("TaxAmount", "391.42", "391.43"),
        TAX_TOTAL,
    ),
    Mutant(
        "BR-CO-15",
        "the total with tax is not total plus tax",
        DAYWORK,
        amount("TaxInclusiveAmount", "2255.32", "2255.33"),
        element("GrandTotalAmount", "2255.32", "2255.33"),
    ),
    Mutant(
        "BR-CO-16",
        "what is due is not the total with tax",
        DAYWORK,
        amount("PayableAmount", "2255.32", "2255.30"),
        element("DuePayableAmount", "2255.32", "2255.30"),
    ),
    Mutant(
        "BR-CO-17",
        "the tax of a category is more than one unit off",
        DAYWORK,
        (
            '<cbc:TaxableAmount currencyID="EUR">1863.90</cbc:TaxableAmount>\n'
            '      <cbc:TaxAmount currencyID="EUR">391.42',
            '<cbc:TaxableAmount currencyID="EUR">1863.90</cbc:TaxableAmount>\n'
            '      <cbc:TaxAmount currencyID="EUR">381.42',
        ),
        element("CalculatedAmount", "391.42", "381.42"),
    ),
    Mutant(
        "BR-S-08",
        "the base of a category is not the sum of its lines",
        DAYWORK,
        amount("TaxableAmount", "1863.90", "1763.90"),
        element("BasisAmount", "1863.90", "1763.90"),
    ),
    Mutant(
        "BR-27",
        "a price is below zero",
        DAYWORK,
        amount("PriceAmount", "68.40", "-68.40"),
        element("ChargeAmount", "68.40", "-68.40"),
    ),
    Mutant(
        "BR-S-05",
        "a line at the standard rate has none",
        DAYWORK,
        (
            "<cac:ClassifiedTaxCategory>\n        <cbc:ID>S</cbc:ID>\n"
            "        <cbc:Percent>21</cbc:Percent>",
            "<cac:ClassifiedTaxCategory>\n        <cbc:ID>S</cbc:ID>\n"
            "        <cbc:Percent>0</cbc:Percent>",
        ),
        element("RateApplicablePercent", "21", "0"),
    ),
    Mutant(
        "BR-CL-23",
        "a unit is in no code list",
        DAYWORK,
        ('unitCode="HUR"', 'unitCode="HOURS"'),
        ('unitCode="HUR"', 'unitCode="HOURS"'),
        "FX-SCH-A-000613",
    ),
    Mutant(
        "BR-CO-09",
        "a tax number has no country before it",
        DAYWORK,
        ("<cbc:CompanyID>NL1234", "<cbc:CompanyID>991234"),
        ('schemeID="VA">NL1234', 'schemeID="VA">991234'),
    ),
    Mutant(
        "BR-E-10",
        "nothing says why no tax is due",
        "exempt, in words alone",
        without("<cbc:TaxExemptionReason>Exempt: article 11, paragraph 1</cbc:TaxExemptionReason>"),
        without("<ram:ExemptionReason>Exempt: article 11, paragraph 1</ram:ExemptionReason>"),
    ),
    Mutant(
        "BR-Z-10",
        "a zero rate has a reason",
        "zero rate",
        (
            "<cbc:Percent>0</cbc:Percent>\n",
            "<cbc:Percent>0</cbc:Percent><cbc:TaxExemptionReason>None</cbc:TaxExemptionReason>\n",
        ),
        (
            "<ram:TypeCode>VAT</ram:TypeCode>\n        <ram:BasisAmount>",
            "<ram:TypeCode>VAT</ram:TypeCode>"
            "<ram:ExemptionReason>None</ram:ExemptionReason>\n        <ram:BasisAmount>",
        ),
    ),
    Mutant(
        "BR-AE-02",
        "a reverse charge names no tax number of the buyer",
        "reverse charge",
        without(
            "<cac:PartyTaxScheme><cbc:CompanyID>DE123456788</cbc:CompanyID>"
            "<cac:TaxScheme><cbc:ID>VAT</cbc:ID></cac:TaxScheme></cac:PartyTaxScheme>"
        ),
        without(
            '<ram:SpecifiedTaxRegistration><ram:ID schemeID="VA">DE123456788</ram:ID>'
            "</ram:SpecifiedTaxRegistration>"
        ),
    ),
    Mutant(
        "BR-IC-11",
        "an intra-Community supply has no date",
        "intra-community",
        without("<cbc:ActualDeliveryDate>2026-05-29</cbc:ActualDeliveryDate>"),
        without(
            "<ram:ActualDeliverySupplyChainEvent><ram:OccurrenceDateTime>"
            '<udt:DateTimeString format="102">20260529</udt:DateTimeString>'
            "</ram:OccurrenceDateTime>\n      </ram:ActualDeliverySupplyChainEvent>"
        ),
    ),
    Mutant(
        "BR-IC-12",
        "an intra-Community supply has no country of delivery",
        "intra-community",
        without(
            "<cac:DeliveryLocation><cac:Address><cac:Country><cbc:IdentificationCode>DE"
            "</cbc:IdentificationCode></cac:Country></cac:Address></cac:DeliveryLocation>"
        ),
        without(
            "<ram:ShipToTradeParty><ram:PostalTradeAddress><ram:CountryID>DE</ram:CountryID>\n"
            "        </ram:PostalTradeAddress></ram:ShipToTradeParty>"
        ),
    ),
    Mutant(
        "BR-O-02",
        "not subject to tax, and a tax number",
        "not subject",
        (
            "<cac:PartyLegalEntity>",
            "<cac:PartyTaxScheme><cbc:CompanyID>NL123456782B90</cbc:CompanyID>"
            "<cac:TaxScheme><cbc:ID>VAT</cbc:ID></cac:TaxScheme></cac:PartyTaxScheme>"
            "<cac:PartyLegalEntity>",
        ),
        (
            "</ram:SellerTradeParty>",
            '<ram:SpecifiedTaxRegistration><ram:ID schemeID="VA">NL123456782B90</ram:ID>'
            "</ram:SpecifiedTaxRegistration></ram:SellerTradeParty>",
        ),
    ),
    Mutant(
        "BR-53",
        "the tax is not stated in the yard's currency",
        "foreign currency",
        without(
            '<cac:TaxTotal>\n    <cbc:TaxAmount currencyID="EUR">33.35</cbc:TaxAmount>\n'
            "  </cac:TaxTotal>"
        ),
        without('<ram:TaxTotalAmount currencyID="EUR">33.35</ram:TaxTotalAmount>'),
    ),
)
