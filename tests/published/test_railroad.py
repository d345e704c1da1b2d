"""E2: a railroad of four miles in four weeks for four million; one mile and two million by week 3.

Source: GAO-20-195G, *Cost Estimating and Assessment Guide* (2020), EVM chapter [S] for CPI, EAC,
SPI and the time; the rest [C]. A million is taken as 1,000.00 (scale 1/1000): ten hours a mile at
100.00. The calendar is ours: Mondays to Fridays.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import PublishedJob, Spent, measured, package, rounded, taken, week_day

STATUS = week_day(3)
MILLION = {"cost": Decimal(1000), "hours": Decimal(10)}


@pytest.fixture(scope="module")
def job(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The railroad after week 3."""
    job = PublishedJob(new_yard(), week_day(4))
    track = package(
        "TRACK",
        "40",
        week_day(1, 1),
        week_day(4),
        technique="units_complete",
        spread="even",
        quantity="4",
        unit="mile",
    )
    job.load("estimate", [track])
    job.freeze()
    job.load("progress", [measured("TRACK", STATUS, quantity_done="1")])
    job.spend([Spent("TRACK", "20")], STATUS)
    return job


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_amounts(job: PublishedJob, unit: str) -> None:
    """Amounts in millions are the guide's, in cost and in hours alike."""
    row = job.row(STATUS, "--in", unit)
    keys = ("bac", "pv", "ev", "ac", "cv", "sv", "eac_cpi", "eac", "vac")
    actual = {key: row[key] / MILLION[unit] for key in keys}

    assert actual == {
        "bac": 4,
        "pv": 3,
        "ev": 1,
        "ac": 2,
        "cv": -1,
        "sv": -2,
        "eac_cpi": 8,
        "eac": 8,
        "vac": -4,
    }


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_ratios(job: PublishedJob, unit: str) -> None:
    """CPI 0.5 and SPI 1/3 [S]; to be reached on the budget 1.5, on the forecast 0.5 [C]."""
    actual = taken(job.row(STATUS, "--in", unit), 6, "cpi", "spi", "tcpi_bac", "tcpi_eac")

    assert actual == {
        "cpi": Decimal("0.5"),
        "spi": Decimal("0.333333"),
        "tcpi_bac": Decimal("1.5"),
        "tcpi_eac": Decimal("0.5"),
    }


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_time(job: PublishedJob, unit: str) -> None:
    """One week earned of three, so four weeks become twelve."""
    time = job.performance(STATUS, "--in", unit)["time"]
    keys = ("earned_schedule", "actual_time", "planned_duration", "sv_time", "forecast_duration")

    assert taken(time, 4, *keys) == {
        "earned_schedule": 1,
        "actual_time": 3,
        "planned_duration": 4,
        "sv_time": -2,
        "forecast_duration": 12,
    }
    assert rounded(time["spi_time"], 6) == Decimal("0.333333")
    assert time["forecast_finish"] == week_day(12).isoformat()


def test_straight_line_plan_gives_one_index_for_money_and_time(job: PublishedJob) -> None:
    """SPI(t) = SPI on a straight-line plan over whole weeks of equal days (a property)."""
    answer = job.performance(STATUS)
    (row,) = answer["rows"]

    assert answer["time"]["spi_time"] == row["spi"] == rounded(Fraction(1, 3), 6)
