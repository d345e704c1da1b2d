"""Jobs small enough for a pencil, each for one way in which earned value goes wrong.

All figures are ours [C]; the rules are those of EIA-748, of Lipke 2003 for time, and, for level of
effort, own estimates and missing sheets, of common practice [P].
"""

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.published._job import (
    MONDAY,
    PublishedJob,
    Spent,
    measured,
    package,
    rounded,
    week_day,
)

pytestmark = pytest.mark.slow

CREW = [
    {
        "worker_id": f"W{number:03}",
        "name": f"Worker {number}",
        "trade": "fitter",
        "grade": "trained",
    }
    for number in range(1, 4)
]


def job_of(yard: Yard, *packages: dict[str, str], weeks: int = 4) -> PublishedJob:
    """Return a job of these packages, its estimate frozen."""
    job = PublishedJob(yard, week_day(weeks))
    job.load("estimate", list(packages))
    job.freeze()
    return job


def work(hours: str = "100", weeks: int = 4, **more: str) -> dict[str, str]:
    return package("WORK", hours, MONDAY, week_day(weeks), **more)


def sheet(worker: int, week: int, hours: int = 20) -> dict[str, str]:
    """Return a worker's sheet of a week: one line on its Monday."""
    return {
        "sheet": f"{week}-{worker}",
        "worker_id": f"W{worker:03}",
        "date": week_day(week, 1).isoformat(),
        "hours": str(hours),
        "booking_code": "WORK",
    }


def test_missing_sheets_do_not_flatter_the_index(yard: Yard) -> None:
    """Three people at 20 h, four weeks, the last sheet of one missing: 240 / 220, not 240 / 240."""
    job = job_of(yard, work("400", weeks=8), weeks=8)
    job.load_yard("crew", [row | {"active_from": MONDAY.isoformat()} for row in CREW])
    every = [(worker, week) for week in range(1, 5) for worker in range(1, 4)]
    job.load("sheets", [sheet(*each) for each in every if each != (3, 4)])
    job.load("progress", [measured("WORK", week_day(4), percent="60")])
    told: dict[str, Any] = job.performance(week_day(4, 7))
    incomplete = told["incomplete"]

    assert rounded(told["rows"][0]["cpi"], 2) == Decimal("1.09")
    assert incomplete["is"]
    assert (incomplete["sheets_in"], incomplete["sheets_expected"]) == (11, 12)
    assert incomplete["cpi_with_missing"] == {"CASE": 1}


def test_a_status_date_within_a_week_counts_its_days(yard: Yard) -> None:
    """By Wednesday of week 2, 8 of 20 days: PV 40, time 1 3/5 weeks; 40 % earned is ES 1.6."""
    job = job_of(yard, work())
    job.spend([Spent("WORK", "40")], week_day(2, 3))
    job.load("progress", [measured("WORK", week_day(2, 3), percent="40")])
    told = job.performance(week_day(2, 3))
    (row,), time = told["rows"], told["time"]

    assert (row["pv"], row["ev"], row["ac"]) == (40, 40, 40)
    assert (time["actual_time"], time["earned_schedule"]) == (Decimal("1.6"), Decimal("1.6"))
    assert (time["spi_time"], time["forecast_finish"]) == (1, week_day(4).isoformat())
    rows = yard.json("series", "--job", "CASE", "--status-date", week_day(2, 3))["rows"]
    assert [(each["period_end"], each["pv"]) for each in rows] == [
        (week_day(1, 7).isoformat(), 25),
        (week_day(2, 3).isoformat(), 40),
    ]


def test_level_of_effort_runs_on_while_the_job_is_late(yard: Yard) -> None:
    """25 % after two of four weeks: eight weeks in all, 20 days late; 20 + 40 x 30/20 = 80 h."""
    lead = package("LEAD", "40", MONDAY, week_day(4), technique="level_of_effort")
    job = job_of(yard, work(), lead)
    job.spend([Spent("WORK", "50"), Spent("LEAD", "20")], week_day(2))
    job.load("progress", [measured("WORK", week_day(2), percent="25")])
    told = job.performance(week_day(2, 7))
    rows = job.rows(week_day(2, 7), "work-package")

    assert told["time"]["spi_time"] == Decimal("0.5")
    assert told["time"]["forecast_finish"] == week_day(8).isoformat()
    assert (rows["LEAD"]["ev"], rows["LEAD"]["sv"], rows["LEAD"]["eac"]) == (20, 0, 80)
    # Left out of f: 25 / 50, not 45 / 70.
    assert rows["WORK"]["eac"] == 50 + (100 - 25) * 2


def test_an_own_estimate_grows_stale(yard: Yard) -> None:
    """60 h to come beside 50 h booked count for 28 days; then 50 + 60 / (40/50) does."""
    job = job_of(yard, work(weeks=8), weeks=8)
    job.spend([Spent("WORK", "50")], week_day(2))
    estimate = {"estimate_to_complete_hours": "60"}
    job.load("progress", [measured("WORK", week_day(2), percent="40", **estimate)])
    last = week_day(2) + timedelta(days=28)
    found = {
        day: (row["eac"], row["eac_own_estimate"], row["eac_method"])
        for day in (last, last + timedelta(days=1))
        for row in [job.row(day)]
    }

    assert found == {
        last: (110, 110, "own_estimate"),
        last + timedelta(days=1): (125, None, "index"),
    }
