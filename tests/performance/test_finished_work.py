"""Time of work that is finished: it stops on the day of the last measurement."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ledger.domain.measures import RowSums
from ledger.domain.schedule import why_spi_misleads
from ledger.performance.series import OverTime, SeriesAsked
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.published._job import MONDAY, PublishedJob, Spent, measured, package, week_day

DONE = (((1, 5), "40"), ((2, 5), "80"), ((3, 3), "100"))
FINISHED = week_day(3, 3)
LATER = (week_day(3, 3), week_day(3, 7), week_day(4, 2), week_day(8, 7))


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A hundred hours planned for two weeks, done on the Wednesday of the third."""
    yard = Yard(tmp_path_factory.mktemp("finished"))
    job = PublishedJob(yard, week_day(12))
    leading = package("LEAD", "10", MONDAY, week_day(2), technique="level_of_effort")
    job.load("estimate", [package("WORK", "100", MONDAY, week_day(2)), leading])
    job.freeze()
    job.spend([Spent("WORK", "96")], FINISHED)
    whole = (measured("WORK", week_day(*day), percent=percent) for day, percent in DONE)
    job.load("progress", list(whole))
    return yard


def time_on(yard: Yard, day: object) -> Any:
    return yard.json("performance", "--job", "CASE", "--status-date", day)["time"]


def test_no_time_passes_after_the_finish(yard: Yard) -> None:
    """SPI(t) is 2 / 2.6 on the day of the finish, at the end of that week and five weeks later."""
    times = [time_on(yard, day) for day in LATER]

    assert {each["actual_time"] for each in times} == {Decimal("2.6")}
    assert {each["spi_time"] for each in times} == {Decimal("0.769231")}
    assert {each["finished_on"] for each in times} == {FINISHED.isoformat()}


def test_a_series_stops_the_time_too(yard: Yard) -> None:
    """Week by week: 1, 2, and from the third on 2.6, as `performance` has it on each date."""
    with open_book(yard.book) as book:
        time = OverTime(book, SeriesAsked("CASE", week_day(5, 7))).time

    assert [each.actual_time for each in time] == [1, 2, *[Fraction(13, 5)] * 3]
    assert [each.finished_on for each in time] == [None, None, *[FINISHED] * 3]


def test_finished_work_has_no_forecast_to_go_by(yard: Yard) -> None:
    """The screen gives the week of the finish, and SPI(t) alone to go by."""
    shown = yard.run("performance", "--job", "CASE", "--status-date", LATER[-1]).stdout

    assert (
        f"work earned equals plan week 2.00, done in week 2.60; finished on {FINISHED}\n" in shown
    )
    assert (
        "SPI goes to 1 as the work ends, late or not: with 100.0 % earned without level of "
        "effort and the work finished, go by SPI(t)\n"
    ) in shown
    assert why_spi_misleads(RowSums(10, 10, 10, 9)) != why_spi_misleads(
        RowSums(10, 10, 10, 9), is_finished=True
    )
    assert why_spi_misleads(RowSums(0, 0, 0, 0), is_finished=True) is None


def test_a_report_gives_the_week_of_the_finish(yard: Yard) -> None:
    """The page says in which week the work was finished, not which one this is."""
    out = yard.folder / "finished.html"
    yard.run("report", "performance", "--job", "CASE", "--status-date", LATER[-1], "--out", out)

    sentence = "planned for week 2.0; it was finished in week 2.6 of 2.0 planned."
    assert sentence in out.read_text("utf-8")
