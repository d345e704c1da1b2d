"""Tax categories of an invoice, and what each asks for.

Source: EN 16931-1, the value added tax categories of UNTDID 5305 and the business rules BR-S, BR-Z,
BR-E, BR-AE, BR-G, BR-IC and BR-O.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class TaxCategory:
    """A category: its name, whether it is taxed, and what must stand on an invoice that has it.

    `usual_reason` is the reason where the standard has one; "" where the yard types it, or where
    there is none. `gives_reason` is whether one is due.
    """

    code: str
    name: str
    taxed: bool = False
    gives_reason: bool = True
    usual_reason: str = ""
    buyer_number: bool = False
    delivery: bool = False


CATEGORIES = {
    each.code: each
    for each in (
        TaxCategory("S", "Standard rate", taxed=True, gives_reason=False),
        TaxCategory("Z", "Zero rate", gives_reason=False),
        TaxCategory("E", "Exempt"),
        TaxCategory("AE", "Reverse charge", usual_reason="Reverse charge", buyer_number=True),
        TaxCategory(
            "K",
            "Intra-Community supply",
            usual_reason="Intra-Community supply",
            buyer_number=True,
            delivery=True,
        ),
        TaxCategory("G", "Export", usual_reason="Export outside the EU"),
        TaxCategory("O", "Not subject to tax", usual_reason="Not subject to VAT"),
    )
}
