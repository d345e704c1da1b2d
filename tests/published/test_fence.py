"""E8: a fence of four sides, one a day, a thousand each, at the end of day 3.

Source: Mulcahy, *PMP Exam Prep* [S]; the source rounded the index before it forecast (4,479,
1,679 and -479 printed), the exact figures are 4,480, 1,680 and -480 [C]. A side is ten hours at
100.00. The weekdays are ours: Monday to Thursday.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import PublishedJob, Spent, measured, package, rounded, taken, week_day

STATUS = week_day(1, 3)
# side: percent complete, hours booked
SIDES = {"S1": ("100", "10"), "S2": ("100", "12"), "S3": ("50", "6"), "S4": ("0", "0")}
SCALE = {"cost": Fraction(1), "hours": Fraction(1, 100)}


@pytest.fixture(scope="module")
def job(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The fence at the end of day 3."""
    job = PublishedJob(new_yard(), week_day(1, 4))
    job.load(
        "estimate",
        [
            package(code, "10", week_day(1, day), week_day(1, day))
            for day, code in enumerate(SIDES, 1)
        ],
    )
    job.freeze()
    job.load(
        "progress",
        [measured(code, STATUS, percent=percent) for code, (percent, _) in SIDES.items()],
    )
    job.spend([Spent(code, hours) for code, (_, hours) in SIDES.items()], STATUS)
    return job


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_amounts(job: PublishedJob, unit: str) -> None:
    """Planned 3,000, earned 2,500, spent 2,800, ends at 4,480; in hours a hundredth of each."""
    published = {
        "bac": 4000,
        "pv": 3000,
        "ev": 2500,
        "ac": 2800,
        "cv": -300,
        "sv": -500,
        "eac_cpi": 4480,
        "eac": 4480,
        "etc": 1680,
        "vac": -480,
    }
    row = job.row(STATUS, "--in", unit)

    assert taken(row, 4, *published) == {
        key: rounded(amount * SCALE[unit], 4) for key, amount in published.items()
    }


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_indices(job: PublishedJob, unit: str) -> None:
    """CPI .893 and SPI .833 as printed."""
    row = job.row(STATUS, "--in", unit)

    assert taken(row, 3, "cpi", "spi") == {"cpi": Decimal("0.893"), "spi": Decimal("0.833")}
    assert rounded(row["cpi"], 6) == rounded(Fraction(25, 28), 6)


def test_sides_end_where_they_stand_or_at_the_jobs_index(job: PublishedJob) -> None:
    """Two sides ended at 1,000 and 1,200; the others go on at 25/28: 600 + 560 and 1,120 [C]."""
    rows = job.rows(STATUS, "work-package", "--in", "cost")

    assert [rounded(rows[side]["eac"], 4) for side in SIDES] == [1000, 1200, 1160, 1120]
