"""Working days and weeks."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.domain.calendar import Periods, WorkCalendar, iso_week, working_days

FIRST, LAST = date(2026, 3, 2), date(2026, 3, 31)
FRIDAY_OFF = frozenset({date(2026, 3, 13)})
DAYS = tuple(working_days(FIRST, LAST, ("mon", "tue", "wed", "thu", "fri"), FRIDAY_OFF))
CALENDAR = WorkCalendar(DAYS)

# ISO 8601-1: week 1 is the week with the year's first Thursday.
WEEKS = [
    (date(2026, 1, 1), "2026-W01"),
    (date(2027, 1, 1), "2026-W53"),
    (date(2024, 12, 30), "2025-W01"),
]


@pytest.mark.parametrize(("day", "week"), WEEKS)
def test_a_week_has_its_iso_name(day: date, week: str) -> None:
    """The week of a day is named by ISO 8601."""
    assert iso_week(day) == week


# Counting ends on Wednesday 18 March 2026; weeks begin on Monday, or on Sunday.
PERIODS = [
    ("week", 0, ["2026-03-08", "2026-03-15", "2026-03-18", "2026-03-22", "2026-03-29"]),
    ("week", 6, ["2026-03-07", "2026-03-14", "2026-03-18", "2026-03-21", "2026-03-28"]),
    ("month", 0, ["2026-01-31", "2026-02-28", "2026-03-18", "2026-03-31", "2026-04-30"]),
]


@pytest.mark.parametrize(("every", "week_start", "ends"), PERIODS)
def test_the_period_that_counting_ends_in_is_two(
    every: str, week_start: int, ends: list[str]
) -> None:
    """Every day lies in the period that ends next, with numbers one after the other."""
    days = [date.fromisoformat(end) for end in ends]
    periods = Periods(every, date(2026, 3, 18), week_start)
    first = periods.last - 2
    inside = [days[0] + timedelta(days=n) for n in range(1, (days[-1] - days[0]).days + 1)]
    expected = [first + sum(end < day for end in days) for day in inside]

    assert [periods.end(first + place) for place in range(5)] == days
    assert periods.ends(first) == days[:3]
    assert [periods.number(day) for day in inside] == expected


def test_what_counting_ends_with_is_not_parted_at_its_end() -> None:
    """After the last day of a week nothing is left of it: the next day is in the next week."""
    periods = Periods("week", date(2026, 3, 22))

    assert periods.end(periods.number(date(2026, 3, 23))) == date(2026, 3, 29)


def test_weekends_and_days_off_are_not_worked() -> None:
    """A day is worked when its weekday is, unless it is off."""
    assert date(2026, 3, 12) in DAYS
    assert not {date(2026, 3, 7), date(2026, 3, 8), date(2026, 3, 13)} & set(DAYS)
    # 22 weekdays of 2 to 31 March less one.
    assert len(DAYS) == 21


def test_the_week_begins_on_the_day_set() -> None:
    """The week of a Sunday ends that day, or begins on it where weeks begin on Sunday."""
    sunday = date(2026, 3, 8)

    assert CALENDAR.week_of(sunday) == date(2026, 3, 2)
    assert CALENDAR.week_end(sunday) == sunday
    assert WorkCalendar(DAYS, week_start=6).week_of(sunday) == sunday


PASSED = [
    (date(2026, 3, 2), Fraction(1, 5)),
    (date(2026, 3, 6), Fraction(1)),
    (date(2026, 3, 8), Fraction(1)),
    (date(2026, 3, 9), 1 + Fraction(1, 4)),  # a week of four working days
    (date(2026, 3, 15), Fraction(2)),
]


@pytest.mark.parametrize(("day", "weeks"), PASSED)
def test_weeks_passed_are_full_ones_and_a_part_by_working_days(day: date, weeks: Fraction) -> None:
    """Full weeks, then the working days of the last week up to the day over all of that week's."""
    assert CALENDAR.weeks_passed(FIRST, day) == weeks


ENDS = [
    (Fraction(1), date(2026, 3, 6)),
    (Fraction(6, 5), date(2026, 3, 9)),  # 0.2 of four days, rounded up to the first
    (Fraction(3, 2), date(2026, 3, 10)),
    (Fraction(2), date(2026, 3, 12)),  # the Friday is off
    (Fraction(10**6), None),
]


@pytest.mark.parametrize(("weeks", "day"), ENDS)
def test_the_day_after_weeks_is_a_working_day_rounded_up(weeks: Fraction, day: date | None) -> None:
    """A number of weeks ends on a working day, the next one when it ends within a day."""
    assert CALENDAR.day_after_weeks(FIRST, weeks) == day


def test_working_days_between_include_both_ends() -> None:
    """Both ends count when they are worked."""
    found = CALENDAR.working(date(2026, 3, 12), date(2026, 3, 16))

    assert found == [date(2026, 3, 12), date(2026, 3, 16)]


WEIGHED = WorkCalendar(
    (date(2026, 3, 2), date(2026, 3, 3), date(2026, 3, 7), date(2026, 3, 9)),
    0,
    (Decimal(1), Decimal(1), Decimal("0.5"), Decimal(1)),
)


@pytest.mark.parametrize(
    ("day", "weeks"),
    [(date(2026, 3, 3), Fraction(4, 5)), (date(2026, 3, 7), Fraction(1))],
)
def test_time_passes_by_the_weight_of_days(day: date, weeks: Fraction) -> None:
    """Work on plan to the day has as many weeks passed as planned weeks earned."""
    assert WEIGHED.weeks_passed(date(2026, 3, 2), day) == weeks
    assert WEIGHED.day_after_weeks(date(2026, 3, 2), weeks) == day


def test_days_beyond_the_calendar_are_full_ones() -> None:
    """The weight up to a day counts later working days, full ones after the last."""
    full = WEIGHED.weight_upto(date(2026, 3, 2))

    assert WEIGHED.weight_upto(date(2026, 3, 7)) * 2 == full * 5
    assert WEIGHED.weight_upto(date(2026, 3, 7), 3) * 2 == full * 11
