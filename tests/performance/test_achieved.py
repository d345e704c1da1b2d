"""Hours a unit of finished work, and the estimate that is drawn up from them."""

from decimal import Decimal

import pytest

from tests._stage import JOB, SAMPLE, load, load_sheets
from tests.conftest import Yard
from tests.inputs._moves import freeze

PAST = """past_job,work_kind,unit,trade,quantity,hours
Pier 2021,decking,board,carpenter,50,150
Pier 2021,decking,board,labourer,50,10
"""
QUANTITIES = (
    "work_package,title,control_account,work_kind,unit,quantity,planned_start,planned_finish\n"
)
SHEET = "worker_id,date,hours,booking_code\nA1,2026-03-10,8,DECK\nB2,2026-03-11,12,DECK\n"


@pytest.fixture
def job(stage: Yard) -> Yard:
    """Forty boards laid in 20 h of carpenters, and a pier of the past with 50 boards in 160 h."""
    rows = (SAMPLE / "estimate.csv").read_text(encoding="utf-8").splitlines()
    kinds = [row + (",Decking" if row.startswith("DECK") else ",") for row in rows[1:]]
    load(stage, "estimate", "\n".join([rows[0] + ",work_kind", *kinds, ""]))
    freeze(stage)
    load_sheets(stage, SHEET)
    load(stage, "progress", "work_package,date,quantity_done\nDECK,2026-03-20,40\n")
    stage.run("load", "past-work", stage.write("past.csv", PAST))
    return stage


def test_hours_a_unit_are_those_of_all_finished_work(job: Yard) -> None:
    """Carpenters took 170 h for 90 boards; labourers 10 h, over the boards of both jobs."""
    carpenter, labourer = job.json("achieved")["rows"]

    assert (carpenter["hours"], carpenter["quantity"]) == (170, 90)
    assert [carpenter[name] for name in ("hours_per_unit", "least", "most")] == [
        Decimal("1.8889"),  # 170 / 90
        Decimal("0.5"),  # 20 / 40
        Decimal(3),  # 150 / 50
    ]
    assert carpenter["jobs"] == [JOB, "Pier 2021"]
    assert (labourer["hours"], labourer["quantity"], labourer["least"]) == (10, 90, 0)


def test_an_estimate_is_drawn_up_and_loads(job: Yard) -> None:
    """Boards at 170/90 and 10/90 hours each; the file loads as the estimate of another job."""
    row = "P1,Deck,structure,DECKING,board,45,2026-04-06,2026-04-24\n"
    drawn = job.run("quote", "estimate", job.write("quantities.csv", QUANTITIES + row))
    other = (SAMPLE / "job.toml").read_text(encoding="utf-8").replace(JOB, "NEXT")
    job.run("load", "job", job.write("next.toml", other))
    job.run("load", "estimate", "--job", "NEXT", job.write("next.csv", drawn.stdout))
    rows = job.rows(drawn.stdout)

    assert [(row["trade"], row["budget_hours"]) for row in rows] == [
        ("carpenter", "85.00"),
        ("labourer", "5.00"),
    ]


@pytest.mark.slow
def test_work_that_is_not_finished_tells_nothing(job: Yard) -> None:
    """Before the last board is in, the pier alone counts; other kinds and units are refused."""
    carpenter, _ = job.json("achieved", "--to", "2026-03-19")["rows"]
    lines = "P1,Deck,structure,decking,m2,45,2026-04-06,2026-04-24\n"
    lines += "P2,Roof,structure,roofing,board,0,2026-04-24,2026-04-06\n"
    refused = job.run("quote", "estimate", job.write("q.csv", QUANTITIES + lines), ok=False)
    first = job.write("q.csv", QUANTITIES + lines.partition("\n")[0] + "\n")

    assert (carpenter["hours"], carpenter["jobs"]) == (150, ["Pier 2021"])
    assert refused.stderr == (
        "q.csv:3: quantity 0 must be above zero\n"
        "q.csv:3: planned_finish 2026-04-06 is before planned_start 2026-04-24\n"
        "2 faults; nothing was loaded\n"
    )
    assert job.run("quote", "estimate", first, ok=False).stderr == (
        "q.csv:2: no finished work of decking is counted by m2; use one of decking by board\n"
        "1 fault; nothing was loaded\n"
    )


@pytest.mark.slow
def test_past_work_of_one_kind_has_one_quantity(stage: Yard) -> None:
    """Two quantities of the same work would give two rates; nothing is loaded."""
    astray = PAST.replace("labourer,50", "labourer,55")
    refused = stage.run("load", "past-work", stage.write("past.csv", astray), ok=False)

    assert refused.stderr == (
        "past.csv:3: line 2 has the same work with quantity 50\n1 fault; nothing was loaded\n"
    )
