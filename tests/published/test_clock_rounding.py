"""P1: clock times rounded to the nearest quarter of an hour, 29 CFR 785.48(b) [S].

The program rounds no times. It doubts a month in which every day departs from the clock to one
side; rounding to the nearest, as printed, goes both ways. The days are ours. Evidence, no verdict:
local law holds.
"""

from datetime import date, timedelta

import pytest

from tests._stage import SAMPLE
from tests.conftest import Yard
from tests.sheets._doubts import messages

# In and out as clocked, and as the source rounds them: 7:53 to 8:07 are 8:00, 8:08 is 8:15;
# 17:21 is 17:15, 17:23 is 17:30.
NEAREST = [
    (("07:53", "17:23"), ("08:00", "17:30")),
    (("08:07", "17:23"), ("08:00", "17:30")),
    (("08:08", "17:21"), ("08:15", "17:15")),
    (("07:53", "17:21"), ("08:00", "17:15")),
    (("08:07", "17:21"), ("08:00", "17:15")),
]
# Each in put later to the quarter and each out put earlier, whichever is nearest.
ONE_SIDED = [
    (("07:53", "17:23"), ("08:00", "17:15")),
    (("08:07", "17:23"), ("08:15", "17:15")),
    (("08:08", "17:21"), ("08:15", "17:15")),
    (("07:53", "17:21"), ("08:00", "17:15")),
    (("08:07", "17:21"), ("08:15", "17:15")),
]


def month(yard: Yard, days: list[tuple[tuple[str, str], tuple[str, str]]]) -> list[object]:
    """Load days of clock and sheet and return what is doubted of the rounding."""
    yard.run("load", "crew", SAMPLE / "crew.csv")
    clock, sheet = (
        "worker_id,date,clock_in,clock_out\n",
        "sheet,worker_id,date,start,finish,booking_code\n",
    )
    for number, (clocked, written) in enumerate(days):
        day = date(2026, 3, 2) + timedelta(days=number)
        clock += f"A1,{day},{','.join(clocked)}\n"
        sheet += f"S1,A1,{day},{','.join(written)},X\n"
    yard.run("load", "attendance", yard.write("clock.csv", clock))
    yard.run("load", "sheets", yard.write("sheets.csv", sheet))
    return messages(yard, "clock_rounding")


def test_rounding_to_the_nearest_quarter_is_in_order(yard: Yard) -> None:
    """As the source rounds, some days gain and some lose: +0, +14, -13, -13 and +1 minutes."""
    assert month(yard, NEAREST) == []


def test_rounding_always_to_one_side_is_doubted(yard: Yard) -> None:
    """Lost: 7+8, 8+8, 7+6, 7+6 and 8+6 minutes, 71 in all, 1.18 h."""
    assert month(yard, ONE_SIDED) == [
        "worker A1 has 1.18 h less booked than clocked in 2026-03, a little on each of 5 days "
        "and never the other way"
    ]


# Clocked from 8:07, written from 8:00: seven minutes gained.
GAINED = (("08:07", "17:00"), ("08:00", "17:00"))


@pytest.mark.parametrize("days", [ONE_SIDED[:4], [*ONE_SIDED, GAINED]])
def test_few_days_or_one_the_other_way_are_let_pass(
    yard: Yard, days: list[tuple[tuple[str, str], tuple[str, str]]]
) -> None:
    """Four days are fewer than five; a single day that gains is rounding to both sides."""
    assert month(yard, days) == []
