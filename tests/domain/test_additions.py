"""Percentages added to a price: they foot, compound is not less than additive, margins return."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.domain.additions import Base, add, margin_of, mark_up_of, spread_over
from ledger.domain.pricing import METHODS, PRICE_KINDS, Addition, money_of
from tests.conftest import slow_beyond

AMOUNTS = st.integers(0, 10**9).map(lambda units: Fraction(units, 3000))
SIGNED = st.integers(-(10**9), 10**9).map(lambda units: Fraction(units, 3000))
PERCENTS = st.integers(0, 999_999).map(lambda units: Decimal(units).scaleb(-4))
KINDS = st.sampled_from(PRICE_KINDS)
ADDITIONS = st.builds(
    Addition,
    PERCENTS,
    st.sampled_from(("cost", "price")),
    st.sets(KINDS, max_size=3).map(tuple),
    st.sampled_from(METHODS),
)


def bases(amounts: Sequence[tuple[str, Fraction]]) -> list[Base]:
    """Return lines of given kinds and amounts, nothing added to them yet."""
    return [Base(kind, amount, amount) for kind, amount in amounts]


@pytest.mark.parametrize("examples", slow_beyond(1, [10, 200]))
def test_selling_prices_foot_to_the_price(examples: int) -> None:
    """Lines with what is added spread over them add to the price, to the cent."""

    @settings(max_examples=examples, deadline=None, database=None)
    @given(
        st.lists(st.tuples(KINDS, SIGNED), min_size=1, max_size=6),
        st.lists(ADDITIONS, max_size=4),
    )
    def foots(amounts: list[tuple[str, Fraction]], additions: list[Addition]) -> None:
        lines = bases(amounts)
        printed = [money_of(each.amount) for each in lines]
        exact = sum((each.amount for each in lines), Fraction(0))
        for addition in additions:
            if found := add(lines, addition):
                printed.append(money_of(found[1]))
                exact += found[1]
        price = sum(printed, Decimal("0.00"))
        sold = spread_over(lines, price)

        assert sum(sold) == price
        assert sum(each.with_additions for each in lines) == exact
        for line, amount in zip(lines, sold, strict=True):
            if any(each.has_additions for each in lines) and not line.has_additions:
                assert amount == money_of(line.amount)
            assert abs(Fraction(amount) - line.with_additions) <= Fraction(len(printed) + 1, 100)

    foots()


@pytest.mark.parametrize("examples", slow_beyond(1, [10, 200]))
def test_additive_is_not_more_than_compound(examples: int) -> None:
    """On what is added to the contract, percentages on percentages come to as much or more."""

    @settings(max_examples=examples, deadline=None, database=None)
    @given(
        st.lists(st.tuples(KINDS, AMOUNTS), min_size=1, max_size=6),
        st.lists(st.tuples(PERCENTS, st.sampled_from(("cost", "price"))), max_size=4),
    )
    def is_not_more(
        amounts: list[tuple[str, Fraction]], percents: list[tuple[Decimal, str]]
    ) -> None:
        totals = []
        for method in METHODS:
            lines = bases(amounts)
            for percent, on in percents:
                add(lines, Addition(percent, on, method=method))
            totals.append(sum(each.with_additions for each in lines))

        assert totals[0] <= totals[1]

    is_not_more()


@pytest.mark.parametrize("examples", slow_beyond(1, [10, 200]))
def test_a_mark_up_and_its_margin_add_the_same(examples: int) -> None:
    """A mark-up turned into the margin that it makes, and back, is the same, and adds the same."""

    @settings(max_examples=examples, deadline=None, database=None)
    @given(AMOUNTS, st.integers(0, 5_000_000).map(lambda units: Fraction(units, 10_000)))
    def returns(cost: Fraction, mark_up: Fraction) -> None:
        margin = margin_of(mark_up)

        assert margin is not None
        assert mark_up_of(margin) == mark_up
        # What is a percent of cost is another percent of the price, and the same money.
        price = cost * (1 + mark_up / 100)
        assert price * margin / 100 == cost * mark_up / 100

    returns()


def test_a_mark_up_of_25_is_a_margin_of_20() -> None:
    """The two are kept apart: 25 % of cost is 20 % of price."""
    assert margin_of(Fraction(25)) == 20
    assert mark_up_of(Fraction(20)) == 25
    assert Addition(Decimal(25)).amount_on(Fraction(100)) == 25
    assert Addition(Decimal(20), "price").amount_on(Fraction(100)) == 25
