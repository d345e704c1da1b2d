"""A signature without a reason holds as long as what explained its row, one with a reason stays."""

from typing import Any

import pytest

from tests.conftest import Yard
from tests.payroll._paid import MON, WEEK, begin, days, paid, reconciled, sheets

DAYS = ("--from", "2026-03-02", "--to", "2026-03-08")
LONGER = ("--from", "2026-03-02", "--to", "2026-03-15")
NEXT = "2026-03-09,2026-03-15"


@pytest.fixture
def begun(yard: Yard) -> Yard:
    """A yard with its crew."""
    yard.copy_made_by(begin)
    return yard


def row_of(yard: Yard, worker: str, end: str = "2026-03-08") -> Any:
    """Return the one row of a worker in the days up to an end."""
    rows = reconciled(yard, "2026-03-02", end)["rows"]
    (row,) = [row for row in rows if row["worker_id"] == worker]
    return row


def stand(yard: Yard, worker: str, end: str = "2026-03-08") -> tuple[Any, ...]:
    """Return whether a worker's row is settled, what waits, who signed it and why."""
    row = row_of(yard, worker, end)
    return tuple(row[name] for name in ("settled", "waiting_hours", "signed_by", "signed_reason"))


def sign(yard: Yard, worker: str, *words: str) -> list[str]:
    return yard.run("sign", "off", *DAYS, "--worker", worker, *words).stderr.splitlines()


def test_a_row_is_open_again_once_its_note_has_gone(begun: Yard) -> None:
    """Signed off as explained it is open without the note, until it is signed with a reason."""
    sheets(begun, *days("H1", "8"))
    paid(begun, f"H1,{WEEK},normal,36")
    paid(begun, f"H1,,{WEEK},banked_hours,-4,,", thing="payroll-notes")
    sign(begun, "H1")
    before = stand(begun, "H1")
    note = begun.json("show", "payroll_note")[0]["id"]
    begun.run("withdraw", "fact", note, "--reason", "not agreed")
    after = stand(begun, "H1")
    shown = begun.run("reconciliation", *DAYS).stdout
    left, let_pass = sign(begun, "H1"), sign(begun, "H1", "--reason", "paid in April")

    assert before == (True, 0, "Tester", None)
    assert after == (False, 0, "Tester", None)
    assert "open again, signed off by Tester" in shown
    assert left[:2] == [
        "0 rows signed off",
        "left: worker H1, 2026-03-02 to 2026-03-08, worked: −4.00 h unexplained",
    ]
    assert let_pass[0] == "1 row signed off, 1 of them with hours unexplained"
    assert stand(begun, "H1") == (True, 0, "Tester", "paid in April")


@pytest.mark.slow
def test_a_late_sheet_that_waits_for_pay_is_not_signed_off(begun: Yard) -> None:
    """It is left by name, and open once the next pay came without it; so though it was signed."""
    sheets(begun, *days("H1", "8", count=4))
    paid(begun, f"H1,{WEEK},normal,32")
    sheets(begun, "H1,2026-03-06,8,SHOP", "H1,2026-03-09,8,SHOP", name="late.csv")
    waiting = stand(begun, "H1")
    left = sign(begun, "H1")
    paid(begun, f"H1,,{WEEK},late_sheet,-8,,with the next", thing="payroll-notes")
    sign(begun, "H1")
    note = begun.json("show", "payroll_note")[0]["id"]
    begun.run("withdraw", "fact", note, "--reason", "to be seen")
    signed = stand(begun, "H1")
    shown = begun.run("reconciliation", *DAYS).stdout
    paid(begun, f"H1,{NEXT},normal,8")

    assert waiting == (True, -8, None, None)
    assert left[:2] == [
        "0 rows signed off",
        "left: worker H1, 2026-03-02 to 2026-03-08, worked: 8.00 h waiting for pay",
    ]
    assert signed == (True, -8, "Tester", None)
    assert "waits for pay" in shown
    assert "1 row not settled, 1 waiting for pay" in shown
    assert stand(begun, "H1") == (False, 0, "Tester", None)


@pytest.mark.slow
def test_hours_that_wait_in_a_longer_range_are_open_in_it_once_passed_over(begun: Yard) -> None:
    """Days after the last that was paid wait; signed with a reason they are waived for good."""
    sheets(begun, *days("H1", "8"), *(f"{who},2026-03-10,8,SHOP" for who in ("H1", "H2")))
    paid(begun, f"H1,{WEEK},normal,40")
    left = begun.run("sign", "off", *LONGER, "--worker", "H2").stderr.splitlines()
    waiting = stand(begun, "H2", "2026-03-15")
    closed = begun.run("close", "period", "--to", "2026-03-15").stderr.splitlines()
    begun.run("reopen", "period", "--to", "2026-03-15", "--reason", "for the next pay")
    paid(begun, f"H1,{NEXT},normal,8")
    passed_over = stand(begun, "H2", "2026-03-15")
    begun.run("sign", "off", *LONGER, "--worker", "H2", "--reason", "paid in cash")

    assert left[1] == "left: worker H2, 2026-03-02 to 2026-03-15, worked: 8.00 h waiting for pay"
    assert waiting == (True, -8, None, None)
    # The salaried worker has no sheets.
    assert closed[4] == "  hours paid: 1 of 4 rows settled, 2 waiting for pay with 16.00 h"
    assert passed_over == (False, 0, None, None)
    assert stand(begun, "H2", "2026-03-15") == (True, 0, "Tester", "paid in cash")


@pytest.mark.slow
def test_a_row_that_waits_is_waived_with_a_reason(begun: Yard) -> None:
    """What a person lets pass stays so, whatever the next pay has."""
    sheets(begun, *days("H1", "8", count=4))
    paid(begun, f"H1,{WEEK},normal,32")
    sheets(begun, f"H1,{MON},2,SHOP", name="late.csv")
    said = sign(begun, "H1", "--reason", "not to be paid, agreed")
    paid(begun, f"H1,{NEXT},normal,0.5")

    assert said[0] == "1 row signed off, 1 of them waiting for pay"
    assert stand(begun, "H1") == (True, 0, "Tester", "not to be paid, agreed")
