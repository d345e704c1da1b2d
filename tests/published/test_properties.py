"""What every set of figures must obey: properties of the method and of our threshold.

Sources: EIA-748 and GAO-20-195G for the formulas; Lipke 2003 for earned schedule. All figures
here are ours [C]. The sums of parts stand with E1, level of effort and 0/100 with E12 and E4, the
straight-line plan with E2.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from tests.conftest import Yard
from tests.published._job import PublishedJob, Spent, measured, package, rounded, taken, week_day


def measured_job(yard: Yard, percents: Mapping[date, str], spent: str) -> PublishedJob:
    """Return a job of one package of 100 h over weeks 1 to 4, measured and booked in week 2."""
    job = PublishedJob(yard, week_day(4))
    job.load("estimate", [package("ONE", "100", week_day(1, 1), week_day(4))])
    job.freeze()
    job.load("progress", [measured("ONE", day, percent=done) for day, done in percents.items()])
    job.spend([Spent("ONE", spent)], week_day(2))
    return job


@pytest.mark.parametrize(
    ("percent", "forecast", "index"),
    [
        # below 15 % earned the index is not used: 20 + (100 - 14.99), not 100 x 20 / 14.99
        ("14.99", Decimal("105.01"), Decimal(1)),
        # from 15 % on it is: 100 x 20 / 15
        ("15", Decimal("133.3333"), Decimal("0.75")),
    ],
)
def test_index_is_used_from_the_threshold_on(
    yard: Yard, percent: str, forecast: Decimal, index: Decimal
) -> None:
    """TCPI(AC + BAC - EV) = 1 below the threshold and TCPI(BAC / CPI) = CPI from it on."""
    row = measured_job(yard, {week_day(2): percent}, "20").row(week_day(2))

    assert rounded(row["eac"], 4) == forecast
    assert rounded(row["tcpi_eac"], 6) == index


@pytest.mark.slow
def test_order_of_forecasts_when_late_and_dear(yard: Yard) -> None:
    """CPI < 1 and SPI < 1 imply EAC(CPI x SPI) > EAC(CPI) > EAC(budget rate) > BAC."""
    # PV 50, EV 40, AC 64: CPI 0.625, SPI 0.8
    row = measured_job(yard, {week_day(2): "40"}, "64").row(week_day(2))
    keys = ("eac_cpi_spi", "eac_cpi", "eac_budget_rate", "bac")

    # 64 + 60 / 0.5; 100 / 0.625; 64 + 60; 100
    assert [row[key] for key in keys] == [184, 160, 124, 100]


def test_complete_job_has_no_schedule_variance_and_ends_at_its_actual(yard: Yard) -> None:
    """At completion SV = 0 and every forecast is what was booked."""
    job = measured_job(yard, {week_day(2): "60", week_day(5): "100"}, "113.5")
    row = job.row(week_day(5))

    assert row["sv"] == 0
    assert {row[key] for key in ("eac", "eac_cpi", "eac_budget_rate", "ac")} == {Decimal("113.5")}
    assert row["etc"] == 0


def test_nothing_planned_yet_leaves_the_schedule_index_undefined(yard: Yard) -> None:
    """While PV is nothing SPI is null with its reason, and CPI stands."""
    job = PublishedJob(yard, week_day(4))
    job.load("estimate", [package("ONE", "100", week_day(3, 1), week_day(4))])
    job.freeze()
    job.load("progress", [measured("ONE", week_day(2), percent="20")])
    job.spend([Spent("ONE", "16")], week_day(2))
    row = job.row(week_day(2))

    assert (row["pv"], row["spi"], row["eac_cpi_spi"]) == (0, None, None)
    assert row["undefined"]["spi"].strip() != ""
    assert row["cpi"] == rounded(Fraction(20, 16), 6)


@pytest.mark.parametrize("spent", ["100", "112"])
def test_budget_used_up_leaves_the_index_to_reach_it_undefined(yard: Yard, spent: str) -> None:
    """With no budget left to spend, the index to reach the budget is null with its reason."""
    row = measured_job(yard, {week_day(2): "80"}, spent).row(week_day(2))

    assert row["tcpi_bac"] is None
    assert row["undefined"]["tcpi_bac"].strip() != ""
    assert rounded(row["tcpi_eac"], 6) == rounded(Fraction(80, int(spent)), 6)


def test_cost_is_hours_times_one_rate(yard: Yard) -> None:
    """With one rate for all, every cost is the hours times the rate and every index the same."""
    job = measured_job(yard, {week_day(2): "37.5"}, "41.25")
    hours, cost = job.row(week_day(2)), job.row(week_day(2), "--in", "cost")
    amounts = ("bac", "pv", "ev", "ac", "cv", "sv", "eac_budget_rate", "eac_cpi_spi")
    ratios = ("cpi", "spi", "tcpi_bac", "percent_complete")

    assert taken(cost, 2, *amounts) == {key: rounded(hours[key] * 100, 2) for key in amounts}
    assert taken(cost, 6, *ratios) == taken(hours, 6, *ratios)
