"""Hours booked and never paid stay open, though the reason is known."""

import pytest

from tests.conftest import Yard
from tests.payroll._paid import MON, WEEK, begin, days, paid, reconciled, sheets

WAITS, NEXT = "2026-03-30", "2026-03-09,2026-03-15"


@pytest.fixture
def begun(yard: Yard) -> Yard:
    """A yard with its crew."""
    yard.copy_made_by(begin)
    return yard


def unsettled(yard: Yard, start: str = "2026-03-01", end: str = "2026-03-31") -> list[object]:
    """Return who has a row that is not settled, with its reasons; not the salaried worker."""
    return [
        (row["worker_id"], [(each["reason"], each["hours"]) for each in row["reasons"]])
        for row in reconciled(yard, start, end)["rows"]
        if not row["settled"] and row["worker_id"] != "S1"
    ]


@pytest.mark.slow
def test_hours_that_pay_passed_over_are_open_until_paid_or_noted(begun: Yard) -> None:
    """Days after the last that was paid wait for the next pay; those before it are open."""
    sheets(begun, *days("H1", "8"), f"H1,{WAITS},8,SHOP", f"H2,{MON},8,SHOP", f"H2,{WAITS},8,SHOP")
    paid(begun, f"H1,{WEEK},normal,40")
    first = unsettled(begun)
    after_pay = unsettled(begun, "2026-03-16", "2026-03-31")
    march = ("--from", "2026-03-01", "--to", "2026-03-31")
    left = begun.run("sign", "off", *march).stderr.splitlines()[1:3]
    paid(begun, f"H2,,{WEEK},unpaid,-8,,paid in cash by agreement", thing="payroll-notes")

    assert first == [("H2", [("unpaid", -16)])]
    assert after_pay == [("H1", [("unpaid", -8)]), ("H2", [("unpaid", -8)])]
    assert left == [
        "left: worker H1, 2026-03-01 to 2026-03-31, worked: 8.00 h waiting for pay",
        "left: worker H2, 2026-03-01 to 2026-03-31, worked: 8.00 h booked and not paid, 8.00 h "
        "waiting for pay",
    ]
    assert unsettled(begun) == []


@pytest.mark.slow
def test_a_pay_class_on_a_sheet_is_no_pay(begun: Yard) -> None:
    """Travel booked by a worker of whom nothing was paid is unpaid, not explained by its class."""
    sheets(begun, *days("H1", "8"), f"H2,{MON},8,SHOP,,travel")
    paid(begun, f"H1,{WEEK},normal,40")

    assert unsettled(begun) == [("H2", [("unpaid", -8)])]


@pytest.mark.slow
def test_a_late_sheet_that_was_paid_explains_nothing_later(begun: Yard) -> None:
    """Paid before it came, as it was known by then, it is not paid again with the next."""
    sheets(begun, *days("H1", "8", count=4))
    paid(begun, f"H1,{WEEK},normal,40")
    week = [f"H1,2026-03-{day:02},8,SHOP" for day in range(9, 14)]
    sheets(begun, "H1,2026-03-06,8,SHOP", *week, name="late.csv")
    paid(begun, f"H1,{NEXT},normal,43")
    found = reconciled(begun, "2026-03-09", "2026-03-15")["rows"][0]

    assert (found["reasons"], found["unexplained_hours"]) == ([], 3)


@pytest.mark.slow
def test_a_late_sheet_is_open_once_the_next_pay_left_it_out(begun: Yard) -> None:
    """Hours of a late sheet wait for the next pay; without them in it they are open."""
    sheets(begun, *days("H1", "8", count=4))
    paid(begun, f"H1,{WEEK},normal,32")
    sheets(begun, "H1,2026-03-06,8,SHOP", "H1,2026-03-09,8,SHOP", name="late.csv")
    before = unsettled(begun, "2026-03-02", "2026-03-08")
    paid(begun, f"H1,{NEXT},normal,11")
    week = ("--from", "2026-03-02", "--to", "2026-03-08", "--reason", "paid in April")
    said = begun.run("sign", "off", *week, "--worker", "H1").stderr.splitlines()[0]

    assert before == []
    assert said == "1 row signed off, 1 of them with hours not paid"
    assert unsettled(begun) == []
