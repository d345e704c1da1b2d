"""The owner's statement says the same in words as in figures."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from ledger.domain.change_life import CHANGE_BASES, ORIGINS
from ledger.reports.owner import headlines, wording
from ledger.reports.owner.variations_rows import HistoryRow
from ledger.reports.owner.words import (
    ESTIMATE_STEPS,
    EVENTS,
    INSTRUCTIONS,
    NOT_CHARGED_STEPS,
    OPEN_MATTERS,
    OVERRUN_STEPS,
    PRICE_KINDS,
    STATES,
    SUM_STEPS,
)
from tests.reports._landing import AWAITING, change

MORE = "This job is expected to take {} hours more than estimated: "
FEWER = "This job is expected to take {} hours fewer than estimated: "
SAME = "This job is expected to take the hours estimated"


def plain_spaces(words: str) -> str:
    """Return the words with plain spaces for those that keep a date together."""
    return words.replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    ("more", "asked", "split", "expected"),
    [
        (
            "991.00",
            "742.25",
            ("504.00", "259.83", "227.17"),
            MORE.format("991.00") + "742.25 of them arise from your requests, you pay for 504.00, "
            "259.83 are not charged and 227.17 are still to be decided.",
        ),
        ("0.00", "0.00", ("0.00", "0.00", "0.00"), SAME + "."),
        (
            "12.00",
            "0.00",
            ("0.00", "12.00", "0.00"),
            MORE.format("12.00") + "none arise from your requests, you pay for none and "
            "12.00 are not charged.",
        ),
        (
            "0.00",
            "20.00",
            ("20.00", "-20.00", "0.00"),
            SAME + ": 20.00 arise from your requests, you pay for 20.00 and "
            "20.00 saved by the yard do not change the price.",
        ),
        (
            "-30.00",
            "-45.00",
            ("-40.00", "15.00", "-5.00"),
            FEWER.format("30.00") + "your requests take out 45.00, "
            "40.00 come off what you pay for, 15.00 are not charged and "
            "5.00 to come off are still to be decided.",
        ),
        (
            "-8.00",
            "0.00",
            ("0.00", "-8.00", "0.00"),
            FEWER.format("8.00") + "none arise from your requests, you pay for none and "
            "8.00 saved by the yard do not change the price.",
        ),
        (
            # Asked for more than the whole difference: the yard saved hours elsewhere.
            "10.00",
            "25.00",
            ("25.00", "-15.00", "0.00"),
            MORE.format("10.00") + "25.00 arise from your requests, you pay for 25.00 and "
            "15.00 saved by the yard do not change the price.",
        ),
    ],
)
def test_the_headline_is_made_from_its_figures(
    more: str, asked: str, split: tuple[str, str, str], expected: str
) -> None:
    """One sentence says how many hours more, how many asked for, paid, not charged, undecided."""
    paid, free, undecided = map(Decimal, split)
    actual = headlines.hours_sentence(Decimal(more), Decimal(asked), (paid, free, undecided))

    assert actual == expected


@pytest.mark.parametrize(
    ("state", "instruction", "expected"),
    [
        ("approved", "none", "Approved 20 August 2026"),
        ("approved", "instructed", "Approved 20 August 2026"),
        ("approved", "stopped", "Approved 20 August 2026; work stopped"),
        ("requested", "none", "Request: received 20 August 2026, price to follow"),
        (
            "requested",
            "instructed",
            "Request: instructed; received 20 August 2026, price to follow",
        ),
        ("submitted", "none", "Request: price submitted 20 August 2026"),
        ("submitted", "instructed", "Request: instructed; price submitted 20 August 2026"),
        ("disputed", "stopped", "Request: instructed, stopped; price disputed 20 August 2026"),
        ("lapsed", "none", "Request: price lapsed 20 August 2026"),
        ("declined", "none", "Request: declined 20 August 2026"),
        ("withdrawn", "none", "Request: withdrawn 20 August 2026"),
    ],
)
def test_a_change_not_approved_is_called_a_request(
    state: str, instruction: str, expected: str
) -> None:
    """Only an approved change is said to be approved; any other is a request."""
    row = change("V-1", "Cleats", state=state, instruction=instruction)

    assert row.state_on == date(2026, 8, 20)
    assert plain_spaces(wording.state_words(row)) == expected


def test_every_word_of_the_view_has_its_words_on_the_page() -> None:
    """No step, state, instruction or basis can come up that the page has no words for."""
    assert set(wording.HOURS_LABELS) == set(ESTIMATE_STEPS + OVERRUN_STEPS)
    assert set(wording.HOURS_MEANINGS) == set(ESTIMATE_STEPS + OVERRUN_STEPS)
    assert set(wording.CONTRACT_LABELS) == {*SUM_STEPS, "hours_alone"}
    assert set(wording.CONTRACT_MEANINGS) == set(wording.CONTRACT_LABELS)
    assert set(wording.ORIGIN_WORDS) == set(ORIGINS)
    assert set(wording.PRICE_KIND_WORDS) == set(PRICE_KINDS)
    assert set(wording.MATTER_WORDS) == set(OPEN_MATTERS)
    assert set(wording.MATTER_MEANINGS) == set(OPEN_MATTERS)
    assert set(wording.EVENT_WORDS) == set(EVENTS)
    assert set(wording.NOT_CHARGED_LABELS) == set(NOT_CHARGED_STEPS)
    assert set(wording.NOT_CHARGED_MEANINGS) == set(NOT_CHARGED_STEPS)
    assert {*wording.STATE_WORDS, "approved"} == set(STATES)
    assert set(wording.INSTRUCTION_WORDS) == set(INSTRUCTIONS)
    assert set(wording.BASIS_WORDS) == set(CHANGE_BASES)


@pytest.mark.parametrize(
    ("count", "expected"),
    [
        (0, "no request awaits your decision"),
        (1, "1 request awaits your decision, EUR 5.00 in total"),
        (2, "2 requests await your decision, EUR 5.00 in total"),
    ],
)
def test_requests_awaiting_are_counted_in_words(count: int, expected: str) -> None:
    """The number of requests and its verb agree."""
    assert headlines.waiting_words(count, "EUR 5.00") == expected


SENT = "Sent on 20 August 2026, with you for 17 days."
WAITS = replace(
    AWAITING[1], decision_needed_by=None, valid_until=None, days=None, planned_start=None
)


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        ({}, SENT),
        ({"submitted_on": date(2026, 9, 5)}, "Sent on 5 September 2026, with you for 1 day."),
        (
            {"decision_needed_by": date(2026, 9, 5)},
            SENT + " The decision is 1 day late.",
        ),
        (
            {"decision_needed_by": date(2026, 9, 6)},
            SENT + " A decision is needed today.",
        ),
        (
            {"decision_needed_by": date(2026, 9, 9), "days": 2},
            SENT + " A decision is needed in 3 days.",
        ),
        ({"days": 0}, SENT),
        (
            {"valid_until": date(2026, 9, 30)},
            SENT + " The price lapses after 30 September 2026.",
        ),
        (
            {"planned_start": date(2026, 9, 6)},
            (
                SENT + " Work was planned to begin on 6 September 2026; each day of "
                "waiting delays it."
            ),
        ),
        (
            {"planned_start": date(2026, 9, 7)},
            SENT + " Work is planned to begin on 7 September 2026.",
        ),
        (
            {"planned_start": date(2026, 9, 6), "instructed": True},
            SENT + " Work continues on your instruction while the price is open.",
        ),
    ],
)
def test_what_waiting_does_is_said(changed: dict[str, Any], expected: str) -> None:
    """What was sent when, days waited, decision due, price that lapses, start, days asked.

    Days that the price does not state are reserved; none are asked for where it says so.
    """
    asks = {0: "It asks for no days.", 2: "It asks for 2 more days."}
    days = asks.get(changed.get("days", -1), "Time is reserved.")
    actual = wording.waiting_effect(replace(WAITS, **changed), date(2026, 9, 6))

    assert plain_spaces(actual) == f"{expected} {days}"


@pytest.mark.parametrize(
    ("state", "expected"),
    [
        ("approved", "Variation"),
        ("submitted", "Proposed variation, not approved"),
        ("lapsed", "Proposed variation, not approved"),
        ("disputed", "Proposed variation, not approved"),
        ("counter_offer", "Proposed variation, not approved"),
        ("requested", "Request"),
        ("declined", "Request"),
        ("withdrawn", "Request"),
    ],
)
def test_an_unsigned_variation_is_headed_proposed(state: str, expected: str) -> None:
    """Nobody can take the page of an offer for that of an order."""
    assert wording.kind_words(change("V-1", "Cleats", state=state)) == expected


@pytest.mark.parametrize(
    ("event", "expected"),
    [
        ("approved", "Approved, 3 days granted"),
        ("counter_offer", "Your counter-offer, 3 days offered"),
    ],
)
def test_days_that_come_with_a_decision_are_told(event: str, expected: str) -> None:
    """An approval grants days; a counter-offer offers them until the yard accepts."""
    row = HistoryRow(event, date(2026, 9, 6), None, None, "", days=3)

    assert wording.event_words(row) == expected
