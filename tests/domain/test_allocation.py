"""Whole amounts are split into whole parts that sum to them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.allocation import allocated, rounded, spread

ROUNDED = [("1/2", 1), ("-1/2", -1), ("1/3", 0), ("-2/3", -1), ("5/2", 3), ("-5/2", -3), ("4", 4)]


@pytest.mark.parametrize(("value", "whole"), ROUNDED)
def test_a_half_is_rounded_away_from_zero(value: str, whole: int) -> None:
    """The nearest whole number; a half goes away from zero on both sides."""
    assert rounded(Fraction(value)) == whole


ALLOCATED = [
    (10, [1, 1, 1], [4, 3, 3]),  # one odd unit, equal remainders: the first
    (11, [1, 1, 1], [4, 4, 3]),
    (10, [1, 2, 3], [2, 3, 5]),  # 1 2/3, 3 1/3, 5: the largest remainder
    (-10, [1, 2, 3], [-2, -3, -5]),
    (0, [3, 4], [0, 0]),
    (7, [0, 0], [7, 0]),
    (7, [0, 5], [0, 7]),
]


@pytest.mark.parametrize(("total", "weights", "parts"), ALLOCATED)
def test_odd_units_go_to_the_largest_remainder_then_to_the_first(
    total: int, weights: list[int], parts: list[int]
) -> None:
    """Odd units of a split go to the largest fraction, then to the first named."""
    assert allocated(total, weights) == parts


def test_nothing_to_split_over_is_an_error() -> None:
    """A split needs parts."""
    with pytest.raises(ValueError) as refused:
        allocated(1, [])

    assert str(refused.value) == "nothing to split over"


WEIGHTS = st.lists(st.integers(0, 10**12), min_size=1, max_size=20)
TOTALS = st.integers(-(10**15), 10**15)


@given(TOTALS, WEIGHTS)
def test_allocated_parts_sum_to_the_whole(total: int, weights: list[int]) -> None:
    """The parts sum to the whole, and each is within a unit of its exact share."""
    parts = allocated(total, weights)
    whole = sum(weights)

    assert sum(parts) == total
    if whole:
        for part, weight in zip(parts, weights, strict=True):
            assert abs(part - Fraction(total * weight, whole)) < 1


@given(TOTALS, WEIGHTS.filter(any))
def test_spread_parts_sum_to_the_whole(total: int, weights: list[int]) -> None:
    """The parts sum to the whole, and each running total is the rounded exact one."""
    parts = spread(total, weights)
    whole = sum(weights)

    assert sum(parts) == total
    for upto in range(1, len(weights) + 1):
        assert sum(parts[:upto]) == rounded(Fraction(total * sum(weights[:upto]), whole))


def test_spread_over_no_weight_is_nothing() -> None:
    """Without weight there is no part."""
    assert spread(5, [0, 0]) == []
