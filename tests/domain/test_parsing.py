"""Text becomes a value exactly, or is refused with what to write."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain import parsing

HOUR = 3_600_000

ACCEPTED = [
    (parsing.parse_date, "2026-02-28", date(2026, 2, 28)),
    (parsing.parse_date, "2024-02-29", date(2024, 2, 29)),
    (parsing.parse_hours, "8", 8 * HOUR),
    (parsing.parse_hours, "7.5", 7 * HOUR + 1_800_000),
    (parsing.parse_hours, "0.00001", 36),
    (parsing.parse_hours, "7:05", 7 * HOUR + 300_000),
    (parsing.parse_hours, "7:05:09", 7 * HOUR + 309_000),
    (parsing.parse_hours, "-10", -10 * HOUR),
    (parsing.parse_hours, "-0:30", -1_800_000),
    (parsing.parse_decimal, "-0.000000001", Decimal("-0.000000001")),
    (parsing.parse_money, "1480000.00", Decimal("1480000.00")),
    (parsing.parse_money, "-1.2345", Decimal("-1.2345")),
    (parsing.parse_sum, "-270.500", Decimal("-270.5")),
    (parsing.parse_rate, "32.5", 325_000),
    (parsing.parse_percent, "100", Decimal(100)),
    (parsing.parse_percent, "0", Decimal(0)),
    (parsing.parse_share, "0.25", Decimal("0.25")),
    (parsing.parse_whole, "-12", -12),
    (parsing.parse_flag, "yes", True),
    (parsing.parse_flag, "no", False),
    (parsing.parse_flag, "Yes", True),
    (parsing.parse_flag, "TRUE", True),
    (parsing.parse_flag, "false", False),
]
CASES = [f"{parse.__name__}-{text}" for parse, text, _ in ACCEPTED]


@pytest.mark.parametrize(("parse", "text", "value"), ACCEPTED, ids=CASES)
def test_text_of_the_form_is_taken_exactly(
    parse: Callable[[str], Any], text: str, value: Any
) -> None:
    """Text of the documented form becomes the exact value."""
    actual = parse(text)

    assert (actual, type(actual)) == (value, type(value))


NO_DATE = '"{}" is not a date; write it as 2026-05-31'
NO_HOURS = '"{}" is not a valid duration; write hours as 7.5 or 7:30'
NO_DECIMAL = '"{}" is not a decimal number; write it as 1234.50'
REFUSED = [
    (parsing.parse_date, "2026-02-31", '"{}" is not a valid date; correct it'),
    (parsing.parse_date, "2026-02-29", '"{}" is not a valid date; correct it'),
    (parsing.parse_date, "20260228", NO_DATE),
    (parsing.parse_date, "28.02.2026", NO_DATE),
    (parsing.parse_date, "2026-2-28", NO_DATE),
    (parsing.parse_date, "٢٠٢٦-٠٢-٢٨", NO_DATE),
    (parsing.parse_hours, "7,5", NO_HOURS),
    (parsing.parse_hours, "7:75", NO_HOURS),
    (parsing.parse_hours, "7:5", NO_HOURS),
    (parsing.parse_hours, "NaN", NO_HOURS),
    (parsing.parse_hours, "1_0", NO_HOURS),
    (parsing.parse_hours, "1e1", NO_HOURS),
    (parsing.parse_hours, "0.000001", NO_HOURS),
    (parsing.parse_hours, "+2", NO_HOURS),
    (parsing.parse_hours, " 2", NO_HOURS),
    (parsing.parse_hours, "2\n", NO_HOURS),
    (parsing.parse_hours, "", NO_HOURS),
    (parsing.parse_hours, "٧", NO_HOURS),
    (parsing.parse_decimal, "Infinity", NO_DECIMAL),
    (parsing.parse_decimal, "1_0", NO_DECIMAL),
    (parsing.parse_decimal, "1.0000000001", NO_DECIMAL),
    (parsing.parse_decimal, ".5", NO_DECIMAL),
    (parsing.parse_money, "1.23456", '"{}" has more than four decimals; round it first'),
    (parsing.parse_sum, "270.005", '"{}" has more than two decimals; round it first'),
    (parsing.parse_rate, "-1", '"{}" is negative; a rate must be zero or more'),
    (parsing.parse_percent, "62,5 %", '"{}" is not a percent; write it as 62.5'),
    (parsing.parse_percent, "100.01", '"{}" is not between 0 and 100 percent'),
    (parsing.parse_percent, "-1", '"{}" is not between 0 and 100 percent'),
    (parsing.parse_share, "25", '"{}" is not a share between 0 and 1; 25 % is 0.25'),
    (parsing.parse_whole, "1.0", '"{}" is not a whole number'),
    (parsing.parse_flag, "1", '"{}" is unknown; use yes or no'),
    (parsing.parse_flag, "y", '"{}" is unknown; use yes or no'),
]
REFUSED_CASES = [f"{parse.__name__}-{text!r}" for parse, text, _ in REFUSED]


@pytest.mark.parametrize(("parse", "text", "message"), REFUSED, ids=REFUSED_CASES)
def test_other_text_is_refused_with_what_to_write(
    parse: Callable[[str], Any], text: str, message: str
) -> None:
    """Text of any other form raises ValueError that quotes it."""
    with pytest.raises(ValueError) as refused:
        parse(text)

    assert str(refused.value) == message.format(text)


@given(st.integers(0, 10**9), st.booleans())
def test_hours_of_five_decimals_are_whole_milliseconds(units: int, negative: bool) -> None:
    """Every hundred thousandth of an hour is 36 ms, with its sign."""
    whole, part = divmod(units, 100_000)
    text = f"{'-' * negative}{whole}.{part:05d}"

    assert parsing.parse_hours(text) == units * 36 * (-1 if negative else 1)


@given(st.integers(0, 10**6), st.integers(0, 59), st.integers(0, 59))
def test_a_clock_duration_is_its_seconds(hours: int, minutes: int, seconds: int) -> None:
    """Hours, minutes and seconds add up exactly."""
    expected = ((hours * 60 + minutes) * 60 + seconds) * 1000

    assert parsing.parse_hours(f"{hours}:{minutes:02d}:{seconds:02d}") == expected
