"""What is open besides a decision, and what of it the sums count: changes in every turn of life."""

import json
from decimal import Decimal
from typing import Any

import duckdb
import pytest

from ledger.store.definitions import statements
from tests.conftest import Yard
from tests.test_small_sample import build

HOUR = 3_600_000
CHANGES = "change,title,requested_by,requested_on,change_basis\n"
LINES = "change,price_kind,description,revision,trade,hours\n"
EVENTS = "change,event,date,person,valid_until,agreed_value,agreed_hours,days_granted\n"
SHEETS = "sheet,worker_id,date,hours,booking_code,rework\n"
# What became of the price of three hours of a carpenter at 60.00, instructed on the 4th.
INSTRUCTED = {
    "DECLINED": ("submitted,2026-03-05,Ada", "declined,2026-03-12,Jonna"),
    "WITHDRAWN": ("submitted,2026-03-05,Ada", "withdrawn,2026-03-12,Ada"),
    "DISPUTED": ("submitted,2026-03-05,Ada", "disputed,2026-03-12,Jonna"),
    "COUNTER_OFFER": ("submitted,2026-03-05,Ada", "counter_offer,2026-03-12,Jonna"),
    "LAPSED": ("submitted,2026-03-05,Ada,2026-03-10",),
    "SUBMITTED": ("submitted,2026-03-05,Ada",),
    "STOPPED": (
        "submitted,2026-03-05,Ada",
        "declined,2026-03-08,Jonna",
        "stopped,2026-03-12,Jonna",
    ),
    "NO_PRICE": (),
}
# The same, not instructed.
OFFERED = {
    "YES_TOO_LATE": ("submitted,2026-03-05,Ada,2026-03-10", "counter_offer,2026-03-12,Jonna"),
    "ACCEPTED": (
        "submitted,2026-03-05,Ada,2026-03-10",
        "counter_offer,2026-03-12,Jonna,,,,3",
        "accepted,2026-03-13,Ada",
    ),
    "LEFT": ("submitted,2026-03-05,Ada,2026-03-10",),
}
# Daywork estimated at two hours: what was worked, and maybe the value agreed.
DAYWORK = {"WITHIN": "2", "ABOVE": "5", "AGREED": "5"}


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """The statement of the small sample with all these changes."""
    yard = build(Yard(tmp_path_factory.mktemp("open")))
    fixed = (*INSTRUCTED, *OFFERED)
    asked = [f"{code},Gate,Jonna,2026-03-02,fixed_price" for code in fixed]
    asked += [f"{code},Rail,Jonna,2026-03-02,daywork" for code in DAYWORK]
    load(yard, "changes", CHANGES, asked)
    lines = [f"{code},labour,Gate,1,carpenter,3" for code in fixed]
    lines += [f"{code},labour,Rail,1,carpenter,2" for code in DAYWORK]
    load(yard, "change-lines", LINES, lines)
    events = [f"{code},instructed,2026-03-04,Jonna" for code in INSTRUCTED]
    events += [f"{code},{each}" for code, own in (INSTRUCTED | OFFERED).items() for each in own]
    events += [f"{code},approved,2026-03-10,Jonna" for code in DAYWORK]
    events.append("AGREED,value_agreed,2026-03-21,Jonna,,270.00,4.5")
    load(yard, "change-events", EVENTS, [f"{each}{',' * (7 - each.count(','))}" for each in events])
    worked = [f"A1-y,A1,2026-03-21,{hours},{code}," for code, hours in DAYWORK.items()]
    worked += ["A1-x,A1,2026-03-20,2,NO_PRICE,", "A1-x,A1,2026-03-20,1,NO_PRICE,setting_out"]
    worked += ["A1-x,A1,2026-03-20,1,STOPPED,"]
    load(yard, "sheets", SHEETS, worked)
    out = yard.folder / "open.json"
    yard.run("report", "variations", "--job", "STAGE", "--status-date", "2026-03-22", "--out", out)
    return json.loads(out.read_text(encoding="utf-8"))


def load(yard: Yard, what: str, head: str, rows: list[str]) -> None:
    path = yard.write(f"{what}-more.csv", head + "".join(f"{row}\n" for row in rows))
    yard.run("load", what, "--job", "STAGE", path)


def of(view: Any, change: str, part: str = "changes") -> Any:
    return next(each for each in view[part] if each["change"] == change)


def sums(view: Any) -> dict[str, Decimal]:
    return {each["step"]: Decimal(each["amount"]) for each in view["sums"]}


def test_each_open_matter_is_listed_once(view: Any) -> None:
    """All that is neither approved, awaited nor ended stands there, in the order of the changes."""
    matters = {each["change"]: each["matter"] for each in view["open_matters"]}

    assert matters == {
        "DECLINED": "declined",
        "WITHDRAWN": "withdrawn",
        "DISPUTED": "disputed",
        "COUNTER_OFFER": "counter_offer",
        "LAPSED": "lapsed",
        "STOPPED": "stopped_with_price",
        "NO_PRICE": "no_price",
        "YES_TOO_LATE": "counter_offer",
        "ABOVE": "daywork_unsigned",
    }
    assert len(view["open_matters"]) == len(matters)
    assert of(view, "LEFT")["state"] == "lapsed"  # nothing was instructed: nothing is open


def test_instructed_work_is_counted_whatever_becomes_of_its_price(view: Any) -> None:
    """Until it is stopped, instructed work counts in the anticipated final sum and hours alike."""
    hours = {step["step"]: step["hours_ms"] for step in view["hours"]}

    # Six of 3 x 60.00 = 180.00 beside the bench at 8 x 60.00 = 480.00; the stopped one is out.
    assert sums(view)["instructed_at_latest_price"] == Decimal("1560.00")
    # Six of 3 h, the bench's 8, and what was worked on the others: 3 h and 1 h.
    assert hours["unapproved_changes"] == (6 * 3 + 8 + 3 + 1) * HOUR


def test_work_without_a_price_is_shown_at_contract_rates(view: Any) -> None:
    """Hours worked on the owner's word stand at contract rates, work done again left out."""
    shown = of(view, "NO_PRICE", "open_matters")

    assert (shown["hours_ms"], shown["amount"]) == (2 * HOUR, "120.00")
    assert (shown["since"], shown["indicative"]) == ("2026-03-04", True)
    # A price that was sent is shown as sent, of stopped work too.
    assert of(view, "STOPPED", "open_matters")["amount"] == "180.00"
    assert of(view, "DECLINED", "open_matters")["amount"] == "180.00"


def test_an_accepted_counter_offer_is_an_approval(view: Any) -> None:
    """The owner's yes to a lapsed price moves no sum; the yard's yes to that moves all."""
    assert of(view, "YES_TOO_LATE")["state"] == "counter_offer"
    assert of(view, "ACCEPTED")["state"] == "approved"
    history = of(view, "ACCEPTED", "details")["history"]
    assert [(each["event"], each["days"]) for each in history] == [
        ("requested", None),
        ("submitted", None),
        ("counter_offer", 3),
        ("accepted", None),
    ]
    assert of(view, "ACCEPTED")["days"] == 3
    # The sample's 1130.00, the gate accepted at 180.00, three of 2 x 60.00 as daywork.
    assert sums(view)["approved_variations"] == Decimal("1670.00")


def test_daywork_above_its_estimate_is_in_the_anticipated_final_sum(view: Any) -> None:
    """What was worked above an estimate is to be signed: anticipated, and not yet adjusted."""
    found = sums(view)

    # 3 h at 60.00 above the 2 h of ABOVE; 20000 + 1670 - 600 + 150
    assert found["daywork_unsigned"] == Decimal("180.00")
    assert found["adjusted_contract_sum"] == Decimal("21220.00")
    assert found["anticipated_final_sum"] == Decimal("21220.00") + 180 + 1560


def test_a_value_agreed_stands_in_place_of_the_estimate(view: Any) -> None:
    """Daywork with a value agreed is no longer called estimated, and its sum is that amount."""
    row, detail = of(view, "AGREED"), of(view, "AGREED", "details")

    assert (row["price"], row["estimated"]) == ("270.00", False)
    assert (detail["agreed_value"], detail["agreed_ms"]) == ("270.00", 4 * HOUR + HOUR // 2)
    # 270.00 for an estimate of 2 x 60.00
    assert sums(view)["daywork_against_estimate"] == Decimal("150.00")
    assert of(view, "ABOVE")["estimated"] is True


def test_hours_of_a_worker_who_is_not_in_the_crew_stay_with_their_change() -> None:
    """No command takes a crew row from under hours; were it gone, only trade and rate would be."""
    with duckdb.connect() as book:
        for statement in statements():
            book.execute(statement)
        book.execute(
            "INSERT INTO change BY NAME SELECT 1 AS batch, 1 AS row, 'STAGE' AS job, 'Q1' AS change"
        )
        book.execute(
            "INSERT INTO posting BY NAME SELECT 1 AS batch, 1 AS row, 'Z9' AS"
            " worker_id, DATE '2026-03-20' AS day, 'STAGE' AS job, 'Q1' AS booked_to, 7200000 AS ms"
        )
        worked = "SELECT job, change, ms, trade, grade FROM owner_worked_trades(1)"

        assert book.execute(worked).fetchall() == [("STAGE", "Q1", 2 * HOUR, None, None)]
