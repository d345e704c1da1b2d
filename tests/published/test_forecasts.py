"""E9 to E11: variances, indices and forecasts of single packages given by PV, EV, AC and BAC alone.

The figures are money: an hour costs 100.00 (1,000.00 in E11). Where only PV is published, a plan
file puts it before the status date and the rest after; dates are ours.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import PublishedJob, Spent, measured, package, rounded, taken, week_day

STATUS = week_day(3)


def single(
    yard: Yard,
    hours: str,
    *,
    planned: str,
    earned: str,
    spent: str,
    rate: str = "100.00",
    own: str = "",
) -> PublishedJob:
    """Return a job of one package, its hours planned, earned and spent by the status date."""
    job = PublishedJob(yard, week_day(6), rate=rate)
    job.load(
        "estimate",
        [
            package(
                "ONE",
                hours,
                week_day(1, 1),
                week_day(6),
                technique="units_complete",
                quantity=hours,
                unit="unit",
            )
        ],
    )
    later = str(Decimal(hours) - Decimal(planned))
    days = {week_day(2): planned, week_day(6): later}
    job.load(
        "plan",
        [
            {"work_package": "ONE", "date": day.isoformat(), "hours": part}
            for day, part in days.items()
        ],
    )
    job.freeze()
    job.load(
        "progress",
        [measured("ONE", STATUS, quantity_done=earned, estimate_to_complete_hours=own)],
    )
    job.spend([Spent("ONE", spent)], STATUS)
    return job


def test_one_year_project(yard: Yard) -> None:
    """E9: as printed (Schwalbe, *Information Technology Project Management*, ch. 7 [S])."""
    job = single(yard, "1200", planned="230", earned="200", spent="250")
    row = job.row(STATUS, "--in", "cost")

    assert taken(row, 4, "bac", "pv", "ev", "ac", "cv", "sv", "cpi", "spi", "eac_cpi") == {
        "bac": 120_000,
        "pv": 23_000,
        "ev": 20_000,
        "ac": 25_000,
        "cv": -5_000,
        "sv": -3_000,
        "cpi": Decimal("0.8"),
        "spi": Decimal("0.8696"),
        "eac_cpi": 150_000,
    }
    # By SPI and not by earned schedule, so a formula of the source only: 12 months / SPI = 13.8.
    assert rounded(12 / row["spi"], 1) == Decimal("13.8")


# E10 (exam-preparation text [S]); the own estimate to complete is 3,000.
FOUR = {
    "bac": 4000,
    "pv": 3000,
    "ev": 2000,
    "ac": 2500,
    "eac_cpi": 5000,
    "eac_budget_rate": 4500,
    "eac_cpi_spi": 6250,  # printed 6,287, from an SPI cut off at 0.66
}
SCALE = {"cost": Fraction(1), "hours": Fraction(1, 100)}


@pytest.fixture(scope="module")
def by_index(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The data set without its own estimate."""
    return single(new_yard(), "40", planned="30", earned="20", spent="25")


@pytest.fixture(scope="module")
def by_own_estimate(new_yard: Callable[[], Yard]) -> PublishedJob:
    """The data set with its own estimate to complete."""
    return single(new_yard(), "40", planned="30", earned="20", spent="25", own="30")


@pytest.mark.parametrize("unit", ["cost", "hours"])
@pytest.mark.parametrize("data_set", ["by_index", "by_own_estimate"])
def test_formulas_on_one_data_set(request: pytest.FixtureRequest, data_set: str, unit: str) -> None:
    """E10: the formulas give the printed forecasts, with an own estimate and without."""
    row = request.getfixturevalue(data_set).row(STATUS, "--in", unit)

    assert taken(row, 4, *FOUR) == {
        key: rounded(amount * SCALE[unit], 4) for key, amount in FOUR.items()
    }
    # 2,500 + 2,000 / (0.8 x 0.8 + 0.2 x 2/3) = 2,500 + 2,000 x 75/58 [C]
    weighted = (2500 + Fraction(2000 * 75, 58)) * SCALE[unit]
    assert rounded(row["eac_weighted"], 4) == rounded(weighted, 4)
    assert rounded(row["tcpi_bac"], 4) == Decimal("1.3333")


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_without_own_estimate_the_index_forecasts(by_index: PublishedJob, unit: str) -> None:
    """E10: the forecast is 5,000 and the index to reach it 0.8; the own estimate is undefined."""
    row = by_index.row(STATUS, "--in", unit)

    assert rounded(row["eac"], 4) == rounded(5000 * SCALE[unit], 4)
    assert rounded(row["tcpi_eac"], 6) == Decimal("0.8")
    assert row["eac_own_estimate"] is None
    assert row["undefined"]["eac_own_estimate"].strip() != ""


@pytest.mark.parametrize("unit", ["cost", "hours"])
def test_own_estimate_comes_before_the_index(by_own_estimate: PublishedJob, unit: str) -> None:
    """E10: 2,500 spent and 3,000 to go are 5,500; the index to reach it is 2,000 / 3,000."""
    row = by_own_estimate.row(STATUS, "--in", unit)
    forecast = rounded(5500 * SCALE[unit], 4)

    assert taken(row, 4, "eac_own_estimate", "eac") == {
        "eac_own_estimate": forecast,
        "eac": forecast,
    }
    assert rounded(row["tcpi_eac"], 6) == Decimal("0.666667")


def test_forecast_at_the_budgets_rate(yard: Yard) -> None:
    """E11: 127,000 + 500,000 - 100,000 = 527,000 (Phillips, fig. 7-13 [S]); PV ours."""
    job = single(yard, "500", planned="125", earned="100", spent="127", rate="1000.00")
    row = job.row(STATUS, "--in", "cost")

    assert taken(row, 4, "bac", "ev", "ac", "eac_budget_rate") == {
        "bac": 500_000,
        "ev": 100_000,
        "ac": 127_000,
        "eac_budget_rate": 527_000,
    }


def test_forecast_at_the_index(yard: Yard) -> None:
    """E11: 500,000 x 162,000 / 150,000 = 540,000, exact [C] (Phillips, fig. 7-14 [S]); PV ours."""
    job = single(yard, "500", planned="175", earned="150", spent="162", rate="1000.00")
    row = job.row(STATUS, "--in", "cost")

    assert taken(row, 4, "bac", "ev", "ac", "eac_cpi", "eac") == {
        "bac": 500_000,
        "ev": 150_000,
        "ac": 162_000,
        "eac_cpi": 540_000,
        "eac": 540_000,
    }
