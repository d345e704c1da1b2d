"""Leave paid of days with time that may be claimed is a doubt, and settled as any other."""

import pytest

from tests._stage import load
from tests.conftest import Yard
from tests.payroll._paid import PAYROLL
from tests.sheets._doubts import doubts, messages, sheets

WEEK = "2026-03-02,2026-03-08"
CHANGES = "change,title,requested_by,requested_on,change_basis\nQ1,Ladder,Owner,2026-03-01,{}\n"


def begin(stage: Yard, basis: str, *hours: str) -> None:
    """Book days of the week from Monday on to a change, and pay them with a day of leave."""
    load(stage, "changes", CHANGES.format(basis))
    worked = [
        f"date=2026-03-0{day} hours={each} booking_code=Q1" for day, each in enumerate(hours, 2)
    ]
    sheets(stage, *worked)
    rows = f"A1,{WEEK},normal,{8 * len(hours) - 8}\nA1,{WEEK},leave,8\n"
    stage.run("load", "payroll", stage.write("payroll.csv", PAYROLL + rows))


def test_leave_paid_in_a_week_without_a_free_day_is_doubted(stage: Yard) -> None:
    """Five days of daywork leave no day for eight hours of leave."""
    begin(stage, "daywork", "8", "8", "8", "8", "8")
    found = doubts(stage, "--kind", "paid_leave")

    assert messages(stage, "paid_leave") == [
        "worker A1 was paid 8.00 h of leave from 2026-03-02 to 2026-03-08, 8.00 h of it on days "
        "that were worked; 40.00 h of these days may be claimed"
    ]
    assert [(each["day"], len(each["entries"])) for each in found] == [("2026-03-06", 5)]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("basis", "hours"),
    [
        pytest.param("daywork", ("8", "8", "8", "8"), id="a day without time"),
        pytest.param("fixed_price", ("8", "8", "8", "8", "8"), id="nothing to be claimed by hours"),
    ],
)
def test_leave_that_can_have_been_taken_is_not_doubted(
    stage: Yard, basis: str, hours: tuple[str, ...]
) -> None:
    """A free weekday takes a day's leave; a fixed price is claimed by no hour."""
    begin(stage, basis, *hours)

    assert messages(stage, "paid_leave") == []


@pytest.mark.slow
def test_absence_booked_takes_the_leave_that_was_paid(stage: Yard) -> None:
    """Four hours booked as absence and four worked are no doubt of four hours of leave."""
    away = stage.write("away.toml", '[absence]\nLEAVE = "leave"\n')
    stage.run("load", "settings", away)
    load(stage, "changes", CHANGES.format("daywork"))
    rows = [f"date=2026-03-0{day} hours=8 booking_code=Q1" for day in range(3, 7)]
    half = ("hours=4 booking_code=Q1", "hours=4 booking_code=LEAVE")
    sheets(stage, *rows, *half)
    paid = f"A1,{WEEK},normal,36\nA1,{WEEK},leave,4\n"
    stage.run("load", "payroll", stage.write("payroll.csv", PAYROLL + paid))

    assert messages(stage, "paid_leave") == []
