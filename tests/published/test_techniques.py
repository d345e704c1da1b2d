"""E4 to E7 and E12: what each way of measuring has earned, and when.

Sources stand at each test. Dates are ours unless the test says otherwise.
"""

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal

import pytest

from tests.conftest import Yard, slow_beyond
from tests.published._job import (
    MONDAY,
    PublishedJob,
    Spent,
    measured,
    package,
    rounded,
    taken,
    week_day,
)


def milestones(code: str, weights: Sequence[str], days: Sequence[date]) -> list[dict[str, str]]:
    """Return rows of milestones m1, m2, ... of a package."""
    return [
        {
            "work_package": code,
            "milestone": f"m{number}",
            "weight": weight,
            "planned_date": day.isoformat(),
        }
        for number, (weight, day) in enumerate(zip(weights, days, strict=True), 1)
    ]


# E4: (budget, begun, complete, actual); in cost, a hundred of it being an hour at 100.00.
SIX_TASKS = {
    "T1": ("31", True, True, "31"),
    "T2": ("40", True, True, "45"),
    "T3": ("25", True, True, "22.5"),
    "T4": ("40", True, False, "35"),
    "T5": ("35", True, True, "40"),
    "T6": ("25", False, False, "0"),
}


def six_tasks(yard: Yard, share: str) -> PublishedJob:
    """Return the job of six tasks, all due by week 4, its start share as named."""
    job = PublishedJob(yard, week_day(6))
    job.load(
        "estimate",
        [
            package(
                code,
                budget,
                MONDAY,
                week_day(4),
                technique="fixed_formula",
                start_share=share,
            )
            for code, (budget, *_) in SIX_TASKS.items()
        ],
    )
    job.freeze()
    began, ended = MONDAY.isoformat(), week_day(3).isoformat()
    job.load(
        "progress",
        [
            measured(code, week_day(3), started=began, finished=ended if complete else "")
            for code, (_, begun, complete, _) in SIX_TASKS.items()
            if begun
        ],
    )
    job.spend([Spent(code, actual) for code, (*_, actual) in SIX_TASKS.items()], week_day(4))
    return job


@pytest.mark.parametrize(("share", "earned"), slow_beyond(1, [("0.5", 15_100), ("0", 13_100)]))
def test_six_tasks_by_fixed_formula(yard: Yard, share: str, earned: int) -> None:
    """E4: half at the start earns 15,100, all at the end 13,100 (course exercise [S])."""
    row = six_tasks(yard, share).row(week_day(4), "--in", "cost")

    # all due: 3100 + 4000 + 2500 + 4000 + 3500 + 2500; spent: 3100 + 4500 + 2250 + 3500 + 4000
    assert taken(row, 4, "bac", "pv", "ev", "ac") == {
        "bac": 19_600,
        "pv": 19_600,
        "ev": earned,
        "ac": 17_350,
    }


def test_nothing_is_earned_before_the_end_with_all_at_the_end(yard: Yard) -> None:
    """A 0/100 package has earned nothing or its whole budget (property of the method)."""
    rows = six_tasks(yard, "0").rows(week_day(4), "work-package", "--in", "cost")

    assert {code: rounded(rows[code]["ev"], 4) for code in SIX_TASKS} == {
        code: rounded(Decimal(budget) * 100 if complete else 0, 4)
        for code, (budget, _, complete, _) in SIX_TASKS.items()
    }


def test_value_of_weighted_milestones_after_each_period(yard: Yard) -> None:
    """E5: 200 = 50 + 90 + 60 earns 0, 50, 140, 200 in four periods (GPM, Mehrmann/Wirtz [S])."""
    job = PublishedJob(yard, week_day(4))
    job.load(
        "estimate",
        [package("M", "200", MONDAY, week_day(4), technique="weighted_milestone")],
    )
    reached = [week_day(2), week_day(3), week_day(4)]
    job.load("milestones", milestones("M", ["50", "90", "60"], reached))
    job.freeze()
    job.load(
        "progress",
        [measured("M", day, milestone=f"m{number}") for number, day in enumerate(reached, 1)],
    )
    rows = [job.row(week_day(period)) for period in (1, 2, 3, 4)]

    assert [row["ev"] for row in rows] == [0, 50, 140, 200]
    # Planned for the periods in which they were reached (ours): a plan of steps, not a slope.
    assert [row["pv"] for row in rows] == [0, 50, 140, 200]


def test_value_of_units_after_each_period(yard: Yard) -> None:
    """E6: 10, 15 and 25 of 50 units worth 500 have earned 100, 250, 500 (same source [S])."""
    job = PublishedJob(yard, week_day(3))
    units = {"technique": "units_complete", "quantity": "50", "unit": "piece"}
    job.load("estimate", [package("U", "500", MONDAY, week_day(3), **units)])
    job.freeze()
    job.load(
        "progress",
        [
            measured("U", week_day(period), quantity_done=done)
            for period, done in ((1, "10"), (2, "25"), (3, "50"))
        ],
    )

    assert [job.row(week_day(period))["ev"] for period in (1, 2, 3)] == [100, 250, 500]


@pytest.mark.slow
def test_rules_of_credit_for_setting_a_vessel(yard: Yard) -> None:
    """E7: 15, 20, 15, 25, 15, 10 % run up to 15, 35, 50, 75, 90, 100 (construction text [S])."""
    weights = ["15", "20", "15", "25", "15", "10"]
    weeks = range(1, 7)
    job = PublishedJob(yard, week_day(6))
    # 80 hours is ours; the source gives per cents only.
    job.load(
        "estimate",
        [package("VESSEL", "80", MONDAY, week_day(6), technique="weighted_milestone")],
    )
    job.load("milestones", milestones("VESSEL", weights, [week_day(week) for week in weeks]))
    job.freeze()
    job.load(
        "progress",
        [measured("VESSEL", week_day(week), milestone=f"m{week}") for week in weeks],
    )
    rows = [job.row(week_day(week)) for week in weeks]

    assert [row["percent_complete"] for row in rows] == [15, 35, 50, 75, 90, 100]
    assert [row["ev"] for row in rows] == [12, 28, 40, 60, 72, 80]


EVERY_STATUS = week_day(2)


@pytest.fixture(scope="module")
def every_technique(new_yard: Callable[[], Yard]) -> PublishedJob:
    """E12 [C]: one job with every technique, five weeks long, at the end of week 2."""
    job = PublishedJob(new_yard(), week_day(5))
    techniques = {
        "ZERO": ("40", {"technique": "fixed_formula", "start_share": "0"}),
        "HALF": ("60", {"technique": "fixed_formula", "start_share": "0.5"}),
        "STEPS": ("200", {"technique": "weighted_milestone"}),
        "UNITS": ("500", {"technique": "units_complete", "quantity": "50", "unit": "piece"}),
        "SHARE": ("100", {"technique": "percent_complete"}),
        "LEAD": ("120", {"technique": "level_of_effort"}),
        "CHECK": ("50", {"technique": "apportioned_effort", "base_package": "UNITS"}),
    }
    job.load(
        "estimate",
        [
            package(code, hours, MONDAY, week_day(5), **more)
            for code, (hours, more) in techniques.items()
        ],
    )
    steps = milestones("STEPS", ["50", "90", "60"], [week_day(1), week_day(3), week_day(5)])
    job.load("milestones", steps)
    job.freeze()
    began = MONDAY.isoformat()
    job.load(
        "progress",
        [
            measured("ZERO", EVERY_STATUS, started=began),
            measured("HALF", EVERY_STATUS, started=began),
            measured("STEPS", week_day(1), milestone="m1"),
            measured("STEPS", EVERY_STATUS, milestone="m2"),
            measured("UNITS", EVERY_STATUS, quantity_done="25"),
            measured("SHARE", EVERY_STATUS, percent="64"),
        ],
    )
    return job


def test_every_technique_earns_by_its_own_rule(every_technique: PublishedJob) -> None:
    """E12 [C]: 0, 30, 140, 250, 64, 48 and 25 of 40, 60, 200, 500, 100, 120 and 50."""
    rows = every_technique.rows(EVERY_STATUS, "work-package")
    codes = ("ZERO", "HALF", "STEPS", "UNITS", "SHARE", "LEAD", "CHECK")

    assert [rows[code]["bac"] for code in codes] == [40, 60, 200, 500, 100, 120, 50]
    assert [rows[code]["ev"] for code in codes] == [0, 30, 140, 250, 64, 48, 25]


def test_every_technique_plans_by_its_own_rule(every_technique: PublishedJob) -> None:
    """After 10 of 25 days (ours): nothing, half, a step, two fifths of every spread budget [C]."""
    rows = every_technique.rows(EVERY_STATUS, "work-package")
    codes = ("ZERO", "HALF", "STEPS", "UNITS", "SHARE", "LEAD", "CHECK")

    assert [rows[code]["pv"] for code in codes] == [0, 30, 50, 200, 40, 48, 20]
    assert rows["LEAD"]["sv"] == 0  # level of effort has no schedule variance


def test_job_of_every_technique(every_technique: PublishedJob) -> None:
    """E12 [C]: BAC 1,070 and EV 557."""
    row = every_technique.row(EVERY_STATUS)

    assert taken(row, 4, "bac", "ev") == {"bac": 1070, "ev": 557}
    # Planned: 30 + 50 + 200 + 40 + 48 + 20.
    assert rounded(row["pv"], 4) == 388
