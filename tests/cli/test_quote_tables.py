"""A quote says in words what goes with hours that are taken out."""

from decimal import Decimal

import pytest

from ledger.cli.quote_tables import omission_words


@pytest.mark.parametrize(
    ("profit", "words"),
    [
        ("300.00", "priced 300.00 above their cost; that profit goes with them"),
        ("-215.40", "priced 215.40 below their cost; that loss goes with them"),
    ],
)
def test_hours_priced_below_their_cost_take_a_loss_with_them(profit: str, words: str) -> None:
    """Nothing is priced a negative amount above its cost."""
    assert omission_words(Decimal(profit)).endswith(words)
