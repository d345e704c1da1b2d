"""Overtime by the week, where weeks stand alone and where they cross pay periods."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.payroll._paid import begin, paid, sheets

FORTY = '[overtime]\nweekly_hours = "40"\n'


def week(worker: str, monday: str, *hours: str) -> list[str]:
    """Return rows of a worker's days from a Monday on."""
    first = date.fromisoformat(monday)
    days = ((first + timedelta(days=n), each) for n, each in enumerate(hours))
    return [f"{worker},{day},{each},SHOP" for day, each in days]


@pytest.fixture
def forty(yard: Yard) -> Yard:
    """A yard whose overtime is above 40 hours a week."""
    yard.copy_made_by(begin)
    yard.run("load", "settings", yard.write("overtime.toml", FORTY))
    return yard


def overtime(yard: Yard, *words: str) -> list[tuple[Any, ...]]:
    rows = yard.json("hours", *words)["rows"]
    return [(row["period_start"], row["worked_hours"], row["overtime_hours"]) for row in rows]


def test_a_week_is_not_averaged_with_another(forty: Yard) -> None:
    """30 h in one week and 50 h in the next are 10 h of overtime, in the second.

    Source: 29 CFR 778.104.
    """
    sheets(
        forty,
        *week("H1", "2026-03-02", "6", "6", "6", "6", "6"),
        *week("H1", "2026-03-09", "10", "10", "10", "10", "10"),
    )

    assert overtime(forty) == [("2026-03-02", 30, 0), ("2026-03-09", 50, 10)]


@pytest.mark.slow
def test_overtime_of_a_week_belongs_to_the_period_in_which_it_ends(forty: Yard) -> None:
    """50 h of which 30 were paid before, then 45 and 45: this pay has 90 ordinary and 20 overtime.

    Source: a half-monthly example of a law firm on the rule of Oregon's Bureau of Labor and
    Industries.
    """
    sheets(
        forty,
        # The period begins on Thursday the 16th.
        *week("H1", "2026-04-13", "10", "10", "10", "10", "10"),
        *week("H1", "2026-04-20", "9", "9", "9", "9", "9"),
        *week("H1", "2026-04-27", "9", "9", "9", "9", "0", "9"),
    )
    rows = overtime(forty, "--from", "2026-04-16", "--to", "2026-05-03")
    before = overtime(forty, "--from", "2026-04-01", "--to", "2026-04-15")
    by_day = overtime(forty, "--from", "2026-04-16", "--to", "2026-05-03", "--by", "day")

    assert rows == [("2026-04-13", 20, 10), ("2026-04-20", 45, 5), ("2026-04-27", 45, 5)]
    assert sum(hours for _, hours, _ in rows) - sum(over for _, _, over in rows) == 90
    assert before == [("2026-04-13", 30, 0)]
    assert sum(over for _, _, over in by_day) == 20


@pytest.mark.slow
@pytest.mark.parametrize(
    ("policy", "expected"),
    [
        ('daily_hours = "8"', 7),  # 4 + 3
        ('daily_hours = "8"\nweekly_hours = "40"', 7),  # 41 - 40 is in the 7 already
        ('daily_hours = "11"\nweekly_hours = "35"', 6),  # 1 + 0, then 41 - 35 - 1
        ('weekly_hours = "40"\npaid_leave_counts = "yes"', 9),  # 41 + 8 - 40
        ("", 0),
    ],
)
def test_thresholds_of_day_and_week_count_nothing_twice(
    yard: Yard, policy: str, expected: int
) -> None:
    """Common practice, no source: the larger of both, leave only where the yard says so."""
    yard.copy_made_by(begin)
    yard.run("load", "settings", yard.write("own.toml", f"[overtime]\n{policy}\n"))
    sheets(
        yard,
        *week("H1", "2026-03-02", "12", "11", "8", "6", "4"),
        "H1,2026-03-07,8,LEAVE",
    )
    found = yard.json("hours")

    assert found["overtime_hours"] == expected
    assert (found["worked_hours"], found["paid_not_worked_hours"]) == (41, 8)


@pytest.mark.slow
def test_a_salary_stands_against_the_hours_of_its_contract(forty: Yard) -> None:
    """35 h a week are 182.70 / 5.22 and 40 h 220.80 / 5.52: so many stand beside what was booked.

    Source: 29 CFR 778.113.
    """
    crew = "worker_id,name,trade,employment,contract_hours_per_week\n"
    rows = [
        f"{worker},{worker},joiner,salaried,{Decimal(pay) / Decimal(rate)}\n"
        for worker, pay, rate in (("T1", "182.70", "5.22"), ("T2", "220.80", "5.52"))
    ]
    forty.run("load", "crew", forty.write("salaried.csv", crew + "".join(rows)))
    sheets(forty, *week("T1", "2026-03-02", *["7"] * 5), *week("T2", "2026-03-02", *["9"] * 5))
    found = forty.json("reconciliation", "--from", "2026-03-02", "--to", "2026-03-08")
    told = {row["worker_id"]: (row["paid_hours"], row["booked_hours"]) for row in found["rows"]}

    assert (told["T1"], told["T2"]) == ((35, 35), (40, 45))


@pytest.mark.slow
def test_subtotals_and_saturdays(forty: Yard) -> None:
    """Each part adds up to all hours; hours worked on a Saturday stand apart."""
    sheets(
        forty,
        "H1,2026-03-07,4,SHOP,,overtime",
        "H1,2026-03-06,8,SHOP",
        "G1,2026-03-06,8,LEAVE",
        "G1,2026-03-07,2,NOWHERE",
    )
    paid(forty, "H1,2026-03-02,2026-03-08,normal,12")
    found = forty.json("hours", "--from", "2026-03-02", "--to", "2026-03-08")
    parts = {
        part: {row[part]: (row["hours"], row["saturday_hours"]) for row in rows}
        for part, rows in found["subtotals"].items()
    }

    assert parts == {
        "trade": {"joiner": (12, 4), "welder": (10, 2)},
        "job": {"absence": (8, 0), "overhead": (12, 4), "untagged": (2, 2)},
        "pay_class": {None: (18, 2), "overtime": (4, 4)},
    }
    assert (found["hours"], found["saturday_hours"]) == (22, 6)


@pytest.mark.slow
def test_overtime_of_each_part_adds_up(yard: Yard) -> None:
    """By hand: a day's overtime over the places of the day, a week's over those of the week.

    Of 9 h and 3 h on Monday 2 h are above 10 h: 1.5 h and 0.5 h. Of 42 h and 3 h in the week 3 h
    more are above 40 h: 2.8 h and 0.2 h. The welder's 41 h are 1 h.
    """
    yard.copy_made_by(begin)
    policy = '[overtime]\nweekly_hours = "40"\ndaily_hours = "10"\n'
    yard.run("load", "settings", yard.write("own.toml", policy))
    sheets(
        yard,
        *week("H1", "2026-03-02", "9", "8", "8", "8", "9"),
        "H1,2026-03-02,3,NOWHERE",
        *week("G1", "2026-03-02", "8", "8", "8", "8", "9"),
    )
    found = yard.json("hours")
    parts = {
        part: {row[part]: row["overtime_hours"] for row in rows}
        for part, rows in found["subtotals"].items()
    }

    assert parts == {
        "trade": {"joiner": 5, "welder": 1},
        "job": {"overhead": Decimal("5.3"), "untagged": Decimal("0.7")},
        "pay_class": {None: 6},
    }
    assert found["overtime_hours"] == 6
    # Of the days from Tuesday on what is above the week's is the same, what is above Monday's not.
    later = yard.json("hours", "--from", "2026-03-03")["subtotals"]["job"]
    assert {row["job"]: row["overtime_hours"] for row in later} == {
        "overhead": Decimal("3.8"),
        "untagged": Decimal("0.2"),
    }
