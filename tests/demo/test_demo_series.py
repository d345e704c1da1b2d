"""The demo yard's jobs over time: as `performance` and as the independent reckoning say."""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from ledger.performance.grouping import GROUPS
from ledger.performance.series import SeriesAsked, series
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.demo import _replay
from tests.demo._reckon_print import printed
from tests.demo._reckon_schedule import loads_of
from tests.demo._reckon_yard import ReckonedYard
from tests.performance.test_series import VIEWS, unlike

pytestmark = pytest.mark.slow

JOBS = [
    ("FERRY", date(2026, 1, 11), date(2026, 11, 1)),
    ("SEDGE", date(2026, 1, 25), date(2026, 7, 5)),
]


def week_ends(first: date, last: date) -> Iterator[date]:
    """Yield every seventh day from one to another."""
    for week in range((last - first).days // 7 + 1):
        yield first + timedelta(days=7 * week)


@pytest.mark.parametrize(("job", "first", "last"), JOBS, ids=str)
def test_every_week_is_as_performance_says(
    demo_book: Yard, job: str, first: date, last: date
) -> None:
    """Each week's end as the status date: the series ends with the figures of `performance`."""
    with open_book(demo_book.book) as book:
        found = [
            difference
            for number, day in enumerate(week_ends(first, last))
            for unit, on in [VIEWS[number % 4]]
            for difference in unlike(book, SeriesAsked(job, day, on, unit, GROUPS[number % 3]))
        ]

    assert found == []


@pytest.mark.parametrize(("job", "first", "last"), JOBS, ids=str)
@pytest.mark.parametrize(("unit", "on"), VIEWS)
def test_every_week_in_the_last_scope_is_as_reckoned(
    demo_book: Yard, job: str, first: date, last: date, unit: str, on: str
) -> None:
    """Each week of the whole series is the reckoned one, under the budgets of the status date."""
    parts = ReckonedYard(loads_of(_replay.SAMPLE)).job(job, last, on, unit)
    with open_book(demo_book.book) as book:
        rows = list(series(book, SeriesAsked(job, last, on, unit)).rows)
    told = {row.period_end: amounts(row, unit) for row in rows}

    assert told == {
        end: amounts(parts.totals(parts.all, end, lost=True), unit)
        for end in week_ends(first, last)
    }


def amounts(row: Any, unit: str) -> dict[str, Decimal | None]:
    """Return amounts as printed: both round the plan of an apportioned package to its own ms."""
    return {name: printed(name, getattr(row, name), unit) for name in ("bac", "pv", "ev", "ac")}
