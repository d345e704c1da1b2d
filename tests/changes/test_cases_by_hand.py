"""Changes as disputes know them, each on a job of its own, worked out by hand.

Every job has one package of 100 h of carpenter, P1, planned from 2 March to 3 April 2026, and a
contract sum of 10,000.00; an hour is charged at 60.00. The status date is Friday 27 March.
Unless said otherwise nothing is booked to P1, so its forecast is its budget: less than 15 % of BAC
is earned, and the forecast is at the budget's rate.
"""

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard

pytestmark = pytest.mark.slow
DAY = "2026-03-27"
CARD = """
    [job]
    code = "{job}"
    title = "{job}"
    owner = "Harbour office"
    contract_sum = "10000.00"
    contract_date = 2026-02-23
    planned_start = 2026-03-02
    planned_finish = 2026-04-03
    contract_basis = "{contract}"
    """
ESTIMATE = """
    work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique
    P1,Deck,deck,carpenter,{hours},2026-03-02,2026-04-03,percent_complete
    """
CREW = "worker_id,name,trade\nA1,Ada Brunt,carpenter\n"
RATES = "trade,effective_from,cost_per_hour\ncarpenter,2026-01-01,30.00\n"
CHARGES = "trade,effective_from,charge_per_hour\ncarpenter,2026-01-01,60.00\n"
CHANGES = "change,title,requested_by,requested_on,change_basis,origin\n"
LINES = "change,price_kind,description,trade,hours,work_package\n"
EVENTS = "change,event,date,person,reference,not_to_exceed\n"
PROGRESS = "work_package,date,percent\n"
SHEET = "worker_id,date,hours,booking_code,rework\n"


@dataclass(frozen=True)
class Case:
    """What happened to change V (price lines, events, hours, measures, events after these).

    `hours` are the steps that are not nothing besides the original budget; `sums` those of the
    contract that differ from an untouched one.
    """

    name: str
    lines: str
    events: str
    sheet: str = ""
    progress: str = ""
    later: str = ""
    basis: str = "fixed_price"
    origin: str = "owner"
    contract: str = "fixed_price"
    hours: dict[str, str] = field(default_factory=dict)
    asked_by: dict[str, str] = field(default_factory=dict)
    borne_by: dict[str, str] = field(default_factory=dict)
    sums: dict[str, str] = field(default_factory=dict)
    cpi: str | None = None
    attention: tuple[str, ...] = ()
    exposure: str = "0"


def approved(day: str, capped: str = "") -> str:
    return f"V,submitted,{day},Ada,,\nV,approved,{day},Ida,letter,{capped}\n"


CASES = [
    Case(
        "an omission from a started package",
        lines="V,labour,Less deck,carpenter,-20,P1\n",
        events=approved("2026-03-16"),
        # 50 h for 50 %, then 30 h for the rest of what is left: 80 h earned for 80 h.
        sheet="".join(f"A1,2026-03-{day:02},10,P1,\n" for day in (3, 4, 5, 6, 9, 17, 18, 19)),
        progress="P1,2026-03-13,50\nP1,2026-03-27,100\n",
        hours={"omissions": "-20"},
        asked_by={"owner": "-20"},
        borne_by={"owner": "-20"},
        sums={"omitted": "1200", "adjusted_sum": "8800", "anticipated_final_sum": "8800"},
        cpi="1",
    ),
    Case(
        "a variation stopped after work",
        lines="V,labour,Bench,carpenter,20,\n",
        events=approved("2026-03-10"),
        later="V,stopped,2026-03-20,Ida,letter,\n",
        sheet="A1,2026-03-17,8,V,\n",
        # A quarter of 20 h is earned, 15 h are omitted; 8 - 5 = 3 h are abortive.
        progress="V,2026-03-18,25\n",
        hours={"approved_variations": "20", "omissions": "-15", "over_under_on_variations": "3"},
        asked_by={"owner": "8"},
        borne_by={"owner": "8"},
        # What was approved stays as approved: a credit for the rest is a change of its own.
        sums={"approved": "1200", "adjusted_sum": "11200", "anticipated_final_sum": "11200"},
    ),
    Case(
        "daywork over its estimate",
        lines="V,labour,Repairs,carpenter,10,\n",
        events=approved("2026-03-10"),
        sheet="A1,2026-03-17,14,V,\n",
        progress="V,2026-03-20,100\n",
        basis="daywork",
        hours={"approved_variations": "10", "over_under_on_variations": "4"},
        asked_by={"owner": "14"},
        borne_by={"owner": "14"},
        # 4 h over the estimate are on no signed sheet.
        sums={
            "approved": "600",
            "adjusted_sum": "10600",
            "daywork_unsigned": "240",
            "anticipated_final_sum": "10840",
        },
        attention=("daywork_unsigned",),
        exposure="840",
    ),
    Case(
        "daywork over its cap",
        lines="V,labour,Repairs,carpenter,10,\n",
        events=approved("2026-03-10", capped="yes"),
        sheet="A1,2026-03-17,14,V,\n",
        progress="V,2026-03-20,100\n",
        basis="daywork",
        hours={"approved_variations": "10", "over_under_on_variations": "4"},
        asked_by={"owner": "14"},
        # The owner pays no more than the estimate it was not to exceed.
        borne_by={"owner": "10", "yard": "4"},
        sums={"approved": "600", "adjusted_sum": "10600", "anticipated_final_sum": "10600"},
        attention=("over_agreed_hours",),
        # None of it is on a signed sheet.
        exposure="840",
    ),
    Case(
        "a substitution",
        lines="V,labour,Oak in place of ash,carpenter,12,\nV,labour,No ash,carpenter,-20,P1\n",
        events=approved("2026-03-16"),
        hours={"approved_variations": "12", "omissions": "-20"},
        asked_by={"owner": "-8"},
        borne_by={"owner": "-8"},
        sums={
            "approved": "720",
            "omitted": "1200",
            "adjusted_sum": "9520",
            "anticipated_final_sum": "9520",
        },
    ),
    Case(
        "a change in law",
        lines="V,labour,Rail to the new rule,carpenter,10,\n",
        events=approved("2026-03-10"),
        sheet="A1,2026-03-17,12,V,\n",
        progress="V,2026-03-20,100\n",
        origin="change_in_law",
        hours={"approved_variations": "10", "over_under_on_variations": "2"},
        asked_by={"change_in_law": "10", "yard": "2"},
        borne_by={"owner": "10", "yard": "2"},
        sums={"approved": "600", "adjusted_sum": "10600", "anticipated_final_sum": "10600"},
        attention=("over_agreed_hours",),
    ),
    Case(
        "work over a fixed price",
        lines="V,labour,Bench,carpenter,10,\n",
        events=approved("2026-03-10"),
        # An hour done again is no part of what is over: 14 - 10 - 1 = 3.
        sheet="A1,2026-03-17,13,V,\nA1,2026-03-18,1,V,workmanship\n",
        progress="V,2026-03-20,100\n",
        hours={"approved_variations": "10", "over_under_on_variations": "3", "rework": "1"},
        asked_by={"owner": "10", "yard": "4"},
        borne_by={"owner": "10", "yard": "4"},
        sums={"approved": "600", "adjusted_sum": "10600", "anticipated_final_sum": "10600"},
        attention=("over_agreed_hours",),
    ),
    Case(
        "work without charge",
        lines="V,labour,Bench,carpenter,10,\n",
        events=approved("2026-03-10"),
        sheet="A1,2026-03-17,12,V,\n",
        progress="V,2026-03-20,100\n",
        basis="no_charge",
        hours={"approved_variations": "10", "over_under_on_variations": "2"},
        # The owner asked for it, the yard bears all of it.
        asked_by={"owner": "10", "yard": "2"},
        borne_by={"yard": "12"},
        attention=("over_agreed_hours",),
    ),
    Case(
        "a job on a time charge",
        lines="V,labour,Bench,carpenter,20,\n",
        events=approved("2026-03-10"),
        # Half of P1 for 60 h, so 60 more for the rest: 20 over. V at the same rate is 20 x 60 / 50.
        sheet="".join(f"A1,2026-03-{day:02},10,P1,\n" for day in (3, 4, 5, 6, 9, 10)),
        progress="P1,2026-03-27,50\n",
        contract="time_charge",
        hours={
            "approved_variations": "20",
            "over_under_on_variations": "4",
            "over_under_on_original_work": "20",
        },
        asked_by={"owner": "20", "yard": "24"},
        # Base hours are the owner's as worked; over a fixed price is the yard's.
        borne_by={"owner": "40", "yard": "4"},
        sums={"approved": "1200", "adjusted_sum": "11200", "anticipated_final_sum": "11200"},
    ),
    Case(
        "a declined change worked anyway",
        lines="V,labour,Bench,carpenter,10,\n",
        events="V,submitted,2026-03-10,Ada,,\nV,declined,2026-03-12,Ida,letter,\n",
        sheet="A1,2026-03-17,6,V,\n",
        hours={"unapproved_changes": "6"},
        asked_by={"owner": "6"},
        borne_by={"yard": "6"},
        attention=("worked_not_instructed",),
        exposure="360",
    ),
    Case(
        "an instructed one declined",
        lines="V,labour,Bench,carpenter,10,\n",
        events="V,instructed,2026-03-09,Ida,,\nV,submitted,2026-03-10,Ada,,\n"
        "V,declined,2026-03-12,Ida,letter,\n",
        sheet="A1,2026-03-17,4,V,\n",
        # 4 h and the 6 h to come: the instruction stands until it is stopped.
        hours={"unapproved_changes": "10"},
        asked_by={"owner": "10"},
        borne_by={"instructed_price_open": "10"},
        sums={"instructed_at_latest_price": "600", "anticipated_final_sum": "10600"},
        attention=("instruction_unwritten", "instructed_price_open"),
        exposure="240",
    ),
]
UNTOUCHED = {
    **dict.fromkeys(("original_sum", "adjusted_sum", "anticipated_final_sum"), "10000"),
    **dict.fromkeys(("approved", "omitted", "daywork_movement", "daywork_unsigned"), "0"),
    **dict.fromkeys(("instructed_at_latest_price", "submitted"), "0"),
}


def built(yard: Yard, case: Case) -> Yard:
    """Load a job with what happened to its change."""

    def load(thing: str, text: str, *words: str) -> None:
        yard.run("load", thing, *words, yard.write(f"{thing}.csv", text))

    yard.run("load", "job", yard.write("job.toml", CARD.format(job="J", contract=case.contract)))
    load("crew", CREW)
    load("rates", RATES)
    job = ("--job", "J")
    load("charge-rates", CHARGES, *job)
    load("estimate", ESTIMATE.format(hours=100), *job)
    yard.run("freeze", *job, "--on", "2026-02-23")
    row = f"V,Something,Ida,2026-03-02,{case.basis},{case.origin}\n"
    load("changes", CHANGES + row, *job)
    load("change-lines", LINES + case.lines, *job)
    load("change-events", EVENTS + case.events, *job)
    if case.sheet:
        load("sheets", SHEET + case.sheet, *job)
    if case.progress:
        load("progress", PROGRESS + case.progress, *job)
    if case.later:
        load("change-events", EVENTS + case.later, *job)
    return yard


def amounts(named: dict[str, Any]) -> dict[str, Decimal]:
    """Return the amounts that are not nothing."""
    return {name: Decimal(amount) for name, amount in named.items() if Decimal(amount)}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_hours_sum_and_marks_are_those_worked_out(yard: Yard, case: Case) -> None:
    """The steps, who asked, who bears, the contract sum and what needs attention."""
    built(yard, case)
    words = ("--job", "J", "--status-date", DAY)
    overrun = yard.json("overrun", *words)
    known = yard.json("changes", *words)
    [change] = known["changes"]
    steps = {row["step"]: row["amount"] for row in overrun["steps"]}
    final = steps.pop("anticipated_final")

    assert steps.pop("original_budget") == 100
    assert amounts(steps) == amounts(case.hours)
    assert final == 100 + sum(map(Decimal, case.hours.values()))
    assert amounts(overrun["asked_by"]) == amounts(case.asked_by)
    assert amounts(overrun["borne_by"]) == amounts(case.borne_by)
    assert {name: known[name] for name in UNTOUCHED} == {
        name: Decimal(amount) for name, amount in (UNTOUCHED | case.sums).items()
    }
    wanted = [each for each in change["attention"] if not each.startswith(("days_", "near_"))]
    assert tuple(wanted) == case.attention
    assert change["exposure_value"] == Decimal(case.exposure)
    if case.cpi:
        performance = yard.json("performance", *words)
        assert performance["rows"][0]["cpi"] == Decimal(case.cpi)


# Ordered on Monday 2 March, booked on Tuesday, priced on Friday, signed on 2 April.
ORDERED = [
    ("instructed", "2026-03-02"),
    ("priced", "2026-03-06"),
    ("submitted", "2026-03-06"),
    ("approved", "2026-04-02"),
]
# By each day: in the baseline (BAC less 100 h), instructed at latest price, approved, exposure.
WAY = [
    ("2026-03-02", "0", "0", "0", "0"),
    ("2026-03-03", "0", "0", "0", "480"),
    ("2026-03-06", "0", "720", "0", "480"),
    ("2026-04-01", "0", "720", "0", "480"),
    ("2026-04-02", "12", "0", "720", "0"),
]
# Without one of its events: what stands on 2 April.
WITHOUT = {
    "approved": ("0", "720", "0", "480"),
    "instructed": ("12", "0", "720", "0"),
    "priced": ("12", "0", "720", "0"),
    "submitted": ("12", "0", "720", "0"),
}


def stands(yard: Yard, day: str) -> tuple[Decimal, ...]:
    """Return what of the change is in the baseline, instructed, approved, and at risk."""
    words = ("--job", "J", "--status-date", day)
    row = yard.json("performance", *words)["rows"][0]
    known = yard.json("changes", *words)
    names = ("instructed_at_latest_price", "approved", "exposure_value")
    return (row["bac"] - 100, *(known[name] for name in names))


@pytest.fixture
def ordered(yard: Yard) -> Yard:
    events = "".join(f"V,{event},{day},Ida,letter,\n" for event, day in ORDERED)
    lines = "V,labour,Bench,carpenter,12,\n"
    return built(yard, Case("ordered", lines, events, "A1,2026-03-03,8,V,\n"))


def test_work_ordered_on_monday_and_signed_next_month_ends_in_sum_and_baseline(
    ordered: Yard,
) -> None:
    """Its hours and price stand where each day has them; the hours booked stay at the change."""
    found = [(day, *stands(ordered, day)) for day, *_ in WAY]

    assert found == [(day, *map(Decimal, amounts)) for day, *amounts in WAY]


@pytest.mark.parametrize("event", WITHOUT)
def test_any_of_its_events_can_be_withdrawn(ordered: Yard, event: str) -> None:
    """Without it the change stands as the rest has it; before the withdrawal as it did."""
    listed = ordered.rows(ordered.run("show", "change_event", "--format", "csv").stdout)
    [fact] = [row["id"] for row in listed if row["event"] == event]
    before = len(ordered.rows(ordered.run("history", "--format", "csv").stdout))
    ordered.run("withdraw", "fact", fact, "--reason", "entered by mistake")
    then = ("--known-at", str(before))
    row = ordered.run(*then, "performance", "--job", "J", "--status-date", "2026-04-02").stdout

    assert stands(ordered, "2026-04-02") == tuple(map(Decimal, WITHOUT[event]))
    assert "112.00" in row
    assert ordered.run("check").exit_code == 0
