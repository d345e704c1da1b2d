"""Labour variances and the measured mile, as a manager asks for them."""

from decimal import Decimal

import pytest

from tests._stage import JOB, load, load_sheets
from tests.conftest import Yard
from tests.inputs._moves import freeze

DAY = "2026-03-13"
# Ada is a carpenter at 36.00, Cass a labourer at 20.00; boards are planned for carpenters at 30.00.
SHEET = """worker_id,date,hours,booking_code
A1,2026-03-10,8,DECK
C3,2026-03-11,12,DECK
A1,2026-03-12,4,RAIN
A1,2026-03-17,12,DECK
A1,2026-03-18,12,DECK
C3,2026-03-17,12,DECK
C3,2026-03-18,9,DECK
"""
# 10 boards of 40 are 20 of 80 h; another 15 by the week after.
BOARDS = "work_package,date,quantity_done\nDECK,2026-03-13,10\nDECK,2026-03-20,25\n"
FIRST, SECOND = "DECK:2026-03-09..2026-03-13", "DECK:2026-03-14..2026-03-20"


@pytest.fixture
def job(stage: Yard) -> Yard:
    """Boards laid by a carpenter and a labourer, with half a day of rain."""
    freeze(stage)
    load_sheets(stage, SHEET)
    load(stage, "progress", BOARDS)
    return stage


def test_variances_explain_the_cost_variance(job: Yard) -> None:
    """By trade and by kind they add up to EV - AC in cost: 600 earned, 672 paid."""
    asked = ("--job", JOB, "--status-date", DAY)
    found = job.json("labour-variances", *asked)
    rows = {row["trade"]: row for row in found["rows"]}
    kinds = ("rate", "idle", "mix", "yield", "efficiency", "total")

    # 12 h paid at 36 instead of 30; 4 h of rain; 8 h where 20 of carpenters were standard.
    assert [rows["carpenter"][kind] for kind in kinds] == [-72, -120, 360, 0, 360, 168]
    # 12 h where none were standard, at the 20.00 of their budget.
    assert [rows["labourer"][kind] for kind in kinds] == [0, 0, -240, 0, -240, -240]
    assert [found["all"][kind] for kind in kinds] == [-72, -120, 120, 0, 120, -72]
    (cost,) = job.json("performance", *asked, "--in", "cost")["rows"]
    assert found["all"]["total"] == cost["cv"]


def test_measured_mile_of_two_stretches(job: Yard) -> None:
    """20 h for 10 boards, then 45 h for 15, which should have taken 30."""
    found = job.json("measured-mile", "--job", JOB, FIRST, SECOND)
    stretches = [found["least_affected"], found["affected"]]

    assert [(s["hours"], s["units"], s["hours_per_unit"]) for s in stretches] == [
        (20, 10, 2),
        (45, 15, 3),
    ]
    assert (found["expected_hours"], found["lost_hours"]) == (30, 15)
    assert (found["of_expected"], found["of_actual"]) == (Decimal("0.5"), Decimal("0.333333"))


REFUSED = [
    (
        "FRAME:2026-03-09..2026-03-13",
        "FRAME: has no quantity and unit; productivity is measured in units of work done",
    ),
    (
        "DECK:2026-03-14..2026-03-17",
        "DECK: hours were booked up to 2026-03-17 after its quantity was last measured "
        "(2026-03-13); take a stretch that begins and ends where the quantity was measured",
    ),
    (
        "DECK:2026-03-09..2026-03-11",
        "DECK: hours were booked up to 2026-03-11, before its quantity was first measured; "
        "take a stretch that begins and ends where the quantity was measured",
    ),
    ("DECK:2026-03-21..2026-03-27", "DECK: no unit was done from 2026-03-21 to 2026-03-27"),
    ("DECK:2026-03-27..2026-03-21", '"DECK:2026-03-27..2026-03-21": ends before it begins'),
    (
        "DECK",
        '"DECK": is not a stretch; write PACKAGE:FROM..TO, as HULL:2026-03-02..2026-03-27',
    ),
    ("ROOF:2026-03-09..2026-03-13", 'job STAGE: has no package or change "ROOF"'),
]


@pytest.mark.slow
def test_a_stretch_without_measured_units_is_refused(job: Yard) -> None:
    """Hours whose units are not known compare with nothing."""
    for stretch, why in REFUSED:
        refused = job.run("measured-mile", "--job", JOB, FIRST, stretch, ok=False)

        assert refused.stderr == f"{why}\n"
