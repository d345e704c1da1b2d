"""P2 and P3: what a week with overtime costs, its premium beside its hours."""

from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.payroll._paid import begin

HALF = """
[overtime]
weekly_hours = "40"
premium_percent = "50"
premium_stands = "{0}"
"""
HEAD = "worker_id,date,hours,booking_code,trade\n"


def cost(yard: Yard, stands: str, *rows: str) -> dict[str, Any]:
    """Return what is debited for a week, by kind, and all of it."""
    yard.copy_made_by(begin)
    yard.run("load", "settings", yard.write("half.toml", HALF.format(stands)))
    rates = "trade,effective_from,cost_per_hour\njoiner,2026-01-01,12.00\nwelder,2026-01-01,10.00\n"
    yard.run("load", "rates", yard.write("rates.csv", rates))
    sheet = "".join(f"H1,2026-03-0{row}\n" for row in rows)
    yard.run("load", "sheets", yard.write("sheets.csv", HEAD + sheet))
    found = yard.json("journal")
    return {row["kind"]: row["debit"] for row in found["lines"]} | {"all": found["debit"]}


@pytest.mark.slow
@pytest.mark.parametrize("stands", ["place", "week"])
def test_forty_six_hours_at_twelve(yard: Yard, stands: str) -> None:
    """46 h at 12.00 and half of it on 6 h are 588, wherever the premium stands.

    Source: 29 CFR 778.110.
    """
    found = cost(yard, stands, *(f"{day},9,SHOP," for day in range(2, 6)), "6,10,SHOP,")

    assert (found["overhead"], found["overtime_premium"], found["all"]) == (552, 36, 588)


@pytest.mark.slow
def test_two_rates_in_a_week_are_averaged_where_premium_is_spread(yard: Yard) -> None:
    """16 h at 10 and 30 h at 12 are 520; half of 520 / 46 on 6 h is 33.91: 553.91 in all.

    Source: 29 CFR 778.115, weighted average; inputs of Oregon's Bureau of Labor and Industries.
    """
    at_ten, at_twelve = ("2,8,SHOP,welder", "3,8,SHOP,welder"), ("4,10,SHOP,", "5,10,SHOP,")
    found = cost(yard, "week", *at_ten, *at_twelve, "6,10,SHOP,")

    assert found["overhead"] == 520
    assert (found["overtime_premium"], found["all"]) == (Decimal("33.91"), Decimal("553.91"))
