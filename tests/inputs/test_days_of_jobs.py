"""A job's own days: weights of weekdays, shut-downs, days worked beside the week, own holidays."""

from fractions import Fraction

import pytest

from tests.conftest import Yard

JOB = """
    [job]
    code = "QUAY"
    title = "Quay wall"
    owner = "Sillmere Swimming Club"
    contract_sum = "1000.00"
    contract_date = 2026-04-01
    planned_start = 2026-04-20
    planned_finish = 2026-05-15
    holidays = "PT"

    [working_week]
    mon = 1
    tue = 1
    wed = 1
    thu = 1
    fri = 1
    sat = 0.4

    [[days_off]]
    from = 2026-04-27
    to = 2026-05-02

    [[days_on]]
    date = 2026-05-01
    weight = 0.5
    """
ESTIMATE = """
    work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique
    WALL,Wall,civil,mason,54,2026-04-20,2026-05-09,percent_complete
    """


def test_a_plan_follows_the_weight_of_each_day(yard: Yard) -> None:
    """Budgets are spread by the weight of the day: Saturdays of four tenths, a week shut down."""
    text = JOB.replace("    [[days_on]]\n    date = 2026-05-01\n    weight = 0.5\n", "")
    text = text.replace('"PT"', '""')
    yard.run("load", "job", yard.write("job.toml", text))
    yard.run("load", "estimate", "--job", "QUAY", yard.write("estimate.csv", ESTIMATE))
    yard.run("freeze", "--job", "QUAY", "--on", "2026-04-01")
    plan = {row["day"]: row["ms"] for row in yard.json("show", "plan_posting")}

    # 54 h over two weeks of 5.4 full days are 5 h a full day and 2 h a Saturday.
    full = ["20", "21", "22", "23", "24"], ["04", "05", "06", "07", "08"]
    assert plan == {
        **{f"2026-04-{day}": 18_000_000 for day in full[0]},
        "2026-04-25": 7_200_000,
        **{f"2026-05-{day}": 18_000_000 for day in full[1]},
        "2026-05-09": 7_200_000,
    }


@pytest.mark.slow
def test_listed_days_stand_above_holidays_and_shut_downs(yard: Yard) -> None:
    """A day listed as worked is so on a holiday; the job's own holidays stand for the yard's."""
    text = JOB.replace("to = 2026-05-02", "to = 2026-04-30")
    yard.run("load", "job", yard.write("job.toml", text))
    weights = {row["day"]: Fraction(str(row["weight"])) for row in yard.json("show", "job_day")}

    assert weights["2026-05-01"] == Fraction(1, 2)  # Labour day in Portugal
    assert "2026-04-25" not in weights  # Freedom day, a Saturday
    assert "2026-04-28" not in weights
    assert weights["2026-05-02"] == Fraction(2, 5)


FAULTS = [
    (
        "sat = 0.4",
        "sat = 4",
        "working_week 4 is not the weight of a day;",
    ),
    ("to = 2026-05-02", "", "days_off has no day; give from and to"),
    ("to = 2026-05-02", "to = 2026-04-02", "days_off: to 2026-04-02 is before from 2026-04-27"),
    (
        "date = 2026-05-01",
        "date = 2026-05-01\nto = 2026-05-02",
        "days_on has no day; give",
    ),
    ('holidays = "PT"', 'holidays = "XX"', 'holidays "XX" is not a known country or part of one'),
]


@pytest.mark.slow
@pytest.mark.parametrize(("was", "given", "message"), FAULTS)
def test_days_that_do_not_fit_are_faults(yard: Yard, was: str, given: str, message: str) -> None:
    """What is wrong with a day, a span or a weight is said with its line."""
    text = JOB.replace(was, given).replace("date = 2026-05-01\n", "date = 2026-05-30\n")
    outcome = yard.run("load", "job", yard.write("job.toml", text), ok=False)

    assert message in outcome.stderr
    assert outcome.stderr.startswith("job.toml:")


@pytest.mark.slow
def test_a_day_both_off_and_on_is_a_fault(yard: Yard) -> None:
    """A day in a shut-down that is listed as worked too is refused."""
    outcome = yard.run("load", "job", yard.write("job.toml", JOB), ok=False)

    assert "2026-05-01 is in days_off and in days_on; leave one out" in outcome.stderr
