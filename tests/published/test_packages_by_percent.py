"""E1: six packages measured by percent, their job, and the forecast that is not the sum of theirs.

Source: Lester, *Project Management, Planning and Control*, ch. 32, Table 32.2 [S]. The table is
in hundreds of man-hours; its printed figures are taken as hours here, so the scale is 1/100. The
dates, and so PV, are ours.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import (
    PublishedJob,
    Spent,
    measured,
    package,
    rounded,
    taken,
    week_day,
)

STATUS = week_day(10)
# package: budget, percent complete, value, actual
TABLE = {
    "A": ("1000", "100", 1000, "1400"),
    "B": ("800", "50", 400, "600"),
    "C": ("600", "60", 360, "300"),
    "D": ("1200", "40", 480, "850"),
    "E": ("300", "70", 210, "250"),
    "F": ("400", "80", 320, "600"),
}
BAC, EV, AC = 4300, 2770, 4000


@pytest.fixture(scope="module")
def job(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The table's job, its hours booked and its percentages measured by the status date."""
    job = PublishedJob(new_yard(), week_day(16))
    accounts = {"A": "hull", "B": "hull", "C": "hull", "D": "fit_out", "E": "fit_out", "F": "rig"}
    job.load(
        "estimate",
        [
            package(code, budget, week_day(1, 1), week_day(16), control_account=accounts[code])
            for code, (budget, *_) in TABLE.items()
        ],
    )
    job.freeze()
    job.load(
        "progress",
        [measured(code, STATUS, percent=percent) for code, (_, percent, *_) in TABLE.items()],
    )
    job.spend([Spent(code, actual) for code, (*_, actual) in TABLE.items()], STATUS)
    return job


def test_job_totals_are_the_tables(job: PublishedJob) -> None:
    """Budget, value and actual of the job are its packages' sums, and the index their quotient."""
    row = job.row(STATUS)

    assert taken(row, 4, "bac", "ev", "ac", "cv") == {"bac": BAC, "ev": EV, "ac": AC, "cv": EV - AC}
    assert rounded(row["percent_complete"], 1) == Decimal("64.4")
    assert rounded(row["cpi"] * 100, 2) == Decimal("69.25")


def test_job_forecast_is_by_the_jobs_own_index(job: PublishedJob) -> None:
    """Budget / index is exact: 4300 x 4000 / 2770 = 6209.39; printed 6211 is 4000 / 0.644 [C]."""
    row = job.row(STATUS)

    assert rounded(row["eac_cpi"], 4) == rounded(Fraction(BAC * AC, EV), 4)
    assert rounded(row["eac_cpi"], 2) == Decimal("6209.39")
    assert rounded(row["vac"], 2) == Decimal("-1909.39")
    # Without level of effort and own estimates AC + (BAC - EV) / f is the same figure.
    assert rounded(row["eac"], 4) == rounded(row["eac_cpi"], 4)


def test_packages_carry_their_own_value_and_actual(job: PublishedJob) -> None:
    """Each package earns its percentage of its budget."""
    rows = job.rows(STATUS, "work-package")
    actual = {code: taken(rows[code], 4, "bac", "ev", "ac") for code in TABLE}

    assert actual == {
        code: {"bac": Decimal(budget), "ev": value, "ac": Decimal(spent)}
        for code, (budget, _, value, spent) in TABLE.items()
    }


def test_forecasts_of_packages_by_their_own_index_are_not_the_jobs(job: PublishedJob) -> None:
    """Forecasts by the packages' own indices sum to 6332.14, not to the job's 6209.39 [C]."""
    rows = job.rows(STATUS, "work-package")
    forecasts = {code: rounded(rows[code]["eac_cpi"], 2) for code in TABLE}

    # 1400 + 800 x 600/400 + 600 x 300/360 + 1200 x 850/480 + 300 x 250/210 + 400 x 600/320
    assert forecasts == {
        "A": 1400,
        "B": 1200,
        "C": 500,
        "D": 2125,
        "E": Decimal("357.14"),
        "F": 750,
    }
    assert sum(forecasts.values()) == Decimal("6332.14")


def test_complete_package_is_forecast_at_its_actual(job: PublishedJob) -> None:
    """A complete package ends where it stands; an open one goes on at the job's index."""
    rows = job.rows(STATUS, "work-package")
    actual = {code: rounded(rows[code]["eac"], 4) for code in TABLE}
    # A: 1400; else actual + (budget - value) x 4000 / 2770
    expected = {
        code: rounded(int(spent) + (int(budget) - value) * Fraction(AC, EV), 4)
        for code, (budget, _, value, spent) in TABLE.items()
    }

    assert actual == expected
    assert actual["A"] == 1400


@pytest.mark.parametrize("by", ["control-account", "work-package", "trade"])
def test_parts_add_to_the_job(job: PublishedJob, by: str) -> None:
    """The rows below the job add to it in BAC, PV, EV, AC, CV and SV (property of the method)."""
    keys = ("bac", "pv", "ev", "ac", "cv", "sv")
    whole = job.row(STATUS)
    parts = job.rows(STATUS, by).values()
    # Each printed figure is rounded by itself at four places; the sums agree at two.
    actual = {key: rounded(sum(part[key] for part in parts), 2) for key in keys}

    assert actual == taken(whole, 2, *keys)


@pytest.mark.parametrize("by", ["control-account", "work-package", "trade"])
def test_forecasts_of_the_parts_add_to_the_jobs(job: PublishedJob, by: str) -> None:
    """The program's own forecast is built from its parts, so theirs add to the job's."""
    parts = job.rows(STATUS, by).values()
    actual = {key: rounded(sum(part[key] for part in parts), 2) for key in ("eac", "etc", "vac")}

    assert actual == {
        "eac": Decimal("6209.39"),
        "etc": Decimal("2209.39"),
        "vac": Decimal("-1909.39"),
    }


def test_index_to_reach_the_forecast_is_the_index_so_far(job: PublishedJob) -> None:
    """TCPI(BAC / CPI) = CPI, and BAC / CPI = AC + (BAC - EV) / CPI (properties of the method)."""
    row = job.row(STATUS)

    assert rounded(row["tcpi_eac"], 6) == rounded(row["cpi"], 6)
    assert rounded(row["eac_cpi"], 4) == rounded(AC + Fraction(BAC - EV) * AC / EV, 4)
