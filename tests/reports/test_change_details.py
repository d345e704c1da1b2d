"""What the owner sees of one change: its price line by line, and what was decided on it."""

import json
from typing import Any

import pytest

from tests.conftest import Yard
from tests.test_small_sample import build

HOUR = 3_600_000
MORE_CHANGES = """
    change,title,requested_by,requested_on,change_basis,origin,description,decision_needed_by
    CR8,Boat hook rack,Jonna Merrick,2026-03-10,daywork,owner,Two hooks under the rail,2026-03-20
    CR9,Bolts in bronze,Ada Brunt,2026-03-11,fixed_price,unforeseen_condition,,
    """
MORE_LINES = """
    change,price_kind,description,revision,trade,hours,quantity,unit,unit_price,planned_start
    CR8,labour,Rack,1,carpenter,6,,,,2026-03-25
    CR9,material,Bolts,1,,,120,piece,1.85,
    CR9,material,Bolts,2,,,120,piece,1.6,
    CR9,labour,Fitting,2,carpenter,1.5,,,,
    """
MORE_EVENTS = """
    change,event,date,person,revision,reference,valid_until,days_granted
    CR8,priced,2026-03-12,Ada Brunt,1,,,
    CR8,submitted,2026-03-13,Ada Brunt,1,letter 4,,
    CR8,approved,2026-03-14,Jonna Merrick,1,letter of 14 March,,2
    CR9,submitted,2026-03-12,Ada Brunt,1,letter 5,2026-03-31,
    CR9,declined,2026-03-15,Jonna Merrick,1,by telephone,,
    CR9,priced,2026-03-16,Ada Brunt,2,inside only,,
    CR9,submitted,2026-03-17,Ada Brunt,2,letter 6,2026-04-10,
    """
HOURS_ON_IT = """
    sheet,worker_id,date,hours,booking_code
    A1-13,A1,2026-03-20,7.5,CR8
    A1-13,A1,2026-03-23,4,CR8
    A1-13,A1,2026-03-20,0.25,CR9
    """


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample with a daywork variation and a price made twice, to be read only."""
    yard = build(Yard(tmp_path_factory.mktemp("built")))
    for what, text in (
        ("changes", MORE_CHANGES),
        ("change-lines", MORE_LINES),
        ("change-events", MORE_EVENTS),
    ):
        yard.run("load", what, "--job", "STAGE", yard.write(f"more-{what}.csv", text))
    yard.run("load", "sheets", "--job", "STAGE", yard.write("more-sheets.csv", HOURS_ON_IT))
    return yard


def details(yard: Yard, day: str = "2026-03-22") -> dict[str, Any]:
    out = yard.folder / "details.json"
    words = ("--job", "STAGE", "--status-date", day, "--out", out)
    yard.run("report", "variations", *words)
    view = json.loads(out.read_text(encoding="utf-8"))
    return {each["change"]: each for each in view["details"]}


def test_a_price_is_shown_line_by_line(built: Yard) -> None:
    """Labour by hours and charge rate, material by quantity and price; an omission is negative."""
    lines = details(built)["CR1"]["lines"]
    actual = [
        (line["description"], line["trade"], line["hours_ms"], line["unit_price"], line["amount"])
        for line in lines
    ]

    # 12 x 60 = 720; 4 x 40 = 160; 10 x 25 = 250; -10 x 60 = -600
    assert actual == [
        ("Make and hang the ladder", "carpenter", 12 * HOUR, "60.0000", "720.00"),
        ("Carry and hold", "labourer", 4 * HOUR, "40.0000", "160.00"),
        ("Ash rail", "", None, "25.0000", "250.00"),
        ("No plugs over the deck screws", "carpenter", -10 * HOUR, "60.0000", "-600.00"),
    ]


def test_the_history_has_each_price_sent_and_each_decision(built: Yard) -> None:
    """A price made twice stands there twice with its own sum; the yard's pricing does not."""
    history = details(built)["CR9"]["history"]
    actual = [
        (row["day"], row["event"], row["revision"], row["price"], row["reference"])
        for row in history
    ]

    # 120 x 1.85 = 222; 120 x 1.60 + 1.5 x 60 = 192 + 90 = 282
    assert actual == [
        ("2026-03-11", "requested", None, None, ""),
        ("2026-03-12", "submitted", 1, "222.00", "letter 5"),
        ("2026-03-15", "declined", 1, "222.00", "by telephone"),
        ("2026-03-17", "submitted", 2, "282.00", "letter 6"),
    ]


def test_a_decision_counts_from_its_day(built: Yard) -> None:
    """At an earlier status date the page shows what had happened by then, and that price."""
    detail = details(built, "2026-03-13")["CR9"]

    assert [row["event"] for row in detail["history"]] == ["requested", "submitted"]
    assert detail["revision"] == 1
    assert [line["amount"] for line in detail["lines"]] == ["222.00"]


def test_a_lapse_stands_in_the_history(built: Yard) -> None:
    """The day after the last on which a price could be signed is told, recorded by nobody."""
    history = details(built, "2026-04-11")["CR9"]["history"]

    assert (history[-1]["event"], history[-1]["day"]) == ("lapsed", "2026-04-11")
    assert "lapsed" not in [row["event"] for row in details(built, "2026-04-10")["CR9"]["history"]]


def test_hours_worked_are_shown_of_daywork_alone(built: Yard) -> None:
    """The owner sees the hours that they pay by the hour, up to the day; not those of a price."""
    found = details(built)

    # 7.5 by the 22nd; the 4 of the 23rd come later.
    assert found["CR8"]["worked_ms"] == 7 * HOUR + HOUR // 2
    assert found["CR9"]["worked_ms"] is None
    assert details(built, "2026-03-23")["CR8"]["worked_ms"] == 11 * HOUR + HOUR // 2


def test_an_approval_shows_the_days_it_granted(built: Yard) -> None:
    """Days granted stand beside the approval, with its reference."""
    approval = details(built)["CR8"]["history"][-1]

    assert (approval["event"], approval["days"]) == ("approved", 2)
    assert approval["reference"] == "letter of 14 March"


def test_nothing_is_said_of_people_and_notes(built: Yard) -> None:
    """A detail names no person, neither the yard's nor the owner's."""
    text = json.dumps(details(built))

    assert "Ada Brunt" not in text
    assert "Jonna Merrick" not in text
