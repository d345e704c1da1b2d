"""Nothing that was paid, booked or noted is counted twice, or lost between two rows."""

import pytest

from tests.conftest import Yard
from tests.payroll._paid import (
    CREW,
    FRI,
    THU,
    WEEK,
    begin,
    days,
    each,
    paid,
    reconciled,
    sheets,
    told,
)

WORKED = "worked"


@pytest.fixture
def begun(yard: Yard) -> Yard:
    """A yard with its crew."""
    yard.copy_made_by(begin)
    return yard


def crew(yard: Yard, *rows: str) -> None:
    yard.run("load", "crew", yard.write("more.csv", CREW + "".join(f"{row}\n" for row in rows)))


@pytest.mark.slow
def test_a_note_explains_the_row_of_its_own_period_alone(begun: Yard) -> None:
    """A note of a week does not explain the month's row of what is unpaid as well."""
    sheets(begun, *days("H1", "9"), "H1,2026-03-18,8,SHOP", *days("H2", "8", count=1))
    paid(begun, f"H1,{WEEK},normal,40", f"H2,{WEEK},normal,8")
    paid(begun, f"H1,,{WEEK},banked_hours,-5,,agreed", thing="payroll-notes")

    assert each(begun) == [
        ("H1", WORKED, 0, 8, {"unpaid": -8}, 0),
        ("H1", WORKED, 40, 45, {"banked_hours": -5}, 0),
        ("H2", WORKED, 8, 8, {}, 0),
    ]


@pytest.mark.slow
def test_whom_two_suppliers_charge_is_booked_once(begun: Yard) -> None:
    """A worker who changes supplier in a week stands once, against what both charged."""
    crew(begun, f"G1,Dan,welder,{THU},,agency,Lea Hands,")
    sheets(begun, *days("G1", "8"))
    paid(begun, f"Holm Labour,{WEEK},24,G1", f"Lea Hands,{WEEK},16,G1", thing="supplier-hours")

    assert each(begun) == [("G1", WORKED, 40, 40, {}, 0)]


@pytest.mark.slow
def test_a_salary_is_not_caught_up_in_the_next_period(begun: Yard) -> None:
    """Hours too few of a salaried worker are not those of a week that lies in two periods."""
    march, april = "2026-03-01,2026-03-31", "2026-04-01,2026-04-30"
    sheets(begun, *days("S1", "7.5"), "S1,2026-03-31,7,SHOP", "S1,2026-04-01,7.5,SHOP")
    paid(begun, f"S1,{march},normal,165", f"S1,{april},normal,165")
    row = reconciled(begun)["rows"][0]

    assert "period_cut" not in {each["reason"] for each in row["reasons"]}


@pytest.mark.slow
def test_hours_paid_before_a_salary_begins_are_not_lost(begun: Yard) -> None:
    """In a period that is partly by contract, payroll stands beside the hours that are not."""
    crew(begun, f"H1,Ann,joiner,{THU},,salaried,,40")
    sheets(begun, *days("H1", "8"))
    paid(begun, f"H1,{WEEK},normal,24")
    found = reconciled(begun, "2026-03-02", "2026-03-08")["rows"]
    shown = begun.run("reconciliation", "--from", "2026-03-02", "--to", "2026-03-08").stdout
    others = begun.run("reconciliation", "--from", "2026-02-02", "--to", "2026-02-08").stdout

    assert [(row["against"], *told(row)) for row in found if row["worker_id"] == "H1"] == [
        ("contract", "H1", WORKED, 16, 16, {}, 0),
        ("payroll", "H1", WORKED, 24, 24, {}, 0),
    ]
    # In the table too the two can be told apart; where nobody has two there is no such column.
    assert shown.splitlines()[0].split()[:4] == ["worker", "period", "kind", "against"]
    assert [line.split()[5] for line in shown.splitlines()[1:3]] == ["contract", "payroll"]
    assert "against" not in others.splitlines()[0]


@pytest.mark.slow
def test_a_clocked_day_stands_beside_one_row(begun: Yard) -> None:
    """Where payroll and a supplier cover a day, its sheets say whose it is, else the crew does."""
    crew(begun, "G2,Eve,welder,2026-01-01,,hourly,,")
    sheets(begun, *days("G1", "8", count=4), *days("G2", "8", count=4))
    paid(begun, *(f"{who},{WEEK},normal,10" for who in ("G1", "G2")))
    paid(begun, *(f"Holm Labour,{WEEK},52,{who}" for who in ("G1", "G2")), thing="supplier-hours")
    # Thursday's eight stand on the sheet too, Friday's ten are on the clock alone.
    clocked = (f"{who},{THU},07:00,15:00,\n{who},{FRI},07:00,17:00,\n" for who in ("G1", "G2"))
    head = "worker_id,date,clock_in,clock_out,break_minutes\n"
    begun.run("load", "attendance", begun.write("clock.csv", head + "".join(clocked)))
    found = {(row["worker_id"], row["against"]): row for row in reconciled(begun)["rows"]}

    # Of an agency's worker the supplier's row has it, of the yard's own payroll's.
    assert {key: row["clocked_hours"] for key, row in found.items() if key[0] != "S1"} == {
        ("G1", "payroll"): None,
        ("G1", "supplier"): 18,
        ("G2", "payroll"): 18,
        ("G2", "supplier"): None,
    }
    assert told(found["G1", "supplier"])[4:] == ({"attendance": 10}, 10)


@pytest.mark.slow
def test_a_day_on_the_clock_is_no_day_without_time(begun: Yard) -> None:
    """What is clocked without a sheet is `attendance`, not a missing sheet, nor leave, as well."""
    sheets(begun, *days("H1", "8", count=4), *days("H2", "8", count=4))
    paid(begun, f"H1,{WEEK},normal,50", f"H2,{WEEK},normal,32", f"H2,{WEEK},leave,8")
    clocked = (
        "worker_id,date,clock_in,clock_out,break_minutes\n"
        f"H1,{FRI},07:00,17:00,\nH2,{FRI},07:00,15:00,\n"
    )
    begun.run("load", "attendance", begun.write("clock.csv", clocked))

    # Eighteen too many: ten on the clock, eight of nowhere.
    assert each(begun) == [
        ("H1", WORKED, 50, 32, {"attendance": 10}, 8),
        ("H2", "paid_not_worked", 8, 0, {}, 8),
        ("H2", WORKED, 32, 32, {}, 0),
    ]
