"""Hours paid beside hours booked: paid is booked and the difference, each difference explained."""

from decimal import Decimal

import pytest

from tests.conftest import Yard
from tests.payroll._paid import (
    CREW,
    FRI,
    MON,
    NOTES,
    WEEK,
    begin,
    days,
    each,
    paid,
    reconciled,
    sheets,
    told,
)

WORKED, AWAY = "worked", "paid_not_worked"


@pytest.fixture
def begun(yard: Yard) -> Yard:
    """A yard with its crew."""
    yard.copy_made_by(begin)
    return yard


def test_everybody_stands_against_their_own_kind_of_pay(begun: Yard) -> None:
    """Hourly against payroll, salaried against the contract, agencies against their hours."""
    sheets(
        begun,
        *days("H1", "8"),
        *days("S1", "8", count=4),
        f"S1,{FRI},7.5,LEAVE",
        *days("G1", "8"),
        *days("G2", "8", count=1),
    )
    paid(begun, f"H1,{WEEK},normal,40", f"H2,{WEEK},normal,40")
    paid(begun, f"Holm Labour,{WEEK},48.2,", thing="supplier-hours")
    found = reconciled(begun, "2026-03-02", "2026-03-08")

    assert [told(row) for row in found["rows"]] == [
        ("H1", WORKED, 40, 40, {}, 0),
        ("H2", WORKED, 40, 0, {"missing_sheet": 40}, 0),
        ("S1", AWAY, 7.5, 7.5, {}, 0),
        ("S1", WORKED, 30, 32, {}, -2),
        ("Holm Labour", WORKED, Decimal("48.2"), 48, {"rounding": Decimal("0.2")}, 0),
    ]
    assert [row["against"] for row in found["rows"]] == [
        *("payroll", "payroll", "contract", "contract", "supplier")
    ]
    assert [row["settled"] for row in found["rows"]] == [True, False, True, False, True]
    sums = [found[f"{name}_hours"] for name in ("paid", "booked", "difference")]
    assert sums == [Decimal("165.7"), Decimal("127.5"), Decimal("38.2")]


@pytest.mark.slow
def test_leave_paid_and_daywork_booked_are_two_differences(begun: Yard) -> None:
    """Eight hours paid as leave do not pay for eight hours that were worked."""
    sheets(begun, *days("H1", "8"), f"H2,{MON},8,LEAVE")
    paid(begun, f"H1,{WEEK},normal,32", f"H1,{WEEK},leave,8", f"H2,{WEEK},normal,8")

    assert each(begun) == [
        ("H1", AWAY, 8, 0, {}, 8),
        ("H1", WORKED, 32, 40, {}, -8),
        ("H2", AWAY, 0, 8, {"leave": -8}, 0),
        ("H2", WORKED, 8, 0, {"leave": 8}, 0),
    ]


@pytest.mark.slow
def test_every_reason_that_the_book_shows(begun: Yard) -> None:
    """Leave on a free day, travel by its class, premium paid as hours, nothing paid at all."""
    sheets(begun, *days("H1", "8", count=4), *days("H2", "8"), f"G1,{MON},8,SHOP")
    sheets(begun, f"H2,{MON},2,SHOP,,overtime_premium", name="premium.csv")
    paid(
        begun,
        f"H1,{WEEK},normal,32",
        f"H1,{WEEK},leave,8",
        f"H1,{WEEK},travel,3",
        f"H2,{WEEK},normal,42",
    )

    assert each(begun) == [
        ("G1", WORKED, 0, 8, {"unpaid": -8}, 0),
        ("H1", AWAY, 8, 0, {"leave": 8}, 0),
        ("H1", WORKED, 35, 32, {"travel": 3}, 0),
        ("H2", "premium_only", 0, 2, {"premium_hours": -2}, 0),
        ("H2", WORKED, 42, 40, {"premium_hours": 2}, 0),
    ]


@pytest.mark.slow
def test_a_week_in_two_periods_and_a_sheet_paid_in_the_next(begun: Yard) -> None:
    """Hours paid with the week's end, and hours of a late sheet caught up, explain both rows."""
    first, second = "2026-03-01,2026-03-11", "2026-03-12,2026-03-22"
    week = [f"H1,2026-03-{day:02},8,SHOP" for day in (9, 10, 11, 12, 13)]
    sheets(begun, *days("H1", "8"), *week, *days("H2", "8"))
    # The days of the week that is cut are paid with its end.
    paid(begun, f"H1,{first},normal,40", f"H1,{second},normal,40", f"H2,{first},normal,40")
    sheets(begun, "H2,2026-03-09,6,SHOP", name="late.csv")
    paid(begun, f"H2,{second},normal,6")

    assert each(begun) == [
        ("H1", WORKED, 40, 64, {"period_cut": -24}, 0),
        ("H1", WORKED, 40, 16, {"period_cut": 24}, 0),
        ("H2", WORKED, 40, 46, {"late_sheet": -6}, 0),
        ("H2", WORKED, 6, 0, {"late_sheet": 6}, 0),
    ]


@pytest.mark.slow
def test_a_note_explains_first_and_may_say_too_much(begun: Yard) -> None:
    """What people say stands as it is; what is left over is unexplained either way."""
    sheets(begun, *days("H1", "9"), *days("H2", "8"))
    paid(begun, f"H1,{WEEK},normal,40", f"H2,{WEEK},normal,40")
    notes = (f"H1,,{WEEK},banked_hours,-5,,agreed", f"H2,,{WEEK},call_out_minimum,2,,")
    paid(begun, *notes, thing="payroll-notes")

    assert each(begun) == [
        ("H1", WORKED, 40, 45, {"banked_hours": -5}, 0),
        ("H2", WORKED, 40, 40, {"call_out_minimum": 2}, -2),
    ]


@pytest.mark.slow
def test_a_note_without_a_row_is_listed(begun: Yard) -> None:
    """Pay that comes after a note may cut its days: the note explains nothing, and is named so."""
    sheets(begun, *days("H1", "9"))
    fortnight = "2026-03-02,2026-03-15"
    paid(begun, f"H1,,{fortnight},banked_hours,-5,,agreed", thing="payroll-notes")
    paid(begun, f"H1,{WEEK},normal,40")
    found = reconciled(begun, "2026-03-02", "2026-03-15")
    shown = begun.run("reconciliation", "--from", MON, "--to", "2026-03-15").stdout

    assert told(found["rows"][0]) == ("H1", WORKED, 40, 45, {}, -5)
    assert [(note["worker_id"], note["hours"]) for note in found["notes_unused"]] == [("H1", -5)]
    assert "notes that explain nothing: no row has all their days" in shown


@pytest.mark.slow
def test_overtime_stands_beside_the_premium_paid_for_it(begun: Yard) -> None:
    """Hours above 40 a week belong to the period in which the week ends; agencies have none."""
    own = '[overtime]\nweekly_hours = "40"\npaid_as = "premium_only"\n'
    begun.run("load", "settings", begun.write("own.toml", own))
    sheets(begun, *days("H1", "9"), *days("H2", "10"), *days("G1", "9"))
    first, second = "2026-03-02,2026-03-06", "2026-03-07,2026-03-13"
    paid(
        begun,
        *(f"H1,{WEEK},normal,45", f"H1,{WEEK},overtime_premium,5"),
        *(f"H2,{first},normal,50", f"H2,{second},overtime_premium,8"),
    )

    assert [row for row in each(begun) if row[0] != "G1"] == [
        ("H1", "premium_only", 5, 5, {}, 0),
        ("H1", WORKED, 45, 45, {}, 0),
        ("H2", WORKED, 50, 50, {}, 0),
        ("H2", "premium_only", 8, 10, {}, -2),
    ]


@pytest.mark.slow
def test_a_worker_opens_to_what_was_paid_and_booked(begun: Yard) -> None:
    """The lines behind a row add up to it, and name their fact, file and line."""
    sheets(begun, *days("H1", "8"), f"H2,{MON},8,SHOP")
    paid(begun, f"H1,{WEEK},normal,38", f"H1,{WEEK},overtime,2")
    asked = ("--from", "2026-03-02", "--to", "2026-03-08", "--worker", "h1")
    found = begun.json("reconciliation", *asked)
    shown = begun.run("reconciliation", *asked).stdout

    assert [told(row) for row in found["rows"]] == [("H1", WORKED, 40, 40, {}, 0)]
    assert [line["hours"] for line in found["paid_lines"]] == [38, 2]
    assert [(line["file"], line["line"]) for line in found["booked_lines"]] == [
        ("sheets.csv", number) for number in range(2, 7)
    ]
    assert sum(line["hours"] for line in found["booked_lines"]) == 40
    assert "payroll_line:" in shown
    assert "0 rows not settled" in shown


@pytest.mark.slow
def test_a_clock_is_a_third_side(begun: Yard) -> None:
    """Where a clock has times of a worker, they stand beside what is booked on its days alone."""
    sheets(begun, *days("H1", "8"))
    paid(begun, f"H1,{WEEK},normal,40")
    clocked = f"worker_id,date,clock_in,clock_out,break_minutes\nH1,{MON},07:00,16:00,30\n"
    begun.run("load", "attendance", begun.write("clock.csv", clocked))
    row = reconciled(begun)["rows"][0]
    shown = begun.run("reconciliation", "--from", MON, "--to", "2026-03-08").stdout

    assert (row["booked_hours"], row["clocked_hours"]) == (40, Decimal("8.5"))
    assert row["beside_clock_hours"] == 8
    table = shown.partition("attendance clock, where it differs from what is booked on the days ")
    assert table[2].splitlines()[2].split()[-3:] == ["8.00", "8.50", "0.50"]


@pytest.mark.slow
def test_what_the_clock_has_is_a_reason(begun: Yard) -> None:
    """Paid by the clock above a sheet is explained; with no sheet, or booked above it, is open."""
    sheets(begun, *days("H1", "8", count=4), *days("H2", "8"), *days("S1", "7.5"))
    paid(begun, f"H1,{WEEK},normal,42.5", f"H2,{WEEK},normal,39")
    # Half an hour above the sheet on Monday, a Saturday's ten without a sheet; one below it.
    clocked = (
        "worker_id,date,clock_in,clock_out,break_minutes\n"
        f"H1,{MON},07:00,15:30,\nH1,2026-03-07,07:00,17:00,\nH2,{MON},07:00,14:00,\n"
    )
    begun.run("load", "attendance", begun.write("clock.csv", clocked))
    found = {row["worker_id"]: row for row in reconciled(begun)["rows"] if row["paid_hours"]}
    week = ("--from", MON, "--to", "2026-03-08")
    said = begun.run("sign", "off", *week, "--worker", "H1").stderr
    let_pass = begun.run("sign", "off", *week, "--worker", "H1", "--reason", "seen").stderr

    assert told(found["H1"])[4:] == ({"attendance": Decimal("10.5")}, 0)
    assert told(found["H2"])[4:] == ({"attendance": -1}, 0)
    assert not found["H1"]["settled"]
    assert not found["H2"]["settled"]
    assert said.splitlines()[1] == (
        "left: worker H1, 2026-03-02 to 2026-03-08, worked: 10.00 h paid without a sheet"
    )
    assert let_pass.startswith("1 row signed off, 1 of them paid without a sheet\n")


@pytest.mark.slow
def test_a_missing_sheet_is_open_until_it_comes(begun: Yard) -> None:
    """Found by itself it names why and settles nothing; a note, or the sheet, does."""
    sheets(begun, *days("S1", "7.5"))
    paid(begun, f"H1,{WEEK},normal,40", f"H2,{WEEK},normal,40")
    before = reconciled(begun)["rows"]
    paid(begun, f"H1,,{WEEK},missing_sheet,40,,seen at work", thing="payroll-notes")
    sheets(begun, *days("H2", "8"), name="late.csv")
    after = reconciled(begun)["rows"]

    assert [told(row)[4:] for row in before[:2]] == [({"missing_sheet": 40}, 0)] * 2
    assert [row["settled"] for row in before[:2]] == [False, False]
    assert [row["settled"] for row in after[:2]] == [True, True]


@pytest.mark.slow
def test_a_note_beyond_its_pay_period_is_refused(begun: Yard) -> None:
    """It would belong to no row and explain nothing; the line and the period are named."""
    paid(begun, f"H1,{WEEK},normal,40")
    fortnight = "2026-03-02,2026-03-15"
    rows = f"{NOTES}H1,,{fortnight},banked_hours,-5,,\nH2,,{fortnight},unpaid,-8,,\n"
    said = begun.run("load", "payroll-notes", begun.write("n.csv", rows), ok=False).stderr

    assert said == (
        "n.csv:2: the note is of 2026-03-02 to 2026-03-15, beyond the pay period 2026-03-02 to "
        "2026-03-08; give each pay period a note of its own\n1 fault; nothing was loaded\n"
    )
    assert begun.json("show", "payroll_note") == []


def signed(yard: Yard) -> list[tuple[object, ...]]:
    rows = reconciled(yard, "2026-03-02", "2026-03-08")["rows"]
    return [(row["worker_id"], row["settled"], row["signed_by"]) for row in rows]


@pytest.mark.slow
def test_a_row_is_signed_off_as_it_stands(begun: Yard) -> None:
    """Explained rows are signed off, others with a reason alone; hours that change open a row."""
    sheets(begun, *days("H1", "8"), *days("H2", "8"))
    paid(begun, f"H1,{WEEK},normal,40", f"H2,{WEEK},normal,38", f"H1,{WEEK},allowance,1")
    week = ("--from", "2026-03-02", "--to", "2026-03-08")
    first = begun.run("sign", "off", *week, "--worker", "H2").stderr
    second = begun.run("sign", "off", *week, "--reason", "paid in April").stderr
    before = signed(begun)
    sheets(begun, f"H1,{MON},1,SHOP", name="late.csv")
    after = signed(begun)
    fact = begun.json("show", "sign_off")[-1]["id"]
    begun.run("withdraw", "fact", fact, "--reason", "not so")

    assert first.splitlines()[:2] == [
        "0 rows signed off",
        "left: worker H2, 2026-03-02 to 2026-03-08, worked: \N{MINUS SIGN}2.00 h unexplained",
    ]
    # The salaried worker has no sheets.
    assert second.startswith(
        "4 rows signed off, 1 of them with hours unexplained, 1 of them paid without a sheet\n"
    )
    assert before == [
        *(("H1", True, "Tester"), ("H1", True, "Tester"), ("H2", True, "Tester")),
        ("S1", True, "Tester"),
    ]
    assert after[1] == ("H1", True, None)
    assert begun.run("check").exit_code == 0


@pytest.mark.slow
def test_banked_hours_are_a_signed_balance(begun: Yard) -> None:
    """Hours booked and not paid go into the bank, hours of the class are paid from it."""
    sheets(begun, *days("H1", "9"))
    april = "2026-04-06,2026-04-12"
    paid(begun, f"H1,{WEEK},normal,40", f"H1,{april},banked_hours,2", f"H2,{april},banked_hours,1")
    paid(begun, f"H1,,{WEEK},banked_hours,-5,,", thing="payroll-notes")

    assert reconciled(begun)["banked"] == [{"worker_id": "H1", "hours": 5}]
    assert reconciled(begun, "2026-04-01", "2026-04-30")["banked"] == [
        {"worker_id": "H1", "hours": 3}, {"worker_id": "H2", "hours": -1},
    ]  # fmt: skip


NEXT = "2026-03-09,2026-03-15"


def banked(yard: Yard, end: str) -> dict[str, Decimal]:
    found = reconciled(yard, "2026-03-01", end)["banked"]
    return {each["worker_id"]: each["hours"] for each in found}


def test_hours_of_the_class_on_a_sheet_go_into_the_bank(begun: Yard) -> None:
    """What a sheet means for the bank and pay lacks is in it, and out once it was paid from it."""
    into = ("H1,2026-03-07,3,SHOP,,Banked_hours", "H1,2026-03-06,1,LEAVE,,banked_hours")
    sheets(begun, *days("H1", "8"), *into)
    paid(begun, f"H1,{WEEK},normal,40", f"H1,{WEEK},leave,1", f"H1,{NEXT},banked_hours,3")
    first = reconciled(begun, "2026-03-02", "2026-03-08")["rows"][1]

    assert told(first) == ("H1", WORKED, 40, 43, {"banked_hours": -3}, 0)
    assert banked(begun, "2026-03-08") == {"H1": 3}
    assert banked(begun, "2026-03-15") == {}


@pytest.mark.slow
def test_hours_for_the_bank_that_were_paid_or_noted_are_not_in_it_twice(begun: Yard) -> None:
    """Paid at once they went into none; noted they count once; of days not paid yet they count."""
    third = f"{CREW}H3,Flo,joiner,2026-01-01,,hourly,,\n"
    begun.run("load", "crew", begun.write("third.csv", third))
    bank = [f"{who},2026-03-07,3,SHOP,,banked_hours" for who in ("H1", "H2", "H3")]
    unpaid = [f"{who},2026-03-10,2,SHOP,,banked_hours" for who in ("H1", "H2", "G1")]
    own = ("H1,2026-03-11,4,SHOP",)
    sheets(begun, *days("H1", "8"), *days("H2", "8"), *days("H3", "8"), *bank, *unpaid, *own)
    # Of three hours each: paid whole, noted as well, one of them paid.
    paid(begun, f"H1,{WEEK},normal,43", f"H2,{WEEK},normal,40", f"H3,{WEEK},normal,41")
    notes = (f"H2,,{WEEK},banked_hours,-3,,", f"H1,,{NEXT},banked_hours,-1,,")
    paid(begun, *notes, thing="payroll-notes")

    assert banked(begun, "2026-03-08") == {"H2": 3, "H3": 2}
    # The note of the second week is of one of the two hours that its sheet means for the bank.
    assert banked(begun, "2026-03-15") == {"H1": 2, "H2": 5, "H3": 2}


@pytest.mark.slow
def test_an_allowance_is_in_no_sum_of_what_is_unexplained(begun: Yard) -> None:
    """It is pay without time, settled as it is: the total has what is open alone."""
    sheets(begun, *days("H1", "8"), *days("S1", "7.5"))
    paid(begun, f"H1,{WEEK},normal,41", f"H1,{WEEK},allowance,6")
    shown = begun.run("reconciliation", "--from", MON, "--to", "2026-03-08").stdout
    lines = [line.split() for line in shown.splitlines()]

    assert " ".join(lines[1][4:]) == "allowance 6.00 0.00 6.00 pay without time 6.00 yes"
    assert lines[4] == ["all", "84.50", "77.50", "7.00", "1.00"]


def test_days_turned_round_are_refused(begun: Yard) -> None:
    """The last day may not be before the first."""
    days_asked = ("--from", "2026-03-31", "--to", "2026-03-01")
    said = begun.run("reconciliation", *days_asked, ok=False).stderr

    assert said == "--to 2026-03-01: is before --from 2026-03-31\n"
