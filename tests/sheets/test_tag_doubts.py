"""Doubts about tags: where time is booked looks wrong beside plan, request, note or tag."""

import pytest

from tests._stage import load
from tests.conftest import Yard
from tests.sheets._doubts import doubts, lines_doubted, messages, sheets
from tests.sheets.test_doubts import CHANGE


def test_time_before_a_change_was_requested_is_doubted(stage: Yard) -> None:
    """On the day of the request it is in order, on the day before it is not."""
    load(stage, "changes", CHANGE.replace("2026-03-02", "2026-03-04"))
    sheets(stage, *(f"date={day} booking_code=CR1" for day in ("2026-03-03", "2026-03-04")))

    assert lines_doubted(stage, "before_request") == [2]
    assert messages(stage, "before_request") == [
        "worker A1 has 4.00 h booked to STAGE CR1 on 2026-03-03, "
        "but the change was requested on 2026-03-04"
    ]


@pytest.mark.slow
def test_one_note_tagged_by_hand_to_two_places_is_doubted(stage: Yard) -> None:
    """Entries of the same note at one place are in order; at two they are one doubt."""
    sheets(stage, *(f"date=2026-03-0{day} note=bench" for day in (2, 3, 4)))
    why = ("--reason", "asked")
    stage.run("tag", "entries", "--note-contains", "bench", "--to", "RAIL", *why)
    before = messages(stage, "tags_disagree")
    stage.run("tag", "entries", "--day", "2026-03-04", "--to", "FRAME", *why)

    assert before == []
    assert messages(stage, "tags_disagree") == [
        'the note "bench" is tagged by hand to STAGE FRAME (1 entry) and to STAGE RAIL (2 entries)'
    ]


def test_time_long_before_a_package_opens_is_doubted(stage: Yard) -> None:
    """RAIL opens on 18 March: a fortnight before is in order, a day more is a doubt a day."""
    days = ("2026-03-03", "2026-03-03", "2026-03-04")
    sheets(stage, *(f"date={day} booking_code=RAIL note={n}" for n, day in enumerate(days)))

    assert messages(stage, "before_opening") == [
        "8.00 h are booked to STAGE RAIL on 2026-03-03, before its planned start 2026-03-18"
    ]


@pytest.mark.slow
def test_one_workers_trade_at_a_place_is_one_doubt_and_settled_for_good(stage: Yard) -> None:
    """More hours of a trade that was not planned do not bring the doubt back."""
    sheets(stage, "worker_id=C3", "worker_id=C3 date=2026-03-03")
    [doubt] = doubts(stage, "--kind", "trade_not_planned")
    stage.run("settle", "doubt", doubt["doubt"], "--reason", "carries the boards")
    sheets(stage, "worker_id=C3 date=2026-03-04", name="more.csv")

    assert doubt["message"] == (
        "worker C3 (labourer) has 8.00 h booked to STAGE DECK, planned for carpenter only"
    )
    assert doubts(stage, "--kind", "trade_not_planned") == []


@pytest.mark.slow
def test_a_trade_that_a_price_or_a_budget_names_is_planned(stage: Yard) -> None:
    """A change that is not priced plans no trade; priced, it plans those of its labour lines."""
    load(stage, "changes", CHANGE)
    sheets(stage, "worker_id=C3 booking_code=CR1 date=2026-03-09")
    unpriced = messages(stage, "trade_not_planned")
    load(stage, "change-lines", LINES)

    assert unpriced == []
    assert len(messages(stage, "trade_not_planned")) == 1
    load(stage, "change-lines", LINES + "CR1,labour,Help,labourer,4\n")
    assert messages(stage, "trade_not_planned") == []


LINES = "change,price_kind,description,trade,hours\nCR1,labour,Ladder,carpenter,12\n"


def test_a_note_that_names_another_change_is_doubted(stage: Yard) -> None:
    """On the change itself, and tagged by hand, it is in order; so is a number like it."""
    load(stage, "changes", CHANGE)
    notes = ("cr1+ladder", "CR-01", "CR10", "SCR1", "ladder")
    sheets(stage, *(f"note={each}" for each in notes), "note=CR1 booking_code=CR1")
    before = lines_doubted(stage, "note_names_change")
    told = messages(stage, "note_names_change")
    reason = ("--reason", "it is the deck")
    stage.run("tag", "entries", "--note-contains", "cr1 ladder", "--to", "DECK", *reason)

    assert before == [2, 3]
    assert told[-1] == (
        "worker A1 has 4.00 h booked to STAGE DECK on 2026-03-02, but the note names CR1"
    )
    assert lines_doubted(stage, "note_names_change") == [3]
