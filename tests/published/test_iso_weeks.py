"""P5: week numbers at the turn of the year by ISO 8601 [S]."""

from datetime import date, timedelta

import pytest

from ledger.domain.calendar import iso_week


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
