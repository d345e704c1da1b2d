"""Changes priced by percentages, against amounts worked by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.changes.daywork_terms import DayworkTerms

# Hours and hourly rate as printed in the Definition of Prime Cost of Daywork (RICS and
# Construction Confederation, rates of 6 April 2012); percentages and sums worked by hand.
AGREED = DayworkTerms(
    {"labour": Decimal(120), "material": Decimal(15), "plant": Decimal(10)}, "rate"
)
DAYWORK = [
    # 37.5 h x 13.15 x 2.20 = 1,084.875
    ("labour", Fraction("37.5") * Fraction("13.15"), "1084.88"),
    ("material", Fraction(640), "736.00"),
    ("plant", Fraction(85), "93.50"),
    # No percentage is agreed for it.
    ("subcontract", Fraction(100), "100.00"),
]


@pytest.mark.parametrize(("price_kind", "prime_cost", "charged"), DAYWORK)
def test_prime_cost_takes_the_percentage_of_its_kind(
    price_kind: str, prime_cost: Fraction, charged: str
) -> None:
    """Prime cost with its percentage is rounded once, half away from zero."""
    assert AGREED.charged(price_kind, prime_cost) == Decimal(charged)
