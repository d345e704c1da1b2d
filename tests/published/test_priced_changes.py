"""C2, C4 and C5: changes priced by percentages, against amounts that are published or reckoned.

Rates, hours and sums that no source prints are ours. The hourly cost of 13.15 is that of a craft
operative in the Definition of Prime Cost of Daywork (RICS and Construction Confederation, rates of
6 April 2012); the percentages on it are ours. That an omission carries no deduction of overheads
and profit unless the contract says so is NZS 3910:2013, clause 9.3.13.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from ledger.changes.daywork_terms import DayworkTerms
from tests.conftest import Yard

CARD = """
[job]
code = "{code}"
title = "Case"
owner = "Owner"
contract_sum = "991800.00"
contract_date = 2026-01-05
planned_start = 2026-01-12
planned_finish = 2026-03-27
omissions_carry_additions = {carry}

[daywork]
labour_percent = 120
material_percent = 15
plant_percent = 10
"""
ESTIMATE = """
    work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique
    {0}-P1,All,build,fitter,14500,2026-01-12,2026-03-27,percent_complete
"""
RATES = "trade,effective_from,charge_per_hour\nfitter,2026-01-01,68.40\ncraft,2026-01-01,13.15\n"
CHANGES = """
    change,title,requested_by,requested_on,change_basis
    A,Additive,Owner,2026-01-12,fixed_price
    B,Compound,Owner,2026-01-12,fixed_price
    C,Mark-up,Owner,2026-01-12,fixed_price
    D,Margin,Owner,2026-01-12,fixed_price
    E,Daywork,Owner,2026-01-12,daywork
    F,Omission,Owner,2026-01-12,fixed_price
"""
LINES = """
    change,price_kind,description,trade,hours,quantity,unit_price,addition_percent,addition_on,addition_method
    A,material,Winch,,,1,10000.00,,,
    A,addition,Overheads,,,,,8,,
    A,addition,Profit,,,,,10,,
    B,material,Winch,,,1,10000.00,,,
    B,addition,Overheads,,,,,8,,compound
    B,addition,Profit,,,,,10,,compound
    C,material,Winch,,,1,10000.00,25,,
    D,material,Winch,,,1,10000.00,20,price,
    E,labour,Repair,craft,37.5,,,,,
    E,material,Plate,,,1,640.00,,,
    E,plant,Crane,,,1,85.00,,,
    F,subcontract,Winch,,,-1,10000.00,,,
    F,addition,Overheads and profit,,,,,10,,
"""
SUMS = """
    change,price_kind,description,trade,hours,work_package
    G,labour,Added,fitter,1350,
    H,labour,Omitted,,-350,CASE-P1
"""


@pytest.fixture(scope="module")
def case(new_yard: Callable[[], Yard]) -> Yard:
    """The cases priced, on a job whose omissions carry no additions and on one where they do."""
    yard = new_yard()
    for code, carry in (("CASE", "false"), ("CARRY", "true")):
        yard.run("load", "job", yard.write("job.toml", CARD.format(code=code, carry=carry)))
        for thing, text in (
            ("estimate", ESTIMATE.format(code)),
            ("charge-rates", RATES),
            ("changes", CHANGES),
            ("change-lines", LINES),
        ):
            yard.run("load", thing, "--job", code, yard.write(f"{thing}.csv", text))
    return yard


def lines_of(yard: Yard, change: str, job: str = "CASE") -> list[str]:
    """Return the amounts of a change's lines as printed, and its price at the end."""
    shown: Any = yard.json("show", "change", "--job", job, change)["prices"][0]
    lines = [line["amount"] for line in shown["lines"]]
    return [f"{amount:.2f}" for amount in [*lines, shown["price"]]]


CASES = [
    # 8 % of 10,000, and 10 % of it.
    ("A", ["10000.00", "800.00", "1000.00", "11800.00"]),
    # 10 % of 10,800.
    ("B", ["10000.00", "800.00", "1080.00", "11880.00"]),
    # A mark-up of 25 % on cost is a margin of 20 % of price.
    ("C", ["12500.00", "12500.00"]),
    ("D", ["12500.00", "12500.00"]),
    # 37.5 x 13.15 x 2.20 = 1,084.875; 640 + 15 %; 85 + 10 %.
    ("E", ["1084.88", "736.00", "93.50", "1914.38"]),
    ("F", ["-10000.00", "0.00", "-10000.00"]),
]


@pytest.mark.parametrize(("change", "amounts"), CASES)
def test_a_price_is_made_up_as_worked_by_hand(case: Yard, change: str, amounts: list[str]) -> None:
    """Each line is rounded once, additions are lines of their own, and the lines foot."""
    assert lines_of(case, change) == amounts


def test_an_omission_carries_additions_where_the_contract_says_so(case: Yard) -> None:
    """With the job's setting overheads and profit are deducted on what is omitted."""
    assert lines_of(case, "F", "CARRY") == ["-10000.00", "-1000.00", "-11000.00"]


def test_the_sum_is_adjusted_by_additions_and_omissions(case: Yard) -> None:
    """C2: 991,800.00 + 92,340.00 - 23,940.00 = 1,060,200.00."""
    case.run("freeze", "--job", "CASE", "--on", "2026-01-05")
    for title, change in (("Added", "G"), ("Omitted", "H")):
        words = ("--title", title, "--requested-by", "Owner", "--basis", "fixed_price")
        case.run(
            "request", "change", "--job", "CASE", change, *words, "--requested-on", "2026-01-12"
        )
    case.run("load", "change-lines", "--job", "CASE", case.write("lines.csv", SUMS))
    approved = "change,event,date,person,reference\n" + "".join(
        f"{change},approved,2026-01-13,Owner,letter\n" for change in ("G", "H")
    )
    case.run("load", "change-events", "--job", "CASE", case.write("events.csv", approved))
    sums = case.json("changes", "--job", "CASE", "--status-date", "2026-01-16")
    names = ("original_sum", "approved", "omitted", "adjusted_sum")

    assert [f"{sums[name]:.2f}" for name in names] == [
        *("991800.00", "92340.00", "23940.00", "1060200.00")
    ]


def test_prime_cost_without_an_agreed_percentage_stays_as_it_is() -> None:
    """A kind of cost for which no percentage is agreed is charged at cost."""
    agreed = DayworkTerms({"labour": Decimal(120)})

    assert agreed.charged("subcontract", Fraction(100)) == Decimal("100.00")
    # 37.5 x 13.15 x 2.20 = 1,084.875, rounded once.
    assert agreed.charged("labour", Fraction("37.5") * Fraction("13.15")) == Decimal("1084.88")
