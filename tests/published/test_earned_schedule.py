"""E3: earned schedule over eleven weeks of a job planned for nine, with nothing booked.

Source: Vanhoucke, PM Knowledge Center, earned schedule: PV, EV and ES of weeks 1 to 7 [S]; ES of
weeks 8 to 11, SV(t) and SPI(t) at week 11 [C]. The calendar is ours: weeks of Mondays to Fridays,
each week's plan on its Friday. The unit of 150 is not money here but hours; units express the
printed EV exactly, a percentage does not.
"""

import math
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import PublishedJob, measured, package, rounded, taken, week_day

PV = ("5", "10", "25", "55", "85", "120", "130", "140", "150", "150", "150")
EV = ("3.33", "6.67", "10", "22.5", "70", "82.5", "90", "120", "130", "140", "150")
# 0.666 1.334 2 2+12.5/15 4+15/30 4+27.5/30 5+5/35, then PV of the weeks 6, 7, 8 and 9 to the hour
ES = ("0.67", "1.33", "2.00", "2.83", "4.50", "4.92", "5.14", "6", "7", "8", "9")
WEEKS = range(1, 12)
PLANNED = 9


@pytest.fixture(scope="module")
def job(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The published job, planned by a file, measured in units, without a sheet."""
    job = PublishedJob(new_yard(), week_day(PLANNED))
    whole = package(
        "WORK",
        "150",
        week_day(1, 1),
        week_day(PLANNED),
        technique="units_complete",
        quantity="150",
        unit="unit",
    )
    job.load("estimate", [whole])
    running = [Decimal(0), *map(Decimal, PV)]
    job.load(
        "plan",
        [
            {
                "work_package": "WORK",
                "date": week_day(week).isoformat(),
                "hours": str(running[week] - running[week - 1]),
            }
            for week in range(1, PLANNED + 1)
        ],
    )
    job.freeze()
    job.load(
        "progress",
        [measured("WORK", week_day(week), quantity_done=EV[week - 1]) for week in WEEKS],
    )
    return job


def schedule_earned(week: int) -> Fraction:
    """Return ES of a week, exact, from the printed PV and EV."""
    plan, earned = [Fraction(0), *map(Fraction, PV)], Fraction(EV[week - 1])
    if earned >= plan[-1]:
        return Fraction(plan.index(plan[-1]))
    full = max(number for number, value in enumerate(plan) if value <= earned)
    return full + (earned - plan[full]) / (plan[full + 1] - plan[full])


def finish(week: int) -> date:
    """Return the working day on which the forecast duration of a week ends, rounded up."""
    forecast_weeks = PLANNED / (schedule_earned(week) / week)
    whole, days = divmod(math.ceil(forecast_weeks * 5) - 1, 5)
    return week_day(whole + 1, days + 1)


@pytest.mark.slow
def test_planned_and_earned_are_the_published(job: PublishedJob) -> None:
    """PV and EV of every week are the source's, to the hundredth."""
    found = [job.row(week_day(week)) for week in WEEKS]

    assert [row["pv"] for row in found] == [Decimal(value) for value in PV]
    assert [row["ev"] for row in found] == [Decimal(value) for value in EV]


@pytest.mark.slow
def test_earned_schedule_of_every_week(job: PublishedJob) -> None:
    """ES interpolates between week ends; once PV reaches BAC it is the first time it did, 9."""
    found = [job.performance(week_day(week))["time"] for week in WEEKS]
    printed = [rounded(time["earned_schedule"], 2) for time in found]

    assert printed == [Decimal(value) for value in ES]
    assert [rounded(time["earned_schedule"], 4) for time in found] == [
        rounded(schedule_earned(week), 4) for week in WEEKS
    ]
    assert [time["planned_duration"] for time in found] == [PLANNED] * len(WEEKS)


@pytest.mark.slow
def test_time_index_and_forecast_of_every_week(job: PublishedJob) -> None:
    """SPI(t) = ES / AT, and the planned nine weeks are divided by it (Lipke 2003).

    In week 11 all is earned: the job is finished and has no forecast.
    """
    found = [job.performance(week_day(week))["time"] for week in WEEKS]
    open_weeks = WEEKS[:-1]

    assert [time["actual_time"] for time in found] == list(WEEKS)
    assert [rounded(time["spi_time"], 6) for time in found] == [
        rounded(schedule_earned(week) / week, 6) for week in WEEKS
    ]
    assert [rounded(time["forecast_duration"], 4) for time in found[:-1]] == [
        rounded(PLANNED * week / schedule_earned(week), 4) for week in open_weeks
    ]
    assert [time["forecast_finish"] for time in found[:-1]] == [
        finish(week).isoformat() for week in open_weeks
    ]


@pytest.mark.parametrize("weeks_later", [0, 4])
def test_a_finished_job_has_its_last_measured_day_and_no_forecast(
    job: PublishedJob, weeks_later: int
) -> None:
    """All earned in week 11: that is its finish on any later day, and the screen says finished."""
    day = week_day(11) + timedelta(weeks=weeks_later)
    time, finished = job.performance(day)["time"], week_day(11).isoformat()
    names = ("forecast_duration", "forecast_finish", "finished_on")

    assert [time[name] for name in names] == [None, finished, finished]
    assert time["undefined"]["forecast_duration"] == f"finished on {finished}"
    assert f"finished on {finished}\n" in job.shown(day)


def test_late_finish_shows_in_time_and_no_longer_in_hours(job: PublishedJob) -> None:
    """At week 11 SV is 0 and SPI 1, yet SV(t) is -2 and SPI(t) 9/11 [C]."""
    answer = job.performance(week_day(11))
    (row,) = answer["rows"]

    assert taken(row, 6, "sv", "spi") == {"sv": 0, "spi": 1}
    assert rounded(answer["time"]["sv_time"], 4) == -2
    assert rounded(answer["time"]["spi_time"], 6) == rounded(Fraction(9, 11), 6)


@pytest.mark.parametrize("week", [5, 9, 11])
def test_days_off_after_a_week_end_pass_no_working_time(job: PublishedJob, week: int) -> None:
    """A status date on the Sunday gives the time figures of the Friday before it."""
    friday = job.performance(week_day(week))["time"]
    sunday = job.performance(week_day(week) + timedelta(days=2))["time"]

    assert sunday == friday


@pytest.mark.parametrize("week", [1, 7, 11])
def test_nothing_booked_leaves_cost_indices_undefined_with_the_reason(
    job: PublishedJob, week: int
) -> None:
    """Without hours booked every figure that divides by them is null, and says why."""
    row = job.row(week_day(week))
    keys = ("cpi", "eac_cpi", "eac_cpi_spi", "eac_weighted")

    assert row["ac"] == 0
    assert {key: row[key] for key in keys} == dict.fromkeys(keys)
    assert {key for key in keys if row["undefined"].get(key, "").strip()} == set(keys)
    assert "spi" not in row["undefined"]


def test_time_figures_do_not_need_hours_booked(job: PublishedJob) -> None:
    """Earned schedule comes of plan and measure, so nothing of it is undefined without sheets."""
    time = job.performance(week_day(7))["time"]
    keys = ("earned_schedule", "actual_time", "sv_time", "spi_time", "forecast_duration")

    assert [key for key in keys if time[key] is None] == []
