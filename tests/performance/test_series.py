"""A job over time: what `performance` says of each date, in one pass."""

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from ledger.domain.calendar import Periods
from ledger.performance.basis import Basis
from ledger.performance.grouping import GROUPS
from ledger.performance.report import PerformanceAsked, performance
from ledger.performance.series import OverTime, SeriesAsked, series
from ledger.store.book import Book, open_book
from tests.conftest import Yard, slow_beyond
from tests.performance._random_books import DAYS, JOB, RandomBook
from tests.published._job import PublishedJob, Spent, measured, package, week_day
from tests.test_small_sample import build

SMALL = "STAGE"
SMALL_ENDS = (date(2026, 3, 8), date(2026, 3, 15), date(2026, 3, 18), date(2026, 3, 22))
NAMES = ("bac", "pv", "ev", "ac", "spi", "cpi")
VIEWS = [(unit, on) for unit in ("hours", "cost") for on in ("current", "original")]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small sample's book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("small"))).book


def unlike(book: Book, asked: SeriesAsked) -> Iterator[str]:
    """Yield each figure of the last period that is not as `performance` says of its day."""
    found = {
        row.key: row for row in series(book, asked).rows if row.period_end == asked.status_date
    }
    single = PerformanceAsked(asked.job, asked.status_date, asked.baseline, asked.unit, asked.by)
    expected = {row.key: row.figures for row in performance(book, single).rows}
    for key in sorted({*found, *expected}):
        for name in NAMES:
            told = getattr(found[key], name) if key in found else "no row"
            wanted = expected[key][name] if key in expected else "no row"
            if told != wanted:
                yield f"{asked} {key} {name}: {told}, not {wanted}"


@pytest.mark.parametrize(("unit", "on"), slow_beyond(1, VIEWS))
def test_each_week_is_as_its_own_reckoning_says(small: Path, unit: str, on: str) -> None:
    """The last row of a series is `performance` of its day, midweek too, by every grouping."""
    with open_book(small) as book:
        found = [
            difference
            for day in SMALL_ENDS
            for by in GROUPS
            for difference in unlike(book, SeriesAsked(SMALL, day, on, unit, by))
        ]

    assert found == []


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2))
def test_each_week_of_a_random_job_is_as_its_own_reckoning_says(yard: Yard, seed: int) -> None:
    """Whatever was booked, measured, approved, left out and moved: both say the same."""
    RandomBook(yard, random.Random(seed)).build()
    with open_book(yard.book) as book:
        found = [
            difference
            for number, day in enumerate(DAYS[4::9])
            for unit, on in VIEWS
            for difference in unlike(book, SeriesAsked(JOB, day, on, unit, GROUPS[number % 4]))
        ]
        found += [
            difference
            for unit, on in VIEWS
            for difference in unlike_in_scope(book, SeriesAsked(JOB, DAYS[-1], on, unit))
        ]

    assert found == []


def unlike_in_scope(book: Book, asked: SeriesAsked) -> Iterator[str]:
    """Yield each PV, EV and AC of an earlier week that is not what the scope's own day says."""
    basis = Basis(book, asked.job, replace(asked.scope, every="day"))
    original = basis.scope.original
    for row in series(book, asked).rows:
        budgets = [facts for facts in basis.measured if facts.frozen or not original]
        earned = [basis.baseline.earned(f, row.period_end, original=original) for f in budgets]
        planned = [basis.baseline.planned(f, row.period_end, original=original) for f in budgets]
        counted = [b for b in basis.actuals.booked if not basis.left_out(b.part)]
        expected = (
            sum(basis.amount(each.budget_ms, each.budget_cost) for each in earned),
            sum(basis.amount(*each) for each in planned),
            sum(basis.amount(each.earned_ms, each.earned_cost) for each in earned),
            sum(each.amount for each in counted if each.day <= row.period_end),
        )
        if (row.bac, row.pv, row.ev, row.ac) != expected:
            yield f"{row}, not {expected}"


def test_hours_by_package_read_no_line_by_trade(small: Path) -> None:
    """Whether premium has a row is known of hours without what was booked by trade and cause."""
    with open_book(small) as book:
        over_time = OverTime(book, SeriesAsked(SMALL, SMALL_ENDS[-1], by="work-package"))
        keys = [row.key for row in over_time.series.rows]

    assert keys
    assert "actuals" not in vars(over_time)


@pytest.mark.parametrize("every", ["week", "month"])
def test_the_book_and_the_program_number_periods_alike(small: Path, every: str) -> None:
    """Leap days, ends of years and every weekday that weeks may begin on."""
    ask = (
        "SELECT day::DATE, start, period_number(day::DATE, $every, start)"
        " FROM range(DATE '1999-12-20', DATE '2003-01-20', INTERVAL 1 DAY) AS r (day),"
        " range(7) AS s (start)"
    )
    with open_book(small) as book:
        rows = book.execute(ask, {"every": every}).fetchall()

    assert len({day for day, _, _ in rows}) == 1127
    assert [
        (day, start, number)
        for day, start, number in rows
        if number != Periods(every, date.max, start).number(day)
    ] == []


@pytest.mark.parametrize(("unit", "on"), slow_beyond(1, VIEWS))
def test_an_earlier_week_has_the_scope_of_the_status_date(small: Path, unit: str, on: str) -> None:
    """CR1, approved on 16 March, is in BAC of the weeks before; plan, EV and AC are its own."""
    with open_book(small) as book:
        asked = SeriesAsked(SMALL, SMALL_ENDS[-1], on, unit)
        found = list(unlike_in_scope(book, asked))
        bac = {row.bac for row in series(book, asked).rows}

    assert found == []
    assert len(bac) == 1


@pytest.mark.slow
def test_months_and_weeks_reach_the_same(small: Path) -> None:
    """What is gained by month adds up to what is gained by week."""
    with open_book(small) as book:
        ways = [SeriesAsked(SMALL, SMALL_ENDS[-1], every=every) for every in ("week", "month")]
        rows = [list(series(book, asked).rows) for asked in ways]
        gained = [
            [sum(getattr(row, f"{name}_in_period") for row in each) for name in NAMES[1:4]]
            for each in rows
        ]

    assert gained[0] == gained[1] == [rows[0][-1].pv, rows[0][-1].ev, rows[0][-1].ac]
    assert [len(each) for each in rows] == [3, 1]


@pytest.mark.slow
def test_a_change_approved_after_its_work_makes_no_step(yard: Yard) -> None:
    """40 h worked and measured in weeks 1 and 2, approved in week 3: CPI is 1 in every week.

    As known then, its time is outside the job until it is approved.
    """
    job = PublishedJob(yard, week_day(4))
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(4))])
    job.freeze()
    job.load("changes", [REQUEST])
    job.load("change-lines", [LINE])
    job.load("change-events", [event("instructed", week_day(1, 1)), APPROVED])
    job.spend([Spent("WORK", "40"), Spent("V1", "20")], week_day(1))
    job.spend([Spent("V1", "20")], week_day(2), first=week_day(2, 1))
    percents = [("WORK", 1, "40"), ("V1", 1, "50"), ("V1", 2, "100")]
    job.load("progress", [measured(part, week_day(w), percent=p) for part, w, p in percents])
    rows = yard.json("series", "--job", "CASE", "--status-date", week_day(3))["rows"]

    assert [row["ac"] for row in rows] == [60, 80, 80]
    assert [row["ev"] for row in rows] == [60, 80, 80]
    assert {row["cpi"] for row in rows} == {1}
    assert {row["bac"] for row in rows} == {140}


REQUEST = {
    "change": "V1",
    "title": "A locker",
    "requested_by": "The owner",
    "requested_on": week_day(1, 1).isoformat(),
    "change_basis": "fixed_price",
}
LINE = {
    "change": "V1",
    "price_kind": "labour",
    "description": "Make and fit",
    "trade": "fitter",
    "hours": "40",
}


def event(name: str, day: date, **more: str) -> dict[str, str]:
    plain = {"change": "V1", "event": name, "date": day.isoformat(), "person": "The owner"}
    return plain | {"revision": "", "reference": ""} | more


APPROVED = event("approved", week_day(3), revision="1", reference="letter 1")


@pytest.mark.slow
def test_as_known_then_each_week_is_as_recorded_by_its_end(yard: Yard) -> None:
    """A sheet handed in late is in the series now, and not in that of what was known then.

    A closed week is as it was known when it was closed.
    """
    first, second = week_day(1, 7), week_day(2, 7)
    recorded = rehearsed(yard)
    job = PublishedJob(recorded, week_day(4))
    job.load("estimate", [package("WORK", "100", week_day(1, 1), week_day(4))])
    job.freeze()
    recorded.day = first
    job.spend([Spent("WORK", "10")], week_day(1))
    recorded.day = first + timedelta(days=1)
    job.load("sheets", [late(week_day(1), "7")])
    recorded.day = first + timedelta(days=2)
    job.load("sheets", [late(week_day(1, 4), "5")])
    recorded.day = second
    job.spend([Spent("WORK", "20")], week_day(2), first=week_day(2, 1))
    asked = ("series", "--job", "CASE", "--status-date", second)
    now, then = yard.json(*asked)["rows"], yard.json(*asked, "--as-known-then")["rows"]
    known = yard.json("--known-at", first, "performance", "--job", "CASE", "--status-date", first)

    assert [row["ac"] for row in now] == [22, 42]
    assert [row["ac"] for row in then] == [10, 42]
    assert [row["ac_in_period"] for row in then] == [10, 32]
    assert known["rows"][0]["ac"] == 10
    assert then[0]["known_at"] == known["known_at"]["sequence"]


def late(day: date, hours: str) -> dict[str, str]:
    plain = {"sheet": f"late-{day}", "worker_id": "W001", "date": day.isoformat()}
    return plain | {"hours": hours, "booking_code": "WORK"}


class Recorded:
    """A rehearsal yard whose commands are recorded on a day, one a minute."""

    def __init__(self, yard: Yard) -> None:
        self.yard, self.day, self.minute = yard, date(2026, 1, 5), 0

    def write(self, name: str, text: str) -> Path:
        return self.yard.write(name, text)

    def json(self, *words: object) -> Any:
        return self.yard.json(*words)

    def run(self, *words: object, ok: bool = True) -> Any:
        self.minute += 1
        at = f"{self.day}T20:{self.minute:02}:00+00:00"
        return self.yard.run("--recorded-at", at, *words, ok=ok)


def rehearsed(yard: Yard) -> Recorded:
    yard.new("--recorded-at", "2026-01-05T08:00:00+00:00", rehearsal=True)
    return Recorded(yard)
