"""Whatever a price is made up of, what the yard and the owner read adds to one amount."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Any, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.changes.priced_lines import ExactLine, addition_of, exact_line, priced_lines
from ledger.changes.provisional_sums import omission_lines
from ledger.changes.rows import KnownPriceLine
from ledger.domain.pricing import METHODS, ON, PRICE_KINDS
from tests.conftest import slow_beyond

PERCENTS = st.integers(0, 999_999).map(lambda units: Decimal(units).scaleb(-4))
BLANK: dict[str, Any] = dict.fromkeys(
    ("description", "unit", "addition_percent", "addition_on", "addition_of", "addition_method")
) | {"provisional_sum": None}


def of_kinds(kinds: Iterable[str]) -> str | None:
    """Return price kinds as they are kept, None of all."""
    given = set(kinds)
    return ",".join(kind for kind in PRICE_KINDS if kind in given) or None


LINES = st.fixed_dictionaries(
    {
        "price_kind": st.sampled_from(PRICE_KINDS),
        "quantity": st.integers(-(10**7), 10**7).map(lambda units: Decimal(units).scaleb(-3)),
        "unit_price": st.integers(0, 10**7).map(lambda units: Decimal(units).scaleb(-4)),
        "addition_percent": st.none() | PERCENTS,
        "addition_on": st.sampled_from(ON),
        "provisional_sum": st.sampled_from((None, "Winch", "Crane")),
    }
)
ADDITIONS = st.fixed_dictionaries(
    {
        "price_kind": st.just("addition"),
        "addition_percent": PERCENTS,
        "addition_on": st.sampled_from(ON),
        "addition_of": st.sets(st.sampled_from(PRICE_KINDS)).map(of_kinds),
        "addition_method": st.sampled_from(METHODS),
    }
)


def made(row: KnownPriceLine) -> list[ExactLine]:
    """Return a line priced by its quantity."""
    assert row["quantity"] is not None
    assert row["unit_price"] is not None
    base = Fraction(row["quantity"]) * Fraction(row["unit_price"])
    quantity, unit_price = row["quantity"], row["unit_price"]
    return [exact_line(row, base, addition_of(row), quantity=quantity, unit_price=unit_price)]


@pytest.mark.parametrize("examples", slow_beyond(1, [10, 200]))
def test_lines_foot_to_the_price(examples: int) -> None:
    """The yard's lines, the owner's, and what is spent of sums all come from one price."""

    @settings(max_examples=examples, deadline=None, database=None)
    @given(st.lists(LINES | ADDITIONS, min_size=1, max_size=8), st.booleans())
    def foot(rows: list[dict[str, Any]], carry: bool) -> None:
        whole = [cast(KnownPriceLine, {**BLANK, **row}) for row in rows]
        if not any(row["price_kind"] != "addition" for row in whole):
            return
        priced = priced_lines(whole, made, on_omissions=carry)
        price = sum((line.amount for line in priced.lines), Decimal("0.00"))
        named = [line for line, row in zip(priced.selling, _typed(whole), strict=True)
                 if row["provisional_sum"]]  # fmt: skip

        assert sum(line.amount for line in priced.selling) == price
        assert sum(priced.spent.values()) == sum(line.amount for line in named)
        left = {"Winch": Decimal("500.00"), "Crane": Decimal("0.00")}
        for line in omission_lines(priced.spent, left):
            assert -line.amount <= left[line.description]
            assert -line.amount + line.beyond_sum == priced.spent[line.description]

    foot()


def _typed(rows: Iterable[KnownPriceLine]) -> list[KnownPriceLine]:
    return [row for row in rows if row["price_kind"] != "addition"]
