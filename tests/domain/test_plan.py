"""Budgets are spread over working days, and plans cut and added to, to the millisecond."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.allocation import rounded
from ledger.domain.calendar import WorkCalendar
from ledger.domain.plan import adjusted, at_dates, spread_anew, spread_over_days, spread_weights

MONDAY = date(2026, 3, 2)
WEEK = [MONDAY + timedelta(days=n) for n in range(5)]
CALENDAR = WorkCalendar(tuple(WEEK + [day + timedelta(days=7) for day in WEEK]))

SHAPES = [
    ("even", [1, 1, 1, 1, 1]),
    ("early", [5, 4, 3, 2, 1]),
    ("late", [1, 2, 3, 4, 5]),
    ("middle", [1, 2, 3, 2, 1]),
]


@pytest.mark.parametrize(("shape", "weights"), SHAPES)
def test_a_shape_weighs_the_days(shape: str, weights: list[int]) -> None:
    """Even is 1; early n..1; late 1..n; middle min(i, n + 1 - i)."""
    assert spread_weights(5, shape) == weights


@pytest.mark.parametrize(("shape", "weights"), SHAPES)
def test_a_budget_is_spread_over_the_working_days(shape: str, weights: list[int]) -> None:
    """Each working day of the span has its weight of the budget."""
    total = sum(weights) * 1000
    expected = {day: weight * 1000 for day, weight in zip(WEEK, weights, strict=True)}

    assert (
        spread_over_days(total, CALENDAR, MONDAY, WEEK[-1] + timedelta(days=2), shape) == expected
    )


def test_a_span_without_a_working_day_is_planned_on_its_last() -> None:
    """Where nobody works the whole budget stands on the last day."""
    saturday = MONDAY + timedelta(days=5)
    sunday = saturday + timedelta(days=1)

    assert spread_over_days(7, CALENDAR, saturday, sunday) == {sunday: 7}


@given(
    st.integers(0, 10**12),
    st.integers(0, 13),
    st.integers(0, 13),
    st.sampled_from([name for name, _ in SHAPES]),
)
def test_a_spread_plan_sums_to_the_budget(total: int, first: int, length: int, shape: str) -> None:
    """The plan of any span and shape ends at the budget exactly, inside the span."""
    start = MONDAY + timedelta(days=first)
    finish = start + timedelta(days=length)
    plan = spread_over_days(total, CALENDAR, start, finish, shape)

    assert sum(plan.values()) == total
    assert all(start <= day <= finish for day in plan)


WEIGHTS = st.lists(st.integers(1, 1000), min_size=10, max_size=10)


@given(st.integers(0, 10**12), WEIGHTS, st.sampled_from([name for name, _ in SHAPES]))
def test_a_plan_follows_the_weights_of_its_days(total: int, parts: list[int], shape: str) -> None:
    """By each day the plan has that day's part of the budget, rounded; in the end it has all."""
    weights = tuple(Decimal(part) / 1000 for part in parts)
    calendar = WorkCalendar(CALENDAR.days, 0, weights)
    plan = spread_over_days(total, calendar, MONDAY, CALENDAR.days[-1], shape)
    shaped = [a * b for a, b in zip(spread_weights(10, shape), parts, strict=True)]

    for count, day in enumerate(CALENDAR.days, start=1):
        planned = sum(ms for when, ms in plan.items() if when <= day)
        assert planned == rounded(Fraction(total * sum(shaped[:count]), sum(shaped)))


def test_weights_at_dates_are_planned_there() -> None:
    """Milestones plan their share on their dates; those of one date add."""
    weights = [(WEEK[2], Fraction(1, 3)), (WEEK[0], Fraction(1, 3)), (WEEK[2], Fraction(1, 3))]

    # 100/3 = 33.33 by the first date, 100 by the second.
    assert at_dates(100, weights) == {WEEK[0]: 33, WEEK[2]: 67}


STANDING = {WEEK[0]: 100, WEEK[1]: 100, WEEK[2]: 200}
ADJUSTED = [
    (-150, {WEEK[1]: -50, WEEK[2]: -100}),  # pro rata to 100 and 200
    (-360, {WEEK[0]: -60, WEEK[1]: -100, WEEK[2]: -200}),  # the rest on the day
    (150, {WEEK[1]: 50, WEEK[2]: 100}),
    (0, {}),
]


@pytest.mark.parametrize(("amount", "plan"), ADJUSTED)
def test_a_change_is_planned_pro_rata_after_its_day(amount: int, plan: dict[date, int]) -> None:
    """A cut takes pro rata from later days and the rest on the day; an addition goes later."""
    assert adjusted(amount, STANDING, WEEK[0]) == plan


def test_a_change_after_the_plan_stands_on_its_day() -> None:
    """With no later day the whole change stands on the day itself."""
    assert adjusted(-40, STANDING, WEEK[3]) == {WEEK[3]: -40}


PLANS = st.dictionaries(st.sampled_from(CALENDAR.days), st.integers(0, 10**9))


@given(st.integers(-(10**10), 10**10), PLANS, st.sampled_from(CALENDAR.days))
def test_an_adjusted_plan_sums_to_the_change_and_cuts_no_later_day_below_zero(
    amount: int, plan: dict[date, int], day: date
) -> None:
    """The plan of a change sums to it, never before its day; no later day is cut below nothing."""
    change = adjusted(amount, plan, day)

    assert sum(change.values()) == amount
    assert all(each >= day for each in change)
    assert all(plan.get(each, 0) + ms >= 0 for each, ms in change.items() if each > day)


@given(
    days_off=st.sets(st.integers(0, 9)),
    day=st.integers(0, 9),
    shape=st.sampled_from(["even", "early", "late", "middle"]),
    total=st.integers(0, 10**6),
)
def test_a_plan_spread_anew_keeps_its_past_and_its_sum(
    days_off: set[int], day: int, shape: str, total: int
) -> None:
    """Whatever days fall away, moves add up to 0, none is by the day, no day is below 0."""
    standing = spread_over_days(total, CALENDAR, CALENDAR.days[0], CALENDAR.days[-1], shape)
    left = tuple(d for n, d in enumerate(CALENDAR.days) if n not in days_off)
    span, since = (CALENDAR.days[0], CALENDAR.days[-1]), CALENDAR.days[day]
    moves = spread_anew(standing, since, WorkCalendar(left), span, shape)
    after = {d: standing.get(d, 0) + moves.get(d, 0) for d in {*standing, *moves}}

    assert sum(moves.values()) == 0
    assert all(d > since for d in moves)
    assert min(after.values(), default=0) >= 0


def test_a_plan_is_spread_anew_by_hand() -> None:
    """80 h of ten days have 56 left after Wednesday; of seven days the last three stay."""
    standing = spread_over_days(80, CALENDAR, MONDAY, CALENDAR.days[-1])
    left = WorkCalendar((*WEEK[:3], *CALENDAR.days[-3:]))
    moves = spread_anew(standing, WEEK[2], left, (MONDAY, CALENDAR.days[-1]))

    # 56/3 a day, running totals rounded: 19, 37, 56.
    assert list(moves.values()) == [-8, -8, -8, -8, 19 - 8, 18 - 8, 19 - 8]
