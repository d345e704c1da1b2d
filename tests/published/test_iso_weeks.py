"""P5: week numbers at the turn of the year by ISO 8601 [S]."""

from datetime import date, timedelta

import pytest

from ledger.domain.calendar import iso_week
from tests.conftest import Yard
from tests.payroll._paid import begin, sheets


@pytest.mark.parametrize(
    ("day", "week", "weekday"),
    [
        (date(2026, 1, 1), "2026-W01", 4),
        (date(2026, 12, 31), "2026-W53", 4),
        (date(2027, 1, 3), "2026-W53", 7),
        (date(2024, 12, 30), "2025-W01", 1),
    ],
)
def test_week_belongs_to_the_year_of_its_thursday(day: date, week: str, weekday: int) -> None:
    """A day's week carries the year in which most of the week lies."""
    assert day.isoweekday() == weekday  # the last figure as published, 2026-W01-4
    assert iso_week(day) == week


@pytest.mark.parametrize(
    ("day", "week"), [(date(2026, 12, 27), "2026-W52"), (date(2027, 1, 4), "2027-W01")]
)
def test_weeks_run_from_monday_to_sunday(day: date, week: str) -> None:
    """A week ends on its Sunday and the next begins on its Monday."""
    others = {iso_week(day + timedelta(days=n)) for n in (-1, 1)}

    assert iso_week(day) == week
    assert "2026-W53" in others


@pytest.mark.slow
def test_hours_of_the_turn_of_the_year_stand_in_their_week(yard: Yard) -> None:
    """`hours` has each day in the week of the standard, the last of 2026 in its 53rd."""
    yard.copy_made_by(begin)
    days = {"2026-01-01": "1", "2026-12-31": "2", "2027-01-03": "4", "2024-12-30": "8"}
    sheets(yard, *(f"H1,{day},{hours},SHOP" for day, hours in days.items()))
    rows = yard.json("hours", "--by", "week")["rows"]
    weeks = {date.fromisocalendar(*week, 1).isoformat(): week for week in ((2025, 1), (2026, 1))}
    weeks[date.fromisocalendar(2026, 53, 1).isoformat()] = (2026, 53)

    assert {weeks[row["period_start"]]: row["hours"] for row in rows} == {
        (2025, 1): 8,
        (2026, 1): 1,
        (2026, 53): 2 + 4,
    }
