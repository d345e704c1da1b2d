"""What the yard keeps of each change: price less cost, by hand, and never the owner's."""

from decimal import Decimal
from typing import Any

import pytest

from tests._stage import JOB, SAMPLE, load
from tests.conftest import Yard
from tests.inputs._moves import freeze, price, request, tell

DAY = "2026-03-20"


@pytest.fixture
def changes(stage: Yard) -> dict[str, Any]:
    """Six changes of carpenter's hours at 60.00; A1 costs 36.00 an hour, the trade 30.00."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "OK", "OUT", "WAIT", "NO", "ORDER")
    request(stage, "FREE", basis="no_charge")
    price(stage, *(f"{code},1,carpenter,10" for code in ("OK", "WAIT", "NO", "ORDER", "FREE")))
    price(stage, "OUT,1,,-10,DECK")
    tell(stage, *(f"{code},submitted,2026-03-04" for code in ("OK", "OUT", "WAIT", "NO", "FREE")))
    tell(stage, *(f"{code},approved,2026-03-05" for code in ("OK", "OUT", "FREE")))
    tell(stage, "NO,declined,2026-03-05", "ORDER,instructed,2026-03-05")
    rows = "A1,2026-03-10,8,OK\nA1,2026-03-11,5,NO\nA1,2026-03-12,4,FREE\n"
    sheet = stage.write("s.csv", f"worker_id,date,hours,booking_code\n{rows}")
    stage.run("load", "sheets", "--job", JOB, sheet)
    load(stage, "progress", "work_package,date,finished\nOK,2026-03-13,2026-03-13\n")
    listed = stage.json("changes", "--job", JOB, "--status-date", DAY)
    return {row["change"]: row for row in listed["changes"]}


def test_a_margin_is_the_price_less_what_the_change_costs(changes: dict[str, Any]) -> None:
    """By state of the price; nobody pays for a declined change or one free of charge."""
    margins = {code: row["margin"] for code, row in changes.items()}

    assert margins == {
        "OK": 600 - 8 * 36,  # Finished after 8 h of A1.
        "OUT": -600 + 10 * 30,  # An omission at charge rates gives its profit away.
        "WAIT": 600 - 10 * 30,  # Not worked: as priced.
        "NO": -5 * 36,
        "ORDER": 600 - 10 * 30,
        "FREE": -(4 * 36 + 10 * 30),  # Nothing of it is measured: its budget is to come.
    }
    assert changes["OK"]["margin_percent"] == Decimal(52)  # 312 of 600.
    assert changes["OUT"]["margin_percent"] is None


def test_without_a_cost_rate_no_margin_is_defined(stage: Yard) -> None:
    """The reason is given, and price and hours stand all the same."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    load(stage, "charge-rates", "trade,effective_from,charge_per_hour\nrigger,2026-01-01,70\n")
    request(stage, "Q1")
    price(stage, "Q1,1,rigger,10")
    tell(stage, "Q1,submitted,2026-03-04", "Q1,instructed,2026-03-05")
    known = stage.json("changes", "--job", JOB, "--status-date", DAY)

    assert known["changes"][0]["margin"] is None
    assert known["changes"][0]["price"] == 700
    assert known["undefined"]["margin"].startswith("rigger of change Q1 has no rate on")
