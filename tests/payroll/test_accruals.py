"""What is worked and unpaid at the end of a period: no pay period that has ended holds it."""

from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.payroll._paid import WEEK, begin, days, paid, sheets

RATES = "trade,effective_from,cost_per_hour\njoiner,2026-01-01,30.00\n"


def begun(yard: Yard) -> None:
    """Give a week that was paid, to one worker and to an agency, and two days after it."""
    begin(yard)
    yard.run("load", "rates", yard.write("rates.csv", RATES))
    after = ["H1,2026-03-09,7.5,SHOP", "H1,2026-03-10,8,LEAVE", "G1,2026-03-09,6,SHOP"]
    sheets(yard, *days("H1", "8"), *days("H2", "8", count=1), *days("G1", "8"), *after)
    sheets(yard, *days("S1", "7.5"), name="salaried.csv")
    paid(yard, f"H1,{WEEK},normal,40")
    paid(yard, f"Holm Labour,{WEEK},40,", thing="supplier-hours")


def rows(yard: Yard, *words: str) -> list[tuple[Any, ...]]:
    found = yard.json("accruals", *words)
    assert found["hours"] == sum(each["hours"] for each in found["rows"])
    names = ("worker_id", "supplier", "kind", "first_day", "last_day", "hours", "cost")
    return [tuple(each[name] for name in names) for each in found["rows"]]


def test_hours_after_the_last_pay_period_are_unpaid(yard: Yard) -> None:
    """Of the worker paid, those after; of one never paid, all; of the salaried none."""
    yard.copy_made_by(begun)

    assert rows(yard) == [
        ("G1", "Holm Labour", "worked", "2026-03-09", "2026-03-09", 6, None),
        ("H1", None, "paid_not_worked", "2026-03-10", "2026-03-10", 8, 240),
        ("H1", None, "worked", "2026-03-09", "2026-03-09", Decimal("7.5"), 225),
        ("H2", None, "worked", "2026-03-02", "2026-03-02", 8, 240),
    ]
    assert yard.json("accruals")["cost"] is None


@pytest.mark.slow
def test_a_pay_period_that_ends_after_the_close_is_unpaid_at_the_close(yard: Yard) -> None:
    """A week cut by the month's end is unpaid up to it; the closed list stays when it is paid."""
    yard.copy_made_by(begun)
    assert rows(yard, "--to", "2026-03-04")[1] == (
        *("H1", None, "worked", "2026-03-02", "2026-03-04"),
        *(24, 720),
    )
    yard.run("close", "period", "--to", "2026-03-09")
    closed = rows(yard, "--to", "2026-03-09")
    paid(yard, f"H2,{WEEK},normal,8", "H1,2026-03-09,2026-03-15,normal,15.5")

    assert rows(yard, "--to", "2026-03-09") == closed
    assert [row[0] for row in rows(yard, "--to", "2026-03-15")] == ["G1"]


@pytest.mark.slow
def test_without_any_pay_there_is_nothing_to_compare(yard: Yard) -> None:
    """One message says what to load first."""
    begin(yard)
    sheets(yard, *days("H1", "8"))
    told = yard.run("accruals", ok=False).stderr

    assert told == "no pay is in the book to compare with; `fairhours load payroll` first\n"


@pytest.mark.slow
def test_whom_a_supplier_charged_by_name_is_not_unpaid(yard: Yard) -> None:
    """Hours that the reconciliation has against a supplier are no accrual."""
    yard.copy_made_by(begin)
    strangers = "worker_id,name,trade,active_from\nX9,Fay,welder,2026-01-01\n"
    yard.run("load", "crew", yard.write("crew.csv", strangers))
    sheets(yard, *days("X9", "8"), *days("G1", "8"), *days("G2", "8", count=1))
    charged = (f"Holm Labour,{WEEK},40,X9", f"Lea Hands,{WEEK},40,G1")
    paid(yard, *charged, thing="supplier-hours")
    rows = yard.json("accruals", "--to", "2026-03-08")["rows"]

    assert [(row["worker_id"], row["hours"]) for row in rows] == [("G2", 8)]


def late(yard: Yard, *words: str) -> list[tuple[Any, ...]]:
    """Return what is unpaid of sheets that came after the pay of their period."""
    names = ("worker_id", "kind", "first_day", "last_day", "hours", "cost")
    found = yard.json("accruals", *words)["rows"]
    return [tuple(each[name] for name in names) for each in found if each["is_late"]]


def came_late(yard: Yard) -> None:
    """Give a paid week with sheets that come after its pay: ten hours, leave, an agency's two."""
    begun(yard)
    hours = ("H1,2026-03-05,4,SHOP", "H1,2026-03-06,6,SHOP", "G1,2026-03-06,2,SHOP")
    sheets(yard, *hours, "H1,2026-03-07,8,LEAVE", name="late.csv")


def test_a_late_sheet_is_unpaid_until_a_later_pay_made_it_up(yard: Yard) -> None:
    """Whole while it waits; once the next pay has seven hours too many, three are left."""
    yard.copy_made_by(came_late)
    waiting = late(yard)
    next_week = "2026-03-09,2026-03-15"
    # Of the next week 7.5 hours are worked and 8 leave; the latest days are made up last.
    paid(yard, f"H1,{next_week},normal,14.5", f"H1,{next_week},leave,8")
    shown = yard.run("accruals", "--to", "2026-03-15").stdout

    assert waiting == [
        ("G1", "worked", "2026-03-06", "2026-03-06", 2, None),
        ("H1", "paid_not_worked", "2026-03-07", "2026-03-07", 8, 240),
        ("H1", "worked", "2026-03-05", "2026-03-06", 10, 300),
    ]
    assert late(yard, "--to", "2026-03-15")[1:] == [
        ("H1", "paid_not_worked", "2026-03-07", "2026-03-07", 8, 240),
        ("H1", "worked", "2026-03-06", "2026-03-06", 3, 90),
    ]
    # At the end of the week itself nothing of the next had been paid.
    assert late(yard, "--to", "2026-03-08") == waiting
    assert shown.splitlines()[0].split()[:5] == ["worker", "id", "supplier", "kind", "late"]


@pytest.mark.slow
def test_what_a_note_explains_of_a_late_sheet_is_no_accrual(yard: Yard) -> None:
    """Hours that somebody answered for in a note are not listed as unpaid."""
    yard.copy_made_by(came_late)
    paid(yard, f"H1,,{WEEK},banked_hours,-4,,agreed", thing="payroll-notes")

    assert late(yard)[2] == ("H1", "worked", "2026-03-06", "2026-03-06", 6, 180)


@pytest.mark.slow
def test_late_sheets_of_a_supplier_s_people_together(yard: Yard) -> None:
    """A supplier that charges all hours in one stands against the late hours of its people."""
    yard.copy_made_by(came_late)
    sheets(yard, "G2,2026-03-02,3,SHOP", name="more.csv")

    assert [(row[0], *row[2:5]) for row in late(yard)][:2] == [
        ("G1", "2026-03-06", "2026-03-06", 2),
        ("G2", "2026-03-02", "2026-03-02", 3),
    ]


@pytest.mark.slow
def test_leave_that_the_rate_holds_costs_nothing_when_it_is_accrued(yard: Yard) -> None:
    """As in the journal: its hours are listed, and the sum is that of the hours worked."""
    yard.copy_made_by(begun)
    own = '[accounts]\nleave_in_rate = "yes"\n'
    yard.run("load", "settings", yard.write("own.toml", own))

    assert rows(yard)[1:3] == [
        ("H1", None, "paid_not_worked", "2026-03-10", "2026-03-10", 8, 0),
        ("H1", None, "worked", "2026-03-09", "2026-03-09", Decimal("7.5"), 225),
    ]
