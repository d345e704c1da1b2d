"""A period is closed with its checklist: sheets, held lines, doubts and hours paid."""

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
