"""What may be claimed, as a table for people."""

import re
from datetime import date
from decimal import Decimal

import pytest

from ledger.billing.certified import Certified
from ledger.billing.claimable import Claimable
from ledger.cli.claim_tables import claimable_table
from ledger.domain.claims import ClaimLine, ClaimTerms, claim_sums

DAY, SUM = date(2026, 3, 13), Decimal("1000.00")

# Quantity, unit and unit price as the book keeps them, and what is printed.
QUANTITIES = [
    ("8.000000", "h", "50.000000", "8.00 h x 50.00"),
    ("0.250000", "h", "50.125000", "0.25 h x 50.125"),
    ("2.000000", "day", "100.000000", "2 day x 100.00"),
    ("0.500000", "kg", "12.125000", "0.5 kg x 12.125"),
    ("50.000000", "", None, "50 %"),
    ("33.500000", "", None, "33.5 %"),
]


def test_quantities_are_printed_without_the_places_they_do_not_need(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Hours and prices have two decimals at least, days and percentages those that they have."""
    lines = tuple(
        ClaimLine(
            "daywork",
            "D1",
            "Work",
            SUM,
            quantity=Decimal(quantity),
            unit=unit,
            unit_price=Decimal(price) if price else None,
        )
        for quantity, unit, price, _ in QUANTITIES
    )
    sums = claim_sums(ClaimTerms(), SUM, lines, DAY)
    claimable_table(Claimable("J", DAY, "EUR", SUM, lines, (), sums, Certified()), "table")
    rows = capsys.readouterr().out.splitlines()[1 : len(lines) + 1]

    assert [re.split(" {2,}", row)[3] for row in rows] == [text for *_, text in QUANTITIES]
