"""Totals of an invoice, and which of its faults the official rules let pass.

Source of the formulas: EN 16931-1, BR-CO-10 to BR-CO-17 (BT-106 is the sum of BT-131, and so on).
The figures are ours, reckoned from them [C]: 31.75 h x 68.40 = 2,171.70; -4.5 h x 68.40 = -307.80;
net 1,863.90; 21 % = 391.419; due 2,255.32.
"""

import re
from decimal import Decimal

from ledger.domain.invoices import totals
from ledger.reports.invoices.xml import cii, ubl
from tests.reports.invoices._yard import HOURS, OMITTED, invoice


def test_an_invoice_with_an_omission() -> None:
    """The omission is a quantity below zero; its tax goes with it."""
    made = invoice(HOURS, OMITTED)
    of = totals(made)

    assert [line.amount for line in made.lines] == [Decimal("2171.70"), Decimal("-307.80")]
    assert (of.net, of.tax, of.due) == (Decimal("1863.90"), Decimal("391.42"), Decimal("2255.32"))


def test_the_files_say_the_same() -> None:
    """UBL and CII have these figures to the cent where the standard puts them."""
    made = invoice(HOURS, OMITTED)
    in_ubl = re.findall(r">(-?[0-9]+\.[0-9]{2})</cbc:\w*Amount>", ubl(made).decode())
    in_cii = re.findall(r">(-?[0-9]+\.[0-9]{2})</ram:\w*Amount>", cii(made).decode())

    # Tax, base and tax of its category; lines, net, gross, due; amount and price of each line.
    assert in_ubl == [
        *("391.42", "1863.90", "391.42"),
        *("1863.90", "1863.90", "2255.32", "2255.32"),
        *("2171.70", "68.40", "-307.80", "68.40"),
    ]
    # Price and amount of each line; tax and base of its category; lines, net, tax, gross, due.
    assert in_cii == [
        *("68.40", "2171.70", "68.40", "-307.80"),
        *("391.42", "1863.90"),
        *("1863.90", "1863.90", "391.42", "2255.32", "2255.32"),
    ]
