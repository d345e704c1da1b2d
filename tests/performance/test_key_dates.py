"""Key dates, completion and SPI beside a job's time figures, worked by hand."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from ledger.domain.calendar import WorkCalendar, days_between
from ledger.domain.key_dates import People, TradeReach, reached_on
from ledger.domain.measures import Sums
from ledger.domain.schedule import why_spi_misleads
from ledger.performance.basis import Scope
from ledger.performance.key_dates import KeyDates
from ledger.performance.measure import Measured
from ledger.store.book import open_book
from tests._stage import copied
from tests.conftest import Yard
from tests.published._job import CONTRACT_DATE, MONDAY, PublishedJob, Spent, measured, week_day
from tests.published._job import package as planned

HOUR = 3_600_000
WEEKDAYS = [d for d in days_between(date(2026, 1, 1), date(2026, 12, 31)) if d.weekday() < 5]
SIX_DAYS = [d for d in days_between(date(2026, 1, 1), date(2026, 12, 31)) if d.weekday() < 6]
HALF_SATURDAYS = WorkCalendar(
    tuple(SIX_DAYS),
    day_weights=tuple(Decimal("0.5") if d.weekday() == 5 else Decimal(1) for d in SIX_DAYS),
)
DUE, STATUS = week_day(6), week_day(4, 7)


def fitters(count: int, to_go: int = 320) -> TradeReach:
    return TradeReach(
        "fitter", to_go * HOUR, Fraction(2), People(Fraction(count), Fraction(40 * HOUR))
    )


@pytest.mark.parametrize(
    ("trade", "needed", "short", "weeks"),
    [
        (fitters(2), 4, 2, 4),  # 320 / (2 weeks x 40); 320 / (2 x 40)
        (fitters(5), 4, -1, Fraction(8, 5)),
        (fitters(0), 4, 4, None),
        (fitters(0, to_go=0), 0, 0, 0),
    ],
)
def test_people_needed_before_a_key_date(
    trade: TradeReach, needed: int, short: int, weeks: Fraction | None
) -> None:
    """People needed are hours to go over weeks left and a person's hours a week."""
    assert (trade.needed, trade.short, trade.weeks_needed) == (needed, short, weeks)


def test_the_slowest_trade_reaches_a_key_date() -> None:
    """Of 4 and 1.6 weeks the four count: 20 working days; a trade with nobody never gets there."""
    calendar = WorkCalendar(tuple(WEEKDAYS))
    slow = reached_on([fitters(2), fitters(5)], week_day(4, 7), Fraction(5), calendar)

    assert slow == week_day(8)
    assert reached_on([fitters(2), fitters(0)], STATUS, Fraction(5), calendar) is None


@pytest.mark.parametrize(
    ("pv", "ev", "why"),
    [(900, 600, None), (900, 667, "spi_last_third"), (1000, 600, "spi_plan_over"), (0, 0, None)],
)
def test_spi_is_not_trusted_over_the_last_third(pv: int, ev: int, why: str | None) -> None:
    """It goes to 1 as the work ends; once the plan has passed it only says how much is earned."""
    doubt = why_spi_misleads(Sums(1000, pv, ev, 800))

    assert (doubt and doubt.kind) == why


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """Two fitters at 40 h a week for 4 weeks, 300 of 600 h earned; 320 h to go by week 6."""
    yard = Yard(tmp_path_factory.mktemp("key-dates"))
    job = PublishedJob(yard, week_day(12))
    terms = PublishedJob._terms(week_day(12)) + (
        f"completion_date = {week_day(7)}\n"
        f'[[key_dates]]\nname = "Launch"\ndate = {DUE}\npackages = ["WORK"]\n'
    )
    yard.run("load", "job", yard.write("job.toml", terms))
    job.load("estimate", [planned("WORK", "600", MONDAY, week_day(7))])
    yard.run("freeze", "--job", "CASE", "--on", CONTRACT_DATE)
    job.spend([Spent("WORK", "320")], week_day(4))
    job.load("progress", [measured("WORK", week_day(4), percent="50")])
    return yard


@pytest.mark.slow
def test_a_key_date_is_missed_by_working_days(yard: Yard) -> None:
    """To go 320 / (300/320) h less AC = 320; two people do it in 4 weeks, two are left."""
    words = ("performance", "--job", "CASE", "--status-date", STATUS)
    told: dict[str, Any] = yard.json(*words)["time"]
    (launch,) = told["key_dates"]
    (trade,) = launch["trades"]

    assert (launch["to_go_hours"], launch["misses_by_days"]) == (320, 10)
    assert launch["reached_on"] == week_day(8).isoformat()
    assert [trade[name] for name in ("weeks_left", "people_needed")] == [2, 4]
    assert [trade[name] for name in ("people_there", "people_short")] == [2, 2]
    assert "misses Launch by 10 working days: 2026-03-06, not 2026-02-20" in yard.run(*words).stdout
    # 7 planned weeks / (3.5 of 4) = 8 weeks: a week after the completion date, no days granted.
    assert (told["late_by_days"], told["late_by_days_with_days_granted"]) == (5, 5)
    assert yard.json(*words, "--in", "cost")["time"]["key_dates"] == told["key_dates"]


@pytest.mark.slow
def test_leave_known_ahead_takes_people_away(yard: Yard, tmp_path: Path) -> None:
    """One of two is away for one of the two weeks left: one and a half are there."""
    own = copied(yard.book, tmp_path / "leave")
    text = f"worker_id,from,to\nW001,{week_day(5, 1)},{week_day(5, 7)}\n"
    own.run("load", "leave", own.write("leave.csv", text))
    with open_book(own.book) as book:
        (launch,) = KeyDates(Measured(book, "CASE", Scope(STATUS))).all

    assert [trade.people.count for trade in launch.trades] == [Fraction(3, 2)]
    assert launch.misses_by == 17  # 320 / 60 = 5 1/3 weeks, 27 working days


@pytest.mark.slow
def test_a_saturday_of_a_smaller_crew_counts_its_weight(
    yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Weeks of five days and half a Saturday: 10.5 of 11 days are left, one away for half a day."""
    with open_book(yard.book) as book:
        key_dates = KeyDates(Measured(book, "CASE", Scope(STATUS)))
        monkeypatch.setattr(key_dates, "calendar", HALF_SATURDAYS)
        saturday = week_day(5, 6)
        key_dates.__dict__["_leave"] = defaultdict(set, W001={saturday})
        (launch,) = key_dates.all

    (trade,) = launch.trades
    # Key date on the Friday: 10.5 full days of 5.5 a week; half a day of them one is away.
    assert key_dates.days_a_week == Fraction(11, 2)
    assert trade.weeks_left == Fraction(21, 11)
    assert trade.people.count == 2 - Fraction(1, 21)


def test_full_days_end_on_a_day_by_its_weight() -> None:
    """Five full days and a half Saturday: after 5.5 it is Saturday, after a bit more Monday."""
    ends = [HALF_SATURDAYS.day_after_full_days(STATUS, Fraction(n, 2)) for n in (0, 10, 11, 12)]

    assert ends == [STATUS, week_day(5, 5), week_day(5, 6), week_day(6, 1)]
    assert HALF_SATURDAYS.day_after_full_days(STATUS, Fraction(10_000)) is None
    last = HALF_SATURDAYS.days[-1]
    rest = HALF_SATURDAYS.full_days(STATUS, last)
    assert HALF_SATURDAYS.day_after_full_days(STATUS, rest) == last
