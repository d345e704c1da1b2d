"""Which events may follow which, and where a change stands."""

from datetime import date, timedelta
from typing import Any

import pytest

from ledger.domain.change_life import Event, IllegalMove, state_on

DAY = date(2026, 3, 2)


def event(name: str, offset: int = 0, revision: int = 1, **more: Any) -> Event:
    return Event(name, DAY + timedelta(days=offset), revision, **more)


def life(words: str, **last: Any) -> list[Event]:
    """Events a day apart; `submitted2` is of revision 2; `last` goes to the last one."""
    names = words.split()
    events = [
        event(word.rstrip("2"), place, 2 if word.endswith("2") else 1)
        for place, word in enumerate(names)
    ]
    return [*events[:-1], event(names[-1].rstrip("2"), len(names) - 1, events[-1].revision, **last)]


def price(words: str) -> str:
    return state_on(life(words), DAY + timedelta(days=30)).price(DAY + timedelta(days=30))


LEGAL = [
    ("priced", "priced"),
    ("priced submitted", "submitted"),
    ("priced submitted approved", "approved"),
    ("priced submitted declined", "declined"),
    ("priced submitted disputed", "disputed"),
    ("priced submitted disputed submitted", "submitted"),
    ("priced submitted disputed approved", "approved"),
    ("priced submitted disputed declined", "declined"),
    ("priced submitted withdrawn", "withdrawn"),
    ("instructed priced submitted", "submitted"),  # an instruction bars no price move
    ("instructed stopped priced submitted approved", "approved"),
    ("complete priced submitted approved", "approved"),  # nor does finished work
    ("priced submitted submitted2", "submitted"),
    ("priced submitted submitted2 approved2", "approved"),
    ("priced submitted declined submitted2 approved2", "approved"),
    ("priced submitted approved value_agreed", "approved"),
    ("priced submitted approved stopped", "approved"),
    ("submitted counter_offer", "counter_offer"),
    ("submitted counter_offer accepted", "approved"),
    ("submitted counter_offer declined", "declined"),
    ("submitted counter_offer submitted", "submitted"),
    ("submitted counter_offer submitted2", "submitted"),
    ("submitted counter_offer accepted2", "approved"),
    ("submitted counter_offer priced2", "counter_offer"),
    ("submitted counter_offer priced2 accepted2", "approved"),
    ("submitted disputed counter_offer accepted", "approved"),
]


@pytest.mark.parametrize(("words", "state"), LEGAL)
def test_a_legal_move_leads_to_its_price(words: str, state: str) -> None:
    """Events in a legal order leave the price where the last price event put it."""
    assert price(words) == state


ILLEGAL = [
    "priced disputed",
    "priced submitted approved declined",
    "priced submitted approved approved",
    "priced submitted approved submitted2",
    "priced submitted approved withdrawn",
    "priced submitted declined approved",
    "priced submitted submitted",
    "priced submitted submitted2 approved",
    "priced priced2 submitted2 approved",
    "withdrawn priced",
    "stopped",
    "instructed instructed",
    "instructed stopped stopped",
    "value_agreed",
    "complete complete",
    "priced counter_offer",
    "submitted accepted",
    "submitted disputed accepted",
    "submitted counter_offer approved",
    "submitted counter_offer counter_offer",
    "submitted2 counter_offer2 accepted",
    "submitted counter_offer submitted2 accepted2",
    "submitted approved counter_offer",
]


@pytest.mark.parametrize("words", ILLEGAL)
def test_an_illegal_move_is_refused(words: str) -> None:
    """An event that may not follow is refused; those before it are legal."""
    *before, last = life(words)
    state = state_on(before, last.day)
    with pytest.raises(IllegalMove):
        state.apply(last)


def test_a_refusal_names_the_legal_moves() -> None:
    """The message says what was tried, where the change stands and what may follow."""
    with pytest.raises(IllegalMove) as refused:
        price("priced submitted priced")

    assert str(refused.value) == (
        "priced on 2026-03-04 is not allowed with price submitted, instruction none; "
        "allowed: approved, declined, disputed, counter_offer, withdrawn, "
        "instructed, complete, time_decided, notified"
    )


def test_instructed_work_goes_on_after_its_price_is_withdrawn() -> None:
    """Price, instruction and work are separate facts: a withdrawn price bars neither."""
    state = state_on(life("instructed withdrawn complete stopped"), DAY + timedelta(days=9))

    assert (state.instruction, state.complete) == ("stopped", True)


def submitted_until(offset: int) -> list[Event]:
    return [event("submitted", 0, valid_until=DAY + timedelta(days=offset))]


LAPSES = [(4, "submitted"), (5, "submitted"), (6, "lapsed")]


@pytest.mark.parametrize(("offset", "state"), LAPSES)
def test_a_submitted_price_lapses_after_its_last_day(offset: int, state: str) -> None:
    """A price is open up to and including valid_until, and lapsed from the day after."""
    day = DAY + timedelta(days=offset)

    assert state_on(submitted_until(5), day).price(day) == state


@pytest.mark.parametrize("name", ["submitted", "declined", "counter_offer"])
def test_a_lapsed_price_can_be_taken_up(name: str) -> None:
    """A lapsed price is submitted again or declined, or the owner makes an offer of it."""
    events = [*submitted_until(5), event(name, 8)]

    assert state_on(events, DAY + timedelta(days=8)).price(DAY + timedelta(days=8)) == name


def test_a_lapsed_price_cannot_be_disputed() -> None:
    """A dispute is of a price that is open."""
    state = state_on(submitted_until(5), DAY)
    with pytest.raises(IllegalMove):
        state.apply(event("disputed", 8))


def test_a_yes_to_a_lapsed_price_is_a_counter_offer() -> None:
    """The owner approves no price that has lapsed; the refusal says how their yes is entered."""
    state = state_on(submitted_until(5), DAY)
    with pytest.raises(IllegalMove) as refused:
        state.apply(event("approved", 6))

    assert str(refused.value) == (
        "approved on 2026-03-08 is not allowed with price lapsed, instruction none; allowed: "
        "submitted, declined, counter_offer, withdrawn, instructed, complete, time_decided, "
        "notified; enter a yes to a lapsed price as counter_offer, then accepted"
    )


def test_accepting_takes_up_the_terms_of_the_counter_offer() -> None:
    """Days and a cap that the owner offered hold when the yard accepts, on the day it does."""
    terms = {"days_granted": 3, "not_to_exceed": True}
    events = [*submitted_until(5), event("counter_offer", 8, **terms), event("accepted", 9)]
    state = state_on(events, DAY + timedelta(days=9))

    assert (state.approved_on, state.approved_revision) == (DAY + timedelta(days=9), 1)
    assert (state.days_granted, state.not_to_exceed) == (3, True)


def test_submitting_a_revision_supersedes_the_one_before() -> None:
    """Only the revision submitted last is open; the one before is superseded."""
    day = DAY + timedelta(days=30)
    state = state_on(life("priced submitted submitted2"), day)

    assert (state.price_of(1, day), state.price_of(2, day)) == ("superseded", "submitted")


ROUGH = [
    [event("priced", 0, rough=True), event("submitted", 1)],
    [event("submitted", 0, rough=True)],
]


@pytest.mark.parametrize("events", ROUGH, ids=["priced rough", "submitted rough"])
def test_a_rough_price_cannot_be_approved(events: list[Event]) -> None:
    """A price marked rough is refused when it is approved."""
    state = state_on(events, DAY + timedelta(days=5))
    with pytest.raises(IllegalMove) as refused:
        state.apply(event("approved", 5))

    expected = "a rough price cannot be approved; load a firm priced event first"
    assert str(refused.value) == expected


def test_a_rough_price_priced_again_can_be_approved() -> None:
    """A firm price of the same revision takes the mark away."""
    events = [event("priced", 0, rough=True), event("priced", 1), event("submitted", 2)]
    state = state_on([*events, event("approved", 3)], DAY + timedelta(days=3))

    assert state.approved_on == DAY + timedelta(days=3)


PRICING_DATES = [
    ("priced submitted approved", 0),
    ("submitted approved", 0),
    ("instructed submitted approved", 1),
]


@pytest.mark.parametrize(("words", "offset"), PRICING_DATES)
def test_the_pricing_date_is_priced_else_submitted(words: str, offset: int) -> None:
    """The pricing date is the revision's `priced`, else `submitted`."""
    state = state_on(life(words), DAY + timedelta(days=30))

    assert state.pricing_date(1) == DAY + timedelta(days=offset)


def test_events_after_the_day_do_not_count() -> None:
    """Where a change stands on a day is told by the events dated by then."""
    events = life("priced submitted approved")

    assert state_on(events, DAY + timedelta(days=1)).price(DAY + timedelta(days=1)) == "submitted"
