"""Daywork through the commands: sheets agree, strike off, overlap, come late, are withdrawn."""

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from ledger.commands.access import ReadAccess
from ledger.reports.figures import number_text
from ledger.reports.owner.document_build import build_document
from ledger.reports.owner.document_ground import DocumentWanted
from ledger.reports.owner.document_pages import document_page
from tests._stage import JOB, SAMPLE, copied, load, table
from tests.conftest import Yard
from tests.inputs._moves import freeze, price, request, tell
from tests.reports._paper import Elements

SHEET_HEAD = "daywork_sheet,change,from,to,agreed_on,mark,person,worker_id,date,agreed_hours,"
SHEET_HEAD += "item,agreed_quantity,reason\n"
ITEM_HEAD = "change,date,cost_kind,description,quantity,unit,unit_cost,reference\n"
WEEK = "2026-03-09,2026-03-13,2026-03-16"
# Each is estimated at ten hours of a carpenter at 60.00: 600.00.
CODES = ("LATE", "STRUCK", "RECORD", "OVERLAP", "GONE", "VALUED", "DONE", "CAPPED", "ITEMS", "NONE")
WORKED = {
    **{code: ["2026-03-10,5"] for code in ("LATE", "GONE", "VALUED", "DONE")},
    **{code: ["2026-03-10,7", "2026-03-11,5"] for code in ("STRUCK", "RECORD", "CAPPED")},
    "OVERLAP": ["2026-03-10,4", "2026-03-11,4", "2026-03-17,4"],
}
MARKED = [
    *(f"D1,{code},{WEEK},agreed,Jonna" for code in ("LATE", "GONE", "VALUED", "DONE")),
    f"D1,STRUCK,{WEEK},agreed,Jonna,A1,2026-03-10,6,,,waited for the tide",
    f"R1,RECORD,{WEEK},for_record_only,Jonna",
    f"R0,OVERLAP,{WEEK},for_record_only,Jonna",
    f"D1,OVERLAP,{WEEK},agreed,Jonna",
    "D2,OVERLAP,2026-03-11,2026-03-20,2026-03-20,agreed,Jonna",
    f"D1,CAPPED,{WEEK},agreed,Jonna",
    f"D1,ITEMS,{WEEK},agreed,Jonna,,,,Bolts,30,9 went back",
]
DAY = "2026-03-20"
DAYS_WORKED = ("2026-03-10", "2026-03-11")
SHOWN = ("hours_agreed", "hours_unsigned", "daywork_agreed", "daywork_unsigned", "price")
EXPECTED = {
    # 5 h agreed, 2 h booked since: 300.00, and 5 of 10 h left of the estimate.
    "LATE": (5, 2, 300, 0, 600),
    # 11 of 12 h: 660.00, nothing left; the hour struck off is beyond.
    "STRUCK": (11, 1, 660, 60, 660),
    # Recorded is not agreed: the estimate stands, 2 h are above it.
    "RECORD": (0, 12, 0, 120, 600),
    # 8 h on the first, and on the second the 4 h that the first has not.
    "OVERLAP": (12, 0, 720, 0, 720),
    # Its sheet is withdrawn.
    "GONE": (0, 5, 0, 0, 600),
    # 500.00 are agreed in place of all.
    "VALUED": (5, None, None, None, 500),
    # Complete: 5 h agreed, 2 h booked since; nothing is left of the estimate.
    "DONE": (5, 2, 300, 120, 300),
    # 12 h agreed at 720.00, of which the cap lets 600.00 count.
    "CAPPED": (12, 0, 600, 0, 600),
    # 30 of 39 bolts at 4.00; the rest of the estimate is all of its hours.
    "ITEMS": (0, 0, 120, 36, 720),
    "NONE": (0, 0, 0, 0, 600),
}


def mark(yard: Yard, *rows: str, ok: bool = True) -> str:
    """Load rows of daywork sheets; cells left out at their end are blank."""
    whole = (f"{row}{',' * (SHEET_HEAD.count(',') - row.count(','))}\n" for row in rows)
    return load(yard, "daywork-sheets", SHEET_HEAD + "".join(whole), ok=ok)


def book(yard: Yard, name: str, rows: list[str]) -> None:
    text = "worker_id,date,hours,booking_code\n" + "".join(f"{row}\n" for row in rows)
    yard.run("load", "sheets", "--job", JOB, yard.write(name, text))


def made(yard: Yard) -> Yard:
    """Load ten changes, what was worked on them, their sheets, and what came after."""
    load(yard, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(yard)
    request(yard, *CODES, basis="daywork")
    price(yard, *(f"{code},1,carpenter,10" for code in CODES))
    tell(yard, *(f"{code},approved,2026-03-04" for code in CODES if code != "CAPPED"))
    capped = "change,event,date,person,not_to_exceed\nCAPPED,approved,2026-03-04,Jonna,yes\n"
    load(yard, "change-events", capped)
    book(yard, "a.csv", [f"A1,{row},{code}" for code, own in WORKED.items() for row in own])
    load(yard, "daywork-items", f"{ITEM_HEAD}ITEMS,2026-03-10,material,Bolts,39,pc,4.00,\n")
    mark(yard, *MARKED)
    book(yard, "b.csv", [f"A1,2026-03-10,2,{code}" for code in ("LATE", "DONE")])
    gone = next(row["id"] for row in table(yard, "daywork_sheet") if row["change"] == "GONE")
    yard.run("withdraw", "fact", gone, "--reason", "signed for another job")
    tell(yard, "DONE,complete,2026-03-19")
    agree = ("agree", "value", "VALUED", "--job", JOB, "--amount", "500", "--person", "Jonna")
    yard.run(*agree, "--date", "2026-03-19")
    return yard


@pytest.fixture(scope="module")
def built(prepared: Path, tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The ten changes; to be read only."""
    return made(copied(prepared, tmp_path_factory.mktemp("daywork")))


def changes(yard: Yard, day: str = DAY) -> Any:
    return yard.json("changes", "--job", JOB, "--status-date", day)


def test_what_sheets_agree_stands_in_the_sum(built: Yard) -> None:
    """Each turn of a sheet's life, worked by hand; the rows add to the sums of the job."""
    known = changes(built)
    actual = {row["change"]: tuple(row[name] for name in SHOWN) for row in known["changes"]}

    assert actual == EXPECTED
    assert known["approved"] == 600 * len(CODES)
    assert known["daywork_movement"] == sum(e[-1] for e in EXPECTED.values()) - known["approved"]
    assert known["daywork_unsigned"] == sum(e[3] or 0 for e in EXPECTED.values())
    assert known["anticipated_final_sum"] == known["adjusted_sum"] + known["daywork_unsigned"]


def test_above_the_cap_is_said(built: Yard) -> None:
    """The list names it, and the change says by how much."""
    attention = {row["change"]: row["attention"] for row in changes(built)["changes"]}
    shown = built.run("show", "change", "CAPPED", "--job", JOB, "--status-date", DAY).stdout

    assert "daywork_above_cap" in attention["CAPPED"]
    assert "120.00 is above the cap and does not count" in shown


def test_sheets_and_items_are_listed_with_the_change(built: Yard) -> None:
    """Who marked which days, what was agreed in part and why, and each item with its number."""
    struck = built.json("show", "change", "STRUCK", "--job", JOB)["daywork"]
    recorded = built.json("show", "change", "RECORD", "--job", JOB)["daywork"]
    [item] = built.json("show", "change", "ITEMS", "--job", JOB)["daywork"]["items"]
    [sheet] = struck["sheets"]

    assert (sheet["daywork_sheet"], sheet["hours"], sheet["hours_struck_off"]) == ("D1", 11, 1)
    assert sheet["rows"][0]["reason"] == "waited for the tide"
    assert (recorded["hours_recorded"], recorded["hours_unsigned"]) == (12, 12)
    assert (item["number"], item["agreed_quantity"], item["agreed_amount"]) == (1, 30, 120)


def test_before_its_day_and_before_it_was_known_a_sheet_is_none(built: Yard) -> None:
    """By the day before it was agreed, and as known before it was loaded, the estimate stands."""
    before = {row["change"]: row["price"] for row in changes(built, "2026-03-15")["changes"]}
    marked = next(
        row
        for row in built.rows(built.run("history", "--format", "csv").stdout)
        if row["command"] == "load daywork-sheets"
    )
    earlier = str(int(marked["sequence"]) - 1)
    words = ("--known-at", earlier, "changes", "--job", JOB, "--status-date", DAY)

    assert set(before.values()) == {Decimal(600)}
    assert built.json(*words)["daywork_movement"] == 0


def statement(yard: Yard, kind: str) -> str:
    out = yard.folder / f"statement.{kind}"
    yard.run("report", "variations", "--job", JOB, "--status-date", DAY, "--out", out)
    return out.read_text(encoding="utf-8")


def test_the_page_begins_with_the_sums_of_the_list(built: Yard) -> None:
    """What the first page says in money is what `changes` adds up, figure by figure."""
    text = Elements(statement(built, "html")).text
    known = changes(built)
    open_yet = known["anticipated_final_sum"] - known["adjusted_sum"]

    assert open_yet > 0
    assert f"Adjusted contract sum EUR {shown(known['adjusted_sum'])}" in text
    assert f"Anticipated final sum EUR {shown(known['anticipated_final_sum'])}" in text
    assert f"+{shown(open_yet)} not agreed yet" in text


def shown(amount: Decimal) -> str:
    return number_text(amount.quantize(Decimal("0.01"))).replace("\N{NO-BREAK SPACE}", " ")


def test_what_no_sheet_agrees_is_listed_by_hours_and_rate(built: Yard) -> None:
    """To date, less what sheets agree: what was struck off, came later, or was recorded alone."""
    page = json.loads(statement(built, "json"))
    found = {
        each["change"]: [
            (line["hours_ms"] or line["quantity"], line["unit_price"], line["amount"])
            for line in each["not_agreed"]
        ]
        for each in page["details"]
    }
    caps = {each["change"]: each["cap"] for each in page["details"] if each["cap"]}
    hour, rate = 3_600_000, "60.000000"

    assert {code: rows for code, rows in found.items() if rows} == {
        "LATE": [(2 * hour, rate, "120.00")],
        "STRUCK": [(hour, rate, "60.00")],
        "RECORD": [(12 * hour, rate, "720.00")],
        "GONE": [(5 * hour, rate, "300.00")],
        "DONE": [(2 * hour, rate, "120.00")],
        "ITEMS": [("9.000000", "4.000000", "36.00")],
    }
    assert caps == {"CAPPED": "600.00"}


def test_the_statement_has_the_sheets_and_the_same_sums(built: Yard) -> None:
    """Sheets by name, their lines at what the owner pays, and the list's own figures."""
    page = json.loads(statement(built, "json"), parse_float=Decimal)
    details = {each["change"]: each["daywork"] for each in page["details"]}
    sums = {row["step"]: Decimal(str(row["amount"])) for row in page["sums"]}
    known = changes(built)
    prices = {row["change"]: row["price"] for row in known["changes"]}

    assert sums["daywork_against_estimate"] == known["daywork_movement"]
    assert sums["daywork_unsigned"] == known["daywork_unsigned"]
    assert {row["change"]: Decimal(row["price"]) for row in page["changes"]} == prices
    assert details["OVERLAP"]["agreed_on"] == ["D1", "D2"]
    assert details["RECORD"]["recorded_on"] == ["R1"]
    # What R0 recorded was agreed since.
    assert details["OVERLAP"]["recorded_on"] == []
    assert [details[code] for code in ("NONE", "VALUED", "GONE")] == [None] * 3
    [line] = details["ITEMS"]["lines"]
    assert (line["description"], Decimal(line["amount"])) == ("Bolts", 120)


def test_a_late_order_has_the_sum_as_it_is_adjusted(built: Yard) -> None:
    """An estimate of 600.00, and what was agreed since by value or on sheets, lead to the sum."""
    adjusted = changes(built)["adjusted_sum"]
    with ReadAccess(built.book).reading() as read:
        asked = {
            code: DocumentWanted("variation_order", JOB, code, date.fromisoformat(DAY))
            for code in CODES
        }
        orders = {code: build_document(read, wanted)[0] for code, wanted in asked.items()}
    sums = {code: order.sums for code, order in orders.items()}

    assert {each.after for each in sums.values()} == {adjusted}
    assert {code: each.agreed_since for code, each in sums.items() if each.agreed_since} == {
        "STRUCK": 60,
        "OVERLAP": 120,
        "VALUED": -100,
        "DONE": -300,
        "ITEMS": 120,
    }
    assert sums["VALUED"].agreed_value == 500
    assert "Its value is agreed since, at EUR" in " ".join(
        text for terms in document_page(orders["VALUED"]).terms for text in terms.texts
    )


# What is wrong with a row, and what is said.
FAULTS = {
    "D9,LATE,2026-03-09,2026-03-13,2026-03-12,agreed,Jonna": "agreed_on 2026-03-12 is before",
    f"D9,FIXED,{WEEK},agreed,Jonna": "FIXED is fixed_price, not daywork",
    f"D9,ODD,{WEEK},agreed,Jonna": 'unknown change "ODD"; `fairhours load changes` first',
    f"D9,LATE,{WEEK},agreed,Jonna,A1,2026-03-10,8": "8.00 h is more than was done: 7.00 h booked",
    f"D9,LATE,{WEEK},agreed,Jonna,A1,2026-03-10,1": "1.00 of 2.00 h agreed; fill in the reason",
    f"D9,LATE,{WEEK},agreed,Jonna,A1,2026-03-17,1": "date 2026-03-17 is outside the sheet",
    f"D9,LATE,{WEEK},agreed,Jonna,B2,2026-03-10,1": "B2 on 2026-03-10: no hours booked on LATE",
    f"D9,ITEMS,{WEEK},agreed,Jonna,,,,Nuts,3": 'unknown item "Nuts"; ITEMS has in these days: 1',
    f"D9,ITEMS,{WEEK},agreed,Jonna,,,,1,10": "item 1: 10 is more than was used: 39 used",
    f"D9,ITEMS,{WEEK},agreed,Jonna,,,,,,none": "reason needs the worker_id or the item it is of",
    "D9,NONE,2026-03-09,2026-03-13,2026-03-16,agreed,Jonna": "nothing is booked on NONE",
}


# Faults of rows are told together, then those against what is booked.
OF_ROWS = [row for row in FAULTS if any(word in row for word in ("FIXED", "ODD", "-12,", "-17,"))]


def test_a_sheet_that_does_not_fit_is_refused_whole(built: Yard, tmp_path: Path) -> None:
    """Each fault is named with its line, and nothing is written."""
    yard = copied(built.book, tmp_path)
    request(yard, "FIXED")
    before = table(yard, "daywork_sheet")
    for rows in (OF_ROWS, *([row] for row in FAULTS if row not in OF_ROWS)):
        said = mark(yard, *rows, ok=False)

        assert [FAULTS[row] for row in rows if FAULTS[row] not in said] == [], said
    assert table(yard, "daywork_sheet") == before


def test_loaded_again_a_sheet_covers_what_it_covered(built: Yard, tmp_path: Path) -> None:
    """The same rows are nothing; corrected ones keep the day they were marked: no late hour."""
    yard = copied(built.book, tmp_path)
    again = mark(yard, MARKED[0])
    corrected = mark(yard, f"{MARKED[0]},,,,,".replace("Jonna", "Jonna Merrick"))
    [row] = [row for row in changes(yard)["changes"] if row["change"] == "LATE"]

    assert "0 new or changed, 1 unchanged" in again
    assert "LATE sheet D1: 5.00 h agreed; 2.00 h booked since are not on it" in corrected
    assert (row["hours_agreed"], row["hours_unsigned"]) == (5, 2)


def test_an_item_loaded_again_is_the_same_item(built: Yard, tmp_path: Path) -> None:
    """Alike ones are told apart by their order; another quantity or cost is a new version.

    A cost that rose since its sheet was marked is unsigned, one that fell is not charged.
    """
    yard = copied(built.book, tmp_path)
    row = "ITEMS,2026-03-10,material,Bolts,39,pc,{},\n"
    twice = load(yard, "daywork-items", ITEM_HEAD + row.format("4.00") * 2)
    load(yard, "daywork-items", ITEM_HEAD + row.format("5.00") + row.format("0"))
    dearer = yard.json("show", "change", "ITEMS", "--job", JOB)["daywork"]
    load(yard, "daywork-items", ITEM_HEAD + row.format("3.00") + row.format("0"))
    cheaper = yard.json("show", "change", "ITEMS", "--job", JOB)["daywork"]

    assert "daywork_item: 1 new, 0 changed, 1 unchanged" in twice
    assert [item["number"] for item in dearer["items"]] == [1, 2]
    # 30 of 39 signed at 4.00: 120.00 stay, 195.00 were used; then 30 at 3.00 of 117.00.
    assert (dearer["agreed"], dearer["unsigned"]) == (120, 75)
    assert (cheaper["agreed"], cheaper["unsigned"]) == (90, 27)


@pytest.mark.slow
def test_a_withdrawn_sheet_gives_way_to_the_right_one(built: Yard, tmp_path: Path) -> None:
    """With the right row in its place it covers the same hours; one that cannot be is refused."""
    yard = copied(built.book, tmp_path)
    fact = next(row["id"] for row in table(yard, "daywork_sheet") if row["change"] == "STRUCK")
    row = f"D1,STRUCK,{WEEK},agreed,Jonna,A1,2026-03-10,{{}},,,by mistake\n"
    words = ("withdraw", "fact", fact, "--reason", "wrong hours", "--with")
    refused = yard.run(*words, yard.write("a.csv", SHEET_HEAD + row.format("9")), ok=False)
    yard.run(*words, yard.write("b.csv", SHEET_HEAD + row.format("7")))
    [struck] = [row for row in changes(yard)["changes"] if row["change"] == "STRUCK"]

    assert "9.00 h is more than was done: 7.00 h booked" in refused.stderr
    assert (struck["hours_agreed"], struck["hours_unsigned"]) == (12, 0)


@pytest.mark.slow
def test_an_item_withdrawn_keeps_its_number_for_the_right_one(built: Yard, tmp_path: Path) -> None:
    """The right item stands in its place, and its sheet agrees what it agreed of it."""
    yard = copied(built.book, tmp_path)
    [fact] = [row["id"] for row in table(yard, "daywork_item")]
    right = yard.write("a.csv", f"{ITEM_HEAD}ITEMS,2026-03-10,material,Coach bolts,40,pc,4.00,\n")
    yard.run("withdraw", "fact", fact, "--reason", "wrong name", "--with", right)
    [item] = yard.json("show", "change", "ITEMS", "--job", JOB)["daywork"]["items"]
    said = load(yard, "daywork-items", f"{ITEM_HEAD}LATE,2026-03-10,plant,Raft,1,day,85,\n")

    assert (item["number"], item["description"], item["agreed_quantity"]) == (1, "Coach bolts", 30)
    assert "1 new" in said
    yard.run("check")


def test_items_that_do_not_fit_are_refused(built: Yard, tmp_path: Path) -> None:
    """Of a change that is not daywork, of another job, below zero: all are named."""
    yard = copied(built.book, tmp_path)
    request(yard, "FIXED")
    rows = "FIXED,2026-03-10,material,Bolts,1,pc,4,,\nODD,2026-03-10,material,Bolts,1,pc,4,,\n"
    rows += "LATE,2026-03-10,labour,Bolts,-1,pc,4.12345,,PIER\n"
    said = load(yard, "daywork-items", f"{ITEM_HEAD[:-1]},job\n{rows}", ok=False)

    for expected in (
        "2: FIXED is fixed_price, not daywork; name a daywork change, or leave the row out",
        '3: unknown change "ODD"; `fairhours load changes` first',
        '4: cost_kind "labour" is unknown; use one of material, plant, subcontract',
        '4: quantity "-1" is negative; use zero or more',
        '4: unit_cost "4.12345" has more than four decimals; round it first',
        "4: job PIER is not STAGE; load its rows with those of its job",
    ):
        assert f"daywork-items.csv:{expected}" in said


@pytest.mark.slow
def test_a_rate_recorded_after_a_sheet_is_not_agreed_by_it(stage: Yard) -> None:
    """5 h are agreed at 60.00; at 70.00, recorded later, 50.00 of their value are not signed."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "RATE", basis="daywork")
    price(stage, "RATE,1,carpenter,5")
    tell(stage, "RATE,approved,2026-03-04")
    book(stage, "a.csv", ["A1,2026-03-10,5,RATE"])
    mark(stage, f"D1,RATE,{WEEK},agreed,Jonna")
    head = "trade,effective_from,charge_per_hour\n"
    load(stage, "charge-rates", f"{head}carpenter,2026-03-09,70.00\n")
    known = changes(stage)
    [row] = known["changes"]

    assert tuple(row[name] for name in SHOWN) == (5, 0, 300, 50, 300)
    assert (known["daywork_movement"], known["daywork_unsigned"]) == (0, 50)


def test_agreed_sheets_are_shown_before_the_price_is(stage: Yard) -> None:
    """9 of 10 h agreed at 60.00 stand apart while the work is instructed, sent or not: no sum."""
    load(stage, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(stage)
    request(stage, "SENT", "OPEN", basis="daywork")
    price(stage, "SENT,1,carpenter,4")
    tell(stage, "SENT,instructed,2026-03-03", "OPEN,instructed,2026-03-03")
    tell(stage, "SENT,submitted,2026-03-04")
    book(stage, "a.csv", [f"A1,{day},5,{code}" for code in ("SENT", "OPEN") for day in DAYS_WORKED])
    struck = "agreed,Jonna,A1,2026-03-10,4,,,waited for the tide"
    mark(stage, *(f"D1,{code},{WEEK},{struck}" for code in ("SENT", "OPEN")))
    page = json.loads(statement(stage, "json"))
    known = {row["change"]: row["price"] for row in page["changes"]}
    text = " ".join(Elements(statement(stage, "html")).text.split())

    assert known == {"SENT": "240.00", "OPEN": None}
    for detail in page["details"]:
        daywork = detail["daywork"]
        assert (daywork["agreed_on"], daywork["agreed"], daywork["in_sum"]) == (
            ["D1"],
            "540.00",
            False,
        )
        assert [line["amount"] for line in detail["not_agreed"]] == ["60.00"]
    assert text.count("Agreed on daywork sheets, price not agreed; in no sum") == 2
    assert text.count("Agreed on sheets to date: 9.00 h 540.00") == 2
    assert text.count("Agreed on daywork sheets D1: 9.00 h") == 2
    assert text.count("Not agreed to date: 1.00 h 60.00") == 2
