"""A period is closed with its checklist: sheets, held lines, doubts and hours paid."""

from typing import Any

import pytest

from tests.conftest import Yard
from tests.payroll._paid import MON, WEEK, begin, days, paid, sheets

FEBRUARY = ("--to", "2026-02-28")
TO = ("--to", "2026-03-08")
WEEK_DAYS = ("--from", "2026-03-02", *TO)


def close(yard: Yard, *words: str, ok: bool = True) -> list[str]:
    return yard.run("close", "period", *words, ok=ok).stderr.splitlines()


def test_the_checklist_says_what_is_open(yard: Yard) -> None:
    """Held lines and doubts of the days, rows not settled by name, and who waived what."""
    yard.copy_made_by(begin)
    without_pay = close(yard, *FEBRUARY)
    sheets(yard, *days("H1", "8"), *days("H2", "8"), *days("S1", "7.5"), f"H2,{MON},x,SHOP")
    paid(yard, f"H1,{WEEK},normal,44", f"H2,{WEEK},normal,38")
    yard.run("sign", "off", *WEEK_DAYS, "--worker", "H2", "--reason", "paid in April")
    said = close(yard, *TO)

    assert without_pay == [
        "checklist from the first day to 2026-02-28:",
        "  sheets: none expected by the calendar of any job",
        "  held lines: 0",
        "  open doubts: 0",
        "  hours paid: none loaded, not compared",
        "closed to 2026-02-28: its figures are those known at batch 3",
    ]
    assert said == [
        "checklist from 2026-03-01 to 2026-03-08:",
        "  sheets: none expected by the calendar of any job",
        "  held lines: 1",
        "  open doubts: 0",
        "  hours paid: 1 of 3 rows settled",
        "  not settled: worker H1, 2026-03-02 to 2026-03-08, worked: 4.00 h unexplained",
        "  waived by Tester: worker H2, 2026-03-02 to 2026-03-08, "
        "worked: \N{MINUS SIGN}2.00 h unexplained",
        "closed to 2026-03-08: its figures are those known at batch 7",
    ]


@pytest.mark.slow
def test_a_closed_period_stays_as_it_was_reconciled(yard: Yard) -> None:
    """Sheets that come later change its rows no more; they are of the next period."""
    yard.copy_made_by(begin)
    sheets(yard, *days("H1", "8"))
    paid(yard, f"H1,{WEEK},normal,40")
    asked = ("reconciliation", *WEEK_DAYS, "--worker", "H1")
    before = yard.json(*asked)["rows"]
    close(yard, *TO)
    sheets(yard, f"H1,{MON},2,SHOP", name="late.csv")
    now = yard.json("--known-at", str(yard.json("history")[-1]["sequence"]), *asked)["rows"]

    assert yard.json(*asked)["rows"] == before
    assert [row["booked_hours"] for row in now] == [42]


@pytest.mark.slow
def test_a_yard_may_refuse_to_close_what_is_not_settled(yard: Yard) -> None:
    """With close_unreconciled = refuse a period is closed once all its rows are signed off."""
    yard.copy_made_by(begin)
    own = '[payroll]\nclose_unreconciled = "refuse"\n'
    yard.run("load", "settings", yard.write("own.toml", own))
    sheets(yard, *days("H1", "8"), *days("S1", "7.5"))
    paid(yard, f"H1,{WEEK},normal,44")
    refused = close(yard, *TO, ok=False)
    yard.run("sign", "off", *WEEK_DAYS, "--reason", "paid in April")

    assert refused == [
        "--to 2026-03-08: 1 row of pay not settled; reconcile and sign off first "
        "(`fairhours sign off`)"
    ]
    assert close(yard, *TO)[-1].startswith("closed to 2026-03-08")


@pytest.mark.slow
def test_the_first_close_looks_at_the_first_days_that_were_paid(yard: Yard) -> None:
    """Hours never paid in the first pay period are on the first checklist."""
    yard.copy_made_by(begin)
    sheets(yard, *days("H1", "8"), f"H2,{MON},8,SHOP", *days("S1", "7.5"))
    paid(yard, f"H1,{WEEK},normal,40")

    assert close(yard, *TO)[4:6] == [
        "  hours paid: 2 of 3 rows settled",
        "  not settled: worker H2, 2026-03-02 to 2026-03-08, worked: 8.00 h booked and not paid",
    ]


def closed_week(yard: Yard) -> None:
    """Give a week of two workers that was paid, signed off and closed."""
    begin(yard)
    own = '[payroll]\nclose_unreconciled = "refuse"\n'
    yard.run("load", "settings", yard.write("own.toml", own))
    sheets(yard, *days("H1", "8", count=4), *days("H2", "8"), *days("S1", "7.5"))
    paid(yard, f"H1,{WEEK},normal,32", f"H2,{WEEK},normal,40")
    yard.run("sign", "off", *WEEK_DAYS)
    close(yard, *TO)


def changed(yard: Yard, *words: str, start: str = "2026-03-09", end: str = "2026-03-15") -> Any:
    """Return who has a row of a closed period that differs since, and how it stands."""
    found = yard.json(*words, "reconciliation", "--from", start, "--to", end)
    names = ("worker_id", "period_end", "difference_hours", "waiting_hours", "settled")
    return [tuple(row[name] for name in names) for row in found["changed_since_closed"]]


def next_week(yard: Yard) -> None:
    """Give the sheets of the week after, and one of the closed week that comes late."""
    week = [f"{who},2026-03-{day:02},8,SHOP" for day in range(9, 14) for who in ("H1", "H2")]
    salaried = [f"S1,2026-03-{day:02},7.5,SHOP" for day in range(9, 14)]
    sheets(yard, *week, *salaried, "H1,2026-03-06,8,SHOP", name="late.csv")


def test_a_late_sheet_of_a_closed_period_is_listed_until_it_is_let_pass(yard: Yard) -> None:
    """It waits for the next pay, is open once that left it out, and keeps the next close back."""
    yard.copy_made_by(closed_week)
    next_week(yard)
    waiting = changed(yard)
    paid(yard, *(f"{who},2026-03-09,2026-03-15,normal,40" for who in ("H1", "H2")))
    passed_over = changed(yard)
    shown = yard.run("reconciliation", "--from", "2026-03-09", "--to", "2026-03-15").stdout
    refused = close(yard, "--to", "2026-03-15", ok=False)
    yard.run("sign", "off", *WEEK_DAYS, "--worker", "H1", "--reason", "not to be paid")
    said = close(yard, "--to", "2026-03-15")

    assert waiting == [("H1", "2026-03-08", -8, -8, True)]
    assert passed_over == [("H1", "2026-03-08", -8, 0, False)]
    assert "of closed periods, not as they were closed" in shown
    assert "of closed periods 1 row not settled" in shown
    assert refused == [
        "--to 2026-03-15: 1 row of pay not settled; reconcile and sign off first "
        "(`fairhours sign off`)"
    ]
    assert said[4:6] == [
        "  hours paid: 3 of 3 rows settled",
        "  closed before, waived by Tester: worker H1, 2026-03-02 to 2026-03-08, worked: 8.00 h "
        "booked and not paid",
    ]
    # As it was closed it stays; what was let pass is on no later list.
    assert changed(yard) == [("H1", "2026-03-08", -8, 0, True)]
    assert changed(yard, start="2026-03-16", end="2026-03-22") == []


@pytest.mark.slow
def test_what_waited_at_the_close_is_listed_once_pay_passed_over_it(yard: Yard) -> None:
    """The hours of a row need not change: the next pay left out what was to be in it."""
    yard.copy_made_by(closed_week)
    yard.run("reopen", "period", *TO, "--reason", "a sheet is missing")
    next_week(yard)
    close(yard, *TO)
    before = changed(yard)
    paid(yard, *(f"{who},2026-03-09,2026-03-15,normal,40" for who in ("H1", "H2")))
    shown = close(yard, "--to", "2026-03-15", ok=False)

    assert before == []
    assert changed(yard) == [("H1", "2026-03-08", -8, 0, False)]
    assert shown[0].startswith("--to 2026-03-15: 1 row of pay not settled")


@pytest.mark.slow
def test_each_closed_period_is_compared_as_it_was_closed(yard: Yard) -> None:
    """A row let pass with a warning is not listed, one that changed is at every later close."""
    yard.copy_made_by(closed_week)
    yard.run("load", "settings", yard.write("own.toml", '[payroll]\nclose_unreconciled = "warn"\n'))
    next_week(yard)
    paid(yard, "H1,2026-03-09,2026-03-15,normal,40", "H2,2026-03-09,2026-03-15,normal,39")
    said = close(yard, "--to", "2026-03-15")
    week = [f"{who},2026-03-{day},8,SHOP" for day in range(16, 21) for who in ("H1", "H2")]
    sheets(yard, *week, *(f"G1,2026-03-{day:02},8,SHOP" for day in (5, 10)), name="third.csv")
    paid(yard, *(f"{who},2026-03-16,2026-03-22,normal,40" for who in ("H1", "H2")))

    assert said[4:7] == [
        "  hours paid: 2 of 3 rows settled",
        "  not settled: worker H2, 2026-03-09 to 2026-03-15, worked: −1.00 h unexplained",
        "  closed before, not settled: worker H1, 2026-03-02 to 2026-03-08, worked: 8.00 h booked "
        "and not paid",
    ]
    # Of an agency that charged nothing each closed period has its own days.
    assert changed(yard, start="2026-03-16", end="2026-03-22") == [
        ("G1", "2026-03-08", -8, 0, False),
        ("H1", "2026-03-08", -8, 0, False),
        ("G1", "2026-03-15", -8, 0, False),
    ]


@pytest.mark.slow
def test_rows_that_read_as_closed_are_not_signed_off(yard: Yard) -> None:
    """Nothing would show it: the refusal says how, and what changed since is signed off alone."""
    yard.copy_made_by(begin)
    sheets(yard, *days("H1", "8", count=4), *days("H2", "8"), *days("S1", "7.5"))
    paid(yard, f"H1,{WEEK},normal,32", f"H2,{WEEK},normal,36")
    close(yard, *TO)
    refused = yard.run("sign", "off", *WEEK_DAYS, "--reason", "seen", ok=False).stderr
    shown = yard.run("reconciliation", *WEEK_DAYS).stdout
    sheets(yard, "H1,2026-03-06,8,SHOP", name="late.csv")
    said = yard.run("sign", "off", *WEEK_DAYS, "--reason", "seen").stderr

    assert refused == (
        "--to 2026-03-08: the period is closed to 2026-03-08, its rows stay as they were closed "
        "and none that is open changed since; reopen the period (`fairhours reopen period`) to "
        "sign them off\n"
    )
    assert "1 row not settled, as closed to 2026-03-08" in shown
    assert said == (
        "1 row signed off, 1 of them waiting for pay; 2 of a closed period left as closed\n"
    )
    assert [row["worker_id"] for row in yard.json("show", "sign_off")] == ["H1"]
