"""Key dates, completion and SPI beside a job's time figures, worked by hand."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from ledger.domain.calendar import WorkCalendar, days_between
from ledger.domain.key_dates import KeyDate, People, TradeReach, reached_on
from ledger.domain.measures import RowSums
from ledger.domain.schedule import why_spi_misleads
from ledger.performance.basis import Scope
from ledger.performance.key_dates import KeyDates
from ledger.performance.measure import Measured
from ledger.store.book import Book, open_book
from tests._stage import copied
from tests.conftest import Yard
from tests.published._job import (
    CONTRACT_DATE,
    MONDAY,
    PublishedJob,
    Spent,
    measured,
    table,
    week_day,
)
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
    doubt = why_spi_misleads(RowSums(1000, pv, ev, 800))

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
        key_dates.people.__dict__["_leave"] = defaultdict(set, W001={saturday})
        key_dates.__dict__["days_a_week"] = Fraction(11, 2)
        (launch,) = key_dates.all

    (trade,) = launch.trades
    # Key date on the Friday: 10.5 full days of 5.5 a week; half a day of them one is away.
    assert trade.weeks_left == Fraction(21, 11)
    assert trade.people.count == 2 - Fraction(1, 21)


def launch_on(book: Book, day: date) -> KeyDate:
    (launch,) = KeyDates(Measured(book, "CASE", Scope(day))).all
    return launch


def test_a_young_job_has_the_people_of_its_weeks(yard: Yard) -> None:
    """After two weeks two fitters are two, not two weeks of theirs over four.

    Nothing is earned, so 600 h are to go in four weeks: 600 / (4 x 40) people.
    """
    with open_book(yard.book) as book:
        launch = launch_on(book, week_day(2, 7))

    (fitter,) = launch.trades
    assert (fitter.people.count, fitter.needed) == (2, Fraction(15, 4))
    # 600 / 80 = 7.5 weeks, 38 working days: the Wednesday of week 10, 18 after Launch.
    assert (launch.reached_on, launch.misses_by) == (week_day(10, 3), 18)


def test_before_a_week_has_ended_nobody_was_there(yard: Yard) -> None:
    """Midweek of the first week there is no week to go by."""
    with open_book(yard.book) as book:
        launch = launch_on(book, week_day(1, 3))

    assert launch.why is not None
    assert launch.why.kind == "nobody_of_trade"
    assert launch.trades[0].people == People(Fraction(0), None)


@pytest.mark.parametrize("days", [WEEKDAYS, SIX_DAYS])
def test_a_shut_down_is_no_week_of_the_mean(
    yard: Yard, monkeypatch: pytest.MonkeyPatch, days: list[date]
) -> None:
    """Closed in week 5, but for a Saturday at 0.4: two fitters of weeks 1 to 4 are two.

    The five days of week 6 are a week as the card has it, the Saturday before not among them.
    """
    closed = set(days_between(week_day(5, 1), week_day(5, 5)))
    open_days = [day for day in days if day not in closed]
    weights = tuple(Decimal("0.4") if day.weekday() == 5 else Decimal(1) for day in open_days)
    with open_book(yard.book) as book:
        key_dates = KeyDates(Measured(book, "CASE", Scope(week_day(5, 7))))
        monkeypatch.setattr(key_dates, "calendar", WorkCalendar(tuple(open_days), 0, weights))
        (launch,) = key_dates.all

    (fitter,) = launch.trades
    assert (fitter.weeks_left, fitter.people.count) == (1, 2)
    assert key_dates.people.span == (week_day(1, 1), week_day(4, 7))


@pytest.mark.slow
def test_a_persons_week_is_what_they_work_on_all_jobs(yard: Yard, tmp_path: Path) -> None:
    """One of two has ten hours a week on another job: of 320 h in two weeks 320 / (2 x 45)."""
    own = copied(yard.book, tmp_path / "elsewhere")
    terms = PublishedJob._terms(week_day(12)).replace('"CASE"', '"OTHER"')
    own.run("load", "job", own.write("other.toml", terms))
    other = table([planned("ELSE", "100", MONDAY, week_day(7))])
    own.run("load", "estimate", "--job", "OTHER", own.write("other.csv", other))
    own.run("freeze", "--job", "OTHER", "--on", CONTRACT_DATE)
    lines = [f"S{week},W001,{week_day(week, 6)},10,ELSE" for week in range(1, 5)]
    text = "sheet,worker_id,date,hours,booking_code\n" + "\n".join(lines) + "\n"
    own.run("load", "sheets", "--job", "OTHER", own.write("elsewhere.csv", text))
    with open_book(own.book) as book:
        (fitter,) = launch_on(book, STATUS).trades

    assert (fitter.people.count, fitter.people.weekly_ms) == (2, 45 * HOUR)
    assert fitter.needed == Fraction(32, 9)


@pytest.mark.slow
def test_who_has_left_is_not_there(yard: Yard, tmp_path: Path) -> None:
    """Active to the status date, or to the Friday of one of two weeks: away for all, or half."""
    for until, there in ((STATUS, 1), (week_day(5), Fraction(3, 2))):
        own = copied(yard.book, tmp_path / f"{until}")
        text = (
            "worker_id,name,trade,grade,active_from,active_to\n"
            f"W001,Worker W001,fitter,trained,{MONDAY},{until}\n"
        )
        own.run("load", "crew", own.write("crew.csv", text))
        with open_book(own.book) as book:
            (fitter,) = launch_on(book, STATUS).trades

        assert fitter.people.count == there


@pytest.mark.slow
def test_a_trade_that_is_all_away_says_so(yard: Yard, tmp_path: Path) -> None:
    """With all of a trade on leave the reason is the leave, not that nobody was there."""
    own = copied(yard.book, tmp_path / "away")
    first, last = week_day(5, 1), week_day(6, 7)
    lines = "".join(f"W00{number},{first},{last}\n" for number in (1, 2))
    own.run("load", "leave", own.write("leave.csv", "worker_id,from,to\n" + lines))
    shown = own.run("performance", "--job", "CASE", "--status-date", STATUS).stdout

    assert f"Launch, {DUE}: all fitter of late are on leave or not active on the days left" in shown


def test_full_days_end_on_a_day_by_its_weight() -> None:
    """Five full days and a half Saturday: after 5.5 it is Saturday, after a bit more Monday."""
    ends = [HALF_SATURDAYS.day_after_full_days(STATUS, Fraction(n, 2)) for n in (0, 10, 11, 12)]

    assert ends == [STATUS, week_day(5, 5), week_day(5, 6), week_day(6, 1)]
    assert HALF_SATURDAYS.day_after_full_days(STATUS, Fraction(10_000)) is None
    last = HALF_SATURDAYS.days[-1]
    rest = HALF_SATURDAYS.full_days(STATUS, last)
    assert HALF_SATURDAYS.day_after_full_days(STATUS, rest) == last
