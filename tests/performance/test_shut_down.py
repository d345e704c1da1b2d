"""Time over a shut-down: weeks that are not worked do not pass."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.domain.calendar import WorkCalendar
from ledger.domain.schedule import time_figures
from ledger.performance.series import OverTime, SeriesAsked
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.published._job import MONDAY, PublishedJob, Spent, measured, package, week_day

CLOSED = (week_day(3, 1), week_day(4, 5))
BEFORE, INSIDE, AFTER = week_day(2, 7), week_day(3, 3), week_day(4, 7)


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A hundred hours a week in weeks 1, 2, 5 and 6; 180 are earned by the end of week 2."""
    yard = Yard(tmp_path_factory.mktemp("closed"))
    job = PublishedJob(yard, week_day(12))
    days_off = f"[[job.days_off]]\nfrom = {CLOSED[0]}\nto = {CLOSED[1]}\n"
    terms = PublishedJob._terms(week_day(12)) + days_off
    yard.run("load", "job", yard.write("job.toml", terms))
    leading = package("LEAD", "40", MONDAY, week_day(6), technique="level_of_effort")
    job.load("estimate", [package("WORK", "400", MONDAY, week_day(6)), leading])
    job.freeze()
    job.spend([Spent("WORK", "200")], week_day(2))
    job.load("progress", [measured("WORK", week_day(2), percent="45")])
    return yard


@pytest.mark.parametrize("day", [BEFORE, INSIDE, AFTER])
def test_a_shut_down_makes_nobody_late(yard: Yard, day: date) -> None:
    """Before, in and after it 1.8 of 2 weeks are earned: 4 / 0.9 weeks end in the third of week 7.

    What is left takes 220 / 0.9 h beside the 200 booked, and leading 10 planned days and 3 more.
    """
    answer = yard.json("performance", "--job", "CASE", "--status-date", day)
    time = answer["time"]

    assert (time["earned_schedule"], time["actual_time"]) == (Decimal("1.8"), 2)
    assert (time["planned_duration"], time["spi_time"]) == (4, Decimal("0.9"))
    assert time["forecast_finish"] == week_day(7, 3).isoformat()
    assert answer["rows"][0]["eac"] == Decimal("470.4444")  # 200 + 244.4444 + 40 x 13 / 20


def test_a_series_passes_over_a_shut_down(yard: Yard) -> None:
    """At the ends of weeks 1 to 5 there have been 1, 2, 2, 2 and 3 weeks."""
    with open_book(yard.book) as book:
        time = OverTime(book, SeriesAsked("CASE", week_day(5, 7))).time

    assert [each.actual_time for each in time] == [1, 2, 2, 2, 3]
    assert [each.spi_time for each in time[1:]] == [*[Fraction(9, 10)] * 3, Fraction(3, 5)]


def calendar(*, saturdays: str = "") -> WorkCalendar:
    """Return six weeks from Monday to Friday but for the shut-down, with Saturdays of a weight."""
    every = [MONDAY + timedelta(days=n) for n in range(42)]
    last = 6 if saturdays else 5
    days = [d for d in every if d.weekday() < last and not CLOSED[0] <= d <= CLOSED[1]]
    weights = tuple(Decimal(saturdays) if d.weekday() == 5 else Decimal(1) for d in days)
    return WorkCalendar(tuple(days), 0, weights)


@pytest.mark.parametrize(
    ("weeks", "day"),
    [(Fraction(2), week_day(2)), (Fraction(11, 5), week_day(5, 1)), (Fraction(5), None)],
)
def test_weeks_end_on_a_day_after_the_shut_down(weeks: Fraction, day: date | None) -> None:
    """The third week worked is the fifth; of a fifth there is none in the calendar."""
    assert calendar().day_after_weeks(MONDAY, weeks) == day


def test_a_saturday_of_a_smaller_crew_is_no_week() -> None:
    """The shut-down ends on a Friday: the Saturday after it at 0.4 is less than a full day.

    What is planned on it belongs to the next week worked, so that work on plan stays on plan.
    """
    days = calendar(saturdays="0.4")
    plan = {week_day(1): 54, week_day(2): 54, week_day(4, 6): 4, week_day(5): 54}
    by_day = {day: time_figures(plan, 108, days, day) for day in (BEFORE, INSIDE, AFTER)}

    assert days.weeks == tuple(week_day(week, 1) for week in (1, 2, 5, 6))
    assert {each.spi_time for each in by_day.values()} == {Fraction(1)}
    assert {each.planned_duration for each in by_day.values()} == {Fraction(3)}


def test_where_no_week_has_a_full_day_all_with_a_working_day_count() -> None:
    """A job of Saturdays at 0.4 alone has their weeks."""
    days = (week_day(1, 6), week_day(2, 6), week_day(4, 6))
    saturdays = WorkCalendar(days, 0, (Decimal("0.4"),) * 3)

    assert saturdays.weeks_passed(days[0], days[2]) == 3
    assert saturdays.weeks_passed(days[0], week_day(3, 6)) == 2
