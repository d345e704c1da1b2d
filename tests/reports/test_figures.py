"""Figures are shown exactly, and parts add up as shown."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.allocation import shown_adding_to
from ledger.reports.figures import hours, number_text

DAY = 86_400_000
DURATIONS = st.integers(min_value=-400 * DAY, max_value=400 * DAY)


@pytest.mark.parametrize(
    ("ms", "expected"),
    [
        (0, "0.00"),
        (3_600_000, "1.00"),
        (17_999, "0.00"),
        (18_000, "0.01"),  # Half a hundredth goes away from zero.
        (-18_000, "-0.01"),
        (-17_999, "0.00"),
        (1_200_000, "0.33"),
    ],
)
def test_hours_are_rounded_half_away_from_zero(ms: int, expected: str) -> None:
    """An hour figure has two decimals, a half going away from zero."""
    assert hours(ms) == Decimal(expected)
    assert str(abs(hours(ms))) == expected.removeprefix("-")


@pytest.mark.parametrize(
    ("total", "parts", "expected"),
    [
        # Three thirds of an hour: 0.33 1/3 each, the odd hundredth to the first.
        ("1.00", [1_200_000] * 3, ["0.34", "0.33", "0.33"]),
        # -0.33 1/3 rounds down to -0.34, whose fraction of 2/3 is the largest: it gets 0.01.
        ("0.00", [-1_200_000, 1_200_000], ["-0.33", "0.33"]),
        ("0.02", [36_000, 0, 36_000], ["0.01", "0.00", "0.01"]),
        ("0.00", [], []),
        # A total rounded elsewhere: one hundredth less than its parts.
        ("0.01", [36_000, 36_000], ["0.01", "0.00"]),
    ],
)
def test_parts_add_to_the_total(total: str, parts: list[int], expected: list[str]) -> None:
    """Left over hundredths go to the largest fractions."""
    actual = shown_adding_to(Decimal(total), parts)

    assert actual == [Decimal(text) for text in expected]


@given(st.lists(DURATIONS, min_size=1, max_size=30))
def test_parts_always_add_and_stay_near(parts: list[int]) -> None:
    """Parts shown add to the total shown, each off by less than a hundredth, nil by nothing."""
    total = hours(sum(parts))
    actual = shown_adding_to(total, parts)
    strayed = [
        part
        for part, shown in zip(parts, actual, strict=True)
        if abs(shown * 3_600_000 - part) >= 36_000
    ]
    raised = [shown for part, shown in zip(parts, actual, strict=True) if part == 0 and shown]

    assert sum(actual) == total
    assert strayed == []
    assert raised == []


@pytest.mark.parametrize(
    ("value", "signed", "expected"),
    [
        (Decimal("1480000.00"), False, "1 480 000.00"),
        (Decimal("-9420.00"), False, "−9 420.00"),
        (Decimal("590.00"), True, "+590.00"),
        (Decimal("-86.00"), True, "−86.00"),
        (Decimal("0.00"), True, "0.00"),
        (Decimal("-0.00"), True, "0.00"),
        (Decimal("1250"), False, "1 250"),
        (Decimal("0.125"), False, "0.125"),
        (12_345, False, "12 345"),
        (-1, False, "−1"),
    ],
)
def test_numbers_are_shown_in_groups_with_a_true_minus(
    value: Decimal | int, signed: bool, expected: str
) -> None:
    """Groups of three are set apart by a space that never breaks, the decimals are the number's."""
    actual = number_text(value, signed=signed)

    assert actual == expected.replace(" ", "\N{NO-BREAK SPACE}")
