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
