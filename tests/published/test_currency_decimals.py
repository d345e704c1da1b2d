"""Decimals of each currency.

Source: ISO 4217, list one of 2026-01-01 (minor units), as the package iso4217 carries it; it comes
with the extra "invoices".
"""

import pytest

from ledger.domain.currencies import CURRENCIES, places_of

iso4217 = pytest.importorskip("iso4217")


def test_a_currency_has_the_decimals_of_the_list() -> None:
    """Every currency that can be named has the decimals that its agency publishes."""
    published = {code: iso4217.Currency(code).exponent for code in CURRENCIES}

    assert {code: places_of(code) for code in CURRENCIES} == published
