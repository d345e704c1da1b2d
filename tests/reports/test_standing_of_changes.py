"""What a change is said to be, in state and in the sums, after turns that real ones take."""

import json
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.test_small_sample import build

EVENTS = "change,event,date,person,revision,reference,valid_until,rough,not_to_exceed\n"
CHANGES = "change,title,requested_by,requested_on,change_basis\n"
LINES = "change,price_kind,description,revision,trade,hours\n"


@pytest.fixture
def built(yard: Yard) -> Yard:
    """The small sample and CR9, three hours of a carpenter at 60.00, not priced yet."""
    build(yard)
    load(yard, "changes", CHANGES + "CR9,Gate,Jonna Merrick,2026-03-02,fixed_price\n")
    load(yard, "change-lines", LINES + "CR9,labour,Gate,1,carpenter,3\n")
    return yard


def load(yard: Yard, what: str, text: str, *, ok: bool = True) -> str:
    path = yard.write(f"{what}-{len(list(yard.folder.iterdir()))}.csv", text)
    for_job = [] if what in {"settings", "job"} else ["--job", "STAGE"]
    return yard.run("load", what, *for_job, path, ok=ok).stderr


def happened(yard: Yard, *events: str) -> None:
    load(yard, "change-events", EVENTS + "".join(f"CR9,{event}\n" for event in events))


def statement(yard: Yard, day: str = "2026-03-22") -> Any:
    out = yard.folder / "standing.json"
    yard.run("report", "variations", "--job", "STAGE", "--status-date", day, "--out", out)
    return json.loads(out.read_text(encoding="utf-8"))


def row(view: Any, part: str = "changes") -> Any:
    return next(each for each in view[part] if each["change"] == "CR9")


def sums(view: Any) -> dict[str, Decimal]:
    return {each["step"]: Decimal(each["amount"]) for each in view["sums"]}


def test_a_draft_after_a_refusal_changes_nothing(built: Yard) -> None:
    """What the yard prices and does not send leaves state, sums and marks as they were."""
    happened(built, "submitted,2026-03-05,Ada,1,,,,", "declined,2026-03-08,Jonna,1,,,,")
    before = statement(built)
    load(built, "change-lines", LINES + "CR9,labour,Gate,2,carpenter,9\n")
    happened(built, "priced,2026-03-10,Ada,2,,,,")
    after = statement(built)
    shown = [part for part in before if part not in {"known_at", "remade_by"}]

    assert row(after)["state"] == "declined"
    assert [part for part in shown if after[part] != before[part]] == []


def test_a_price_sent_again_is_the_price_first_offered(built: Yard) -> None:
    """A rate that rose in between moves neither the offer nor what stands in its history."""
    happened(built, "submitted,2026-03-03,Ada,1,letter 3,2026-03-10,,")
    rates = "trade,effective_from,charge_per_hour\ncarpenter,2026-03-11,70.00\n"
    load(built, "charge-rates", rates)
    happened(built, "submitted,2026-03-16,Ada,1,letter 8,2026-04-20,,")
    view = statement(built)
    prices = [each["price"] for each in row(view, "details")["history"]]

    assert row(view)["price"] == "180.00"
    assert prices == [None, "180.00", "180.00"]


def test_what_was_offered_keeps_its_basis(built: Yard) -> None:
    """A change sent at a fixed price cannot turn into another kind under the owner's hands."""
    happened(built, "submitted,2026-03-05,Ada,1,,,,")
    text = CHANGES + "CR9,Gate,Jonna Merrick,2026-03-02,no_charge\n"

    assert "change_basis cannot be altered once the change was submitted" in load(
        built, "changes", text, ok=False
    )


def test_a_rough_price_says_that_it_cannot_be_signed(built: Yard) -> None:
    """A price that the program refuses to approve is not offered as if it could be."""
    happened(built, "submitted,2026-03-05,Ada,1,,,yes,")

    assert row(statement(built), "awaiting")["rough"] is True


def test_days_of_a_draft_stay_with_the_yard(built: Yard) -> None:
    """Days asked for come to the owner with the price, not before."""
    text = "change,title,requested_by,requested_on,change_basis,days_requested\n"
    load(built, "changes", text + "CR9,Gate,Jonna Merrick,2026-03-02,fixed_price,17\n")
    happened(built, "priced,2026-03-05,Ada,1,,,,")
    before = row(statement(built), "details")["days_requested"]
    head = "change,event,date,person,days_requested\n"
    load(built, "change-events", f"{head}CR9,submitted,2026-03-06,Ada,17\n")

    assert before is None
    assert row(statement(built), "details")["days_requested"] == 17


def test_a_refusal_without_a_price_has_its_day(built: Yard) -> None:
    """A request declined before any price was sent says when."""
    happened(built, "declined,2026-03-07,Jonna,1,,,,")

    assert row(statement(built))["state_on"] == "2026-03-07"


def test_the_newer_of_two_sums_of_a_day_counts(built: Yard) -> None:
    """Of two baseline changes of one day the one recorded last sets the sum."""
    head = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
    for name, amount in (("first", "21000.00"), ("second", "19000.00")):
        rows = "".join(
            f"{name},2026-03-09,Ada,,DECK,carpenter,{hours},{amount}\n" for hours in ("1", "-1")
        )
        load(built, "baseline-changes", head + rows)
    view = statement(built)

    assert sums(view)["contract_sum"] == Decimal("19000.00")
    assert view["job"]["amended_on"] == "2026-03-09"
