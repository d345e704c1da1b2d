"""The forecast in front: one figure, one reason, and the range of the formulas."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.cli.forecast_tables import forecast_line
from ledger.domain.measures import Figure
from ledger.outcomes import because
from ledger.performance.basis import Scope
from ledger.performance.forecast_range import (
    FORMULAS,
    ForecastRange,
    ForecastSpread,
    forecast_range,
)
from ledger.performance.measure import Measured, row_of
from ledger.performance.methods import Method
from ledger.performance.report import PerformanceAsked, performance
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.published._job import MONDAY, PublishedJob, Spent, measured, package, week_day
from tests.test_small_sample import STATUS_DATE, build

SMALL = "STAGE"
HOUR = 3_600_000


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small sample's book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("small"))).book


@pytest.mark.parametrize("unit", ["hours", "cost"])
def test_the_range_spans_the_formulas_of_the_job(small: Path, unit: str) -> None:
    """Low and high are the least and most of EAC and the formulas; none is below AC."""
    with open_book(small) as book:
        told = forecast_range(Measured(book, SMALL, Scope(STATUS_DATE, unit)))
        (row,) = performance(book, PerformanceAsked(SMALL, STATUS_DATE, unit=unit)).rows
    known = {name: row.figures[name] for name in ("eac", *FORMULAS) if row.figures[name]}

    assert told is not None
    assert told.spread is not None
    assert (told.eac, told.spread.low, told.spread.high) == (
        row.figures["eac"],
        min(v for v in known.values() if v),
        max(v for v in known.values() if v),
    )
    ends = (known[told.spread.low_by], known[told.spread.high_by])
    assert ends == (told.spread.low, told.spread.high)
    assert set(told.undefined) == set(FORMULAS) - set(known)
    # 41.25 h of 57.25 h to go are by the index, 16 h by RAIL's own estimate.
    assert told.method.name == "index"


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A job of two weeks: 100 h of work, 10 h of leading, booked 40 h and 24 h.

    The work is measured once, with 50 % on the Wednesday of the second week.
    """
    yard = Yard(tmp_path_factory.mktemp("begun"))
    job = PublishedJob(yard, week_day(8))
    leading = package("LEAD", "10", MONDAY, week_day(2), technique="level_of_effort")
    job.load("estimate", [package("WORK", "100", MONDAY, week_day(2)), leading])
    job.freeze()
    for hours, week in (("40", 1), ("24", 2)):
        job.spend([Spent("WORK", hours)], week_day(week, 3), first=week_day(week, 1))
    job.load("progress", [measured("WORK", week_day(2, 3), percent="50")])
    return yard


def test_there_is_no_range_while_too_little_is_earned(begun: Yard) -> None:
    """After a week 5 h of 110 are earned, 4.5 %: under 5 % screen and JSON give no range."""
    words = ("performance", "--job", "CASE", "--status-date", week_day(1, 7))
    forecast = begun.json(*words)["forecast"]

    assert "labour forecast (EAC) 145 h, too little is earned for a range; " in (
        begun.run(*words).stdout
    )
    assert [forecast[name] for name in ("eac", "low", "high", "low_by", "high_by")] == [
        *(145, None, None, None, None)
    ]
    assert forecast["undefined"] == dict.fromkeys(
        ("low", "high"), "too little is earned for a range"
    )


def test_recent_cpi_needs_a_measurement_in_its_weeks(begun: Yard) -> None:
    """Midweek the last week end is before the first measurement: 40 h booked, 5 h earned.

    At that rate the 52 h to earn would take 416 h. From the next week end on it is 60 h for 64 h.
    """
    words = ("performance", "--job", "CASE", "--status-date")
    (midweek,) = begun.json(*words, week_day(2, 3))["rows"]
    (ended,) = begun.json(*words, week_day(2, 7))["rows"]

    assert midweek["eac_recent"] is None
    assert midweek["undefined"]["eac_recent"] == (
        "nothing was measured in the four weeks to the last week end"
    )
    # 64 + (110 - 58) is the most; 110 / (58 / 64) is 121.38, and late it is 121.38 or less.
    assert "at recent CPI)" not in begun.run(*words, week_day(2, 3)).stdout
    assert ended["eac_recent"] == Decimal("117.3333")  # 64 + (110 - 60) * 64 / 60


def test_level_of_effort_alone_is_measured_by_time(begun: Yard) -> None:
    """A row of level of effort earns without a measurement, so its recent CPI stays."""
    with open_book(begun.book) as book:
        cells = Measured(book, "CASE", Scope(week_day(1, 7))).cells.values()
    effort = [replace(cell, recent_ac=4 * HOUR) for cell in cells if cell.level_of_effort]

    assert row_of(effort).figures["eac_recent"] == 4 * HOUR  # 0 + 5 * 4 / 5


@pytest.mark.parametrize(
    ("by_cpi", "words"), [(None, "no other formula is defined yet"), (100, "all formulas agree")]
)
def test_formulas_agree_only_where_there_are_several(by_cpi: int | None, words: str) -> None:
    """Of the budget's rate alone nobody says that all agree on it."""
    formulas: dict[str, Figure] = {
        "eac_budget_rate": 100 * HOUR,
        "eac_cpi": by_cpi and by_cpi * HOUR,
    }
    one = Fraction(100 * HOUR)
    spread = ForecastSpread(one, "eac", one, "eac")
    method = Method("finished", because("booked_as_finished"))
    forecast = ForecastRange(100 * HOUR, method, spread, formulas, {})

    assert f"100 h, {words}" in forecast_line(forecast, "hours")


def test_a_reason_says_what_leaves_out_level_of_effort(begun: Yard) -> None:
    """Of 110 h 60 are earned, of work alone 50 of 100; 64 h are booked, all of them to work."""
    words = ("performance", "--job", "CASE", "--status-date", week_day(2, 7))
    (row,) = begun.json(*words)["rows"]

    assert row["percent_complete"] == Decimal("54.5455")
    assert row["cpi"] == Decimal("0.9375")
    assert row["eac_method_reason"].endswith(
        "; at the job's EV / AC of 0.781 because 50.0 % of BAC is earned, 15 % or more, both "
        "without level of effort"
    )
    assert (
        "SPI only says how much is earned, 50.0 % without level of effort: the plan has ended"
    ) in begun.run(*words).stdout
