"""What forecasts and plans go by: rates of estimates to complete, dates of trades, base's plan."""

from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard

SETTINGS = '[yard]\nname = "Mere Yard"\ncurrency = "EUR"\n'
JOB_FILE = """
    [job]
    code = "MERE"
    title = "Mere"
    owner = "Harbour Board"
    contract_sum = "9000.00"
    contract_date = 2026-01-01
    planned_start = 2026-01-05
    planned_finish = 2026-03-27
    """
CREW = "worker_id,name,trade,grade\nA,Ada,joiner,plain\nB,Bert,fitter,plain\n"
RATES = "trade,effective_from,cost_per_hour\njoiner,2025-01-01,10\nfitter,2025-01-01,20\n"
HEAD = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,"
    "technique,package_kind,base_package\n"
)
DATES = "2026-01-05,2026-03-27"


def row(
    code: str, trade: str, hours: int, technique: str = "percent_complete", more: str = ","
) -> str:
    return f"{code},{code},build,{trade},{hours},{DATES},{technique},{more}\n"


def load(yard: Yard, what: str, text: str) -> None:
    for_job = [] if what in {"crew", "rates"} else ["--job", "MERE"]
    yard.run("load", what, *for_job, yard.write(f"{what}.csv", text))


def frozen(yard: Yard, *estimate: str, plan: str = "") -> Yard:
    """Return a yard with the job frozen."""
    yard.run("load", "settings", yard.write("settings.toml", SETTINGS))
    yard.run("load", "job", yard.write("job.toml", JOB_FILE))
    load(yard, "crew", CREW)
    load(yard, "rates", RATES)
    load(yard, "estimate", HEAD + "".join(estimate))
    if plan:
        load(yard, "plan", plan)
    yard.run("freeze", "--job", "MERE", "--on", "2026-01-01")
    return yard


def approved(yard: Yard, lines: str) -> None:
    """Load the change C1 with its lines, approved on 8 January."""
    head = "change,title,requested_by,requested_on,change_basis\n"
    load(yard, "changes", f"{head}C1,More,Board,2026-01-06,fixed_price\n")
    load(yard, "change-lines", lines)
    load(
        yard,
        "change-events",
        "change,event,date,person\nC1,priced,2026-01-07,Ada\nC1,approved,2026-01-08,Board\n",
    )


def rows(yard: Yard, day: str, *words: str) -> dict[str, Any]:
    asked = ("performance", "--job", "MERE", "--status-date", day, "--by", "work-package", *words)
    return {each["key"]: each for each in yard.json(*asked)["rows"]}


@pytest.mark.slow
def test_a_baseline_change_leaves_the_original_baseline_as_it_was(yard: Yard) -> None:
    """On the original baseline an estimate to complete costs what it did before the change."""
    spare = row("SPARE", "fitter", 50, more="contingency,")
    frozen(yard, row("HULL", "joiner", 100), row("HULL", "fitter", 100), spare)
    estimate = "work_package,date,percent,estimate_to_complete_hours\nHULL,2026-01-09,20,150\n"
    load(yard, "progress", estimate)
    sheets = "sheet,worker_id,date,hours,booking_code\n"
    load(yard, "sheets", f"{sheets}1,A,2026-01-06,10,HULL\n1,B,2026-01-06,10,HULL\n")
    on = ("--baseline", "original", "--in", "cost")
    before = rows(yard, "2026-01-16", *on)["HULL"]
    moves = "name,date,person,work_package,trade,hours\n"
    moves += "M,2026-01-14,Ada,contingency,,-20\nM,2026-01-14,Ada,HULL,fitter,20\n"
    load(yard, "baseline-changes", moves)
    current = rows(yard, "2026-01-16", "--in", "cost")["HULL"]

    # 300 booked + 150 h at 3000/200; on the current baseline at 3400/220.
    assert before["eac"] == 2550
    assert rows(yard, "2026-01-16", *on)["HULL"] == before
    assert current["eac"] == Decimal("2618.1818")


def test_an_apportioned_package_is_planned_as_the_plan_file_of_its_base(yard: Yard) -> None:
    """A base planned by a file is followed day by day; one without by its spread."""
    apportioned = row("TRIM", "fitter", 50, "apportioned_effort", ",HULL")
    other = row("DECK", "joiner", 60) + row("RAIL", "fitter", 30, "apportioned_effort", ",DECK")
    plan = "work_package,date,hours\nHULL,2026-01-06,75\nHULL,2026-01-20,25\n"
    frozen(yard, row("HULL", "joiner", 100), apportioned, other, plan=plan)
    shown = rows(yard, "2026-01-16")

    # 50 x 75/100; DECK and RAIL even over 60 working days, of which 10 are past.
    assert [shown[key]["pv"] for key in ("HULL", "TRIM", "DECK", "RAIL")] == [75, 37.5, 10, 5]


@pytest.mark.slow
def test_hours_to_come_of_an_omitted_package_cost_what_it_last_did(yard: Yard) -> None:
    """An estimate to complete of a package omitted whole is priced at its last budget rate."""
    frozen(yard, row("HULL", "joiner", 10), row("DECK", "fitter", 100))
    approved(
        yard,
        "change,price_kind,description,trade,hours,work_package\nC1,labour,less,joiner,-10,HULL\n",
    )
    load(yard, "progress", "work_package,date,estimate_to_complete_hours\nHULL,2026-01-15,5\n")

    assert rows(yard, "2026-01-16")["HULL"]["etc"] == 5
    assert rows(yard, "2026-01-16", "--in", "cost")["HULL"]["etc"] == 50  # 5 h at 10


def test_an_estimate_of_a_trade_without_budget_takes_its_standard_rate(yard: Yard) -> None:
    """Hours to come of a trade that was never planned cost the standard rate of the freeze."""
    frozen(yard, row("HULL", "joiner", 10))
    estimate = "work_package,trade,date,estimate_to_complete_hours\nHULL,fitter,2026-01-15,5\n"
    load(yard, "progress", estimate)
    sheets = "sheet,worker_id,date,hours,booking_code\n"
    load(yard, "sheets", f"{sheets}1,B,2026-01-06,1,HULL\n")

    # The joiner's 10 h at 10, the fitter's 1 + 5 h at 20.
    assert rows(yard, "2026-01-16", "--in", "cost")["HULL"]["eac"] == 220


def test_trades_of_a_level_of_effort_end_on_their_own_dates(yard: Yard) -> None:
    """Each trade of a change measured by time is forecast over its own planned days."""
    frozen(yard, row("HULL", "joiner", 10))
    approved(
        yard,
        "change,price_kind,description,trade,hours,planned_start,planned_finish,technique\n"
        "C1,labour,watch,joiner,40,2026-01-12,2026-02-06,level_of_effort\n"
        "C1,labour,watch,fitter,10,2026-01-12,2026-01-16,level_of_effort\n",
    )

    # joiner 40 h over 20 days, 15 still to come; the fitter's 5 days are over.
    assert rows(yard, "2026-01-16")["C1"]["eac"] == 30
