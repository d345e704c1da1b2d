"""Every move of a change's life, legal or not, against tables written from the specification.

Source of the words: common practice of building contracts, no source. The tables are typed here by
hand and are not those of the program: from each state every event is tried.
"""

from datetime import date, timedelta

import pytest

from ledger.domain.change_life import ChangeState, Event, IllegalMove, state_on

DAY = date(2026, 3, 2)
LATE = DAY + timedelta(days=40)

# What is said of a price, and what of instruction, work and time: four facts, tried apart.
PRICE = [
    *("priced", "submitted", "approved", "declined", "disputed", "counter_offer", "accepted"),
    *("withdrawn", "value_agreed"),
]
OTHERS = [
    *("instructed", "confirmed", "denied", "stopped", "complete", "time_decided", "notified"),
]

# The way to a state of the price, and what may be said of it then.
PRICES = {
    "": "priced submitted approved declined withdrawn",
    "priced": "priced submitted approved declined withdrawn",
    "submitted": "approved declined disputed counter_offer withdrawn",
    "submitted disputed": "submitted approved declined counter_offer withdrawn",
    "submitted counter_offer": "accepted submitted declined withdrawn",
    "submitted disputed counter_offer": "accepted submitted declined withdrawn",
    "submitted declined": "withdrawn",
    "submitted approved": "value_agreed",
    "submitted counter_offer accepted": "value_agreed",
    "submitted approved value_agreed": "",
    "withdrawn": "",
    "submitted withdrawn": "",
}
# A submitted price whose last day has passed.
LAPSED = "submitted declined counter_offer withdrawn"

# The way to a state of instruction and work, and which of these two may follow; days and notices
# always may.
BESIDES = {
    "": "instructed complete",
    "instructed": "confirmed denied stopped complete",
    "instructed confirmed": "stopped complete",
    "instructed denied": "instructed complete",
    "instructed denied instructed": "confirmed denied stopped complete",
    "instructed stopped": "complete",
    "instructed confirmed stopped": "complete",
    "complete": "instructed",
    "instructed complete": "confirmed denied stopped",
    "approved": "instructed stopped complete",
    "approved instructed": "confirmed denied stopped complete",
    "approved stopped": "complete",
    "instructed stopped approved": "instructed stopped complete",
    "time_decided": "instructed complete",
    "notified": "instructed complete",
    "submitted declined": "instructed complete",
    "instructed withdrawn": "confirmed denied stopped complete",
}
ALWAYS = ["time_decided", "notified"]
# Of a request withdrawn before anybody gave the order nothing more is recorded.
NOTHING_FOLLOWS = ["withdrawn", "instructed denied withdrawn", "instructed stopped withdrawn"]


def after(way: str) -> ChangeState:
    events = [
        Event(word, DAY + timedelta(days=place), 1, days_granted=0)
        for place, word in enumerate(way.split())
    ]
    return state_on(events, LATE)


def taken(way: str, words: list[str], last_day: date | None = None) -> list[str]:
    """Return which of the words a change takes next."""
    found = []
    for word in words:
        state = after(way)
        state.valid_until[1] = last_day
        try:
            state.apply(Event(word, LATE, 1, days_granted=0))
        except IllegalMove:
            continue
        found.append(word)
    return found


@pytest.mark.parametrize(("way", "legal"), PRICES.items())
def test_a_price_takes_the_moves_of_its_state_alone(way: str, legal: str) -> None:
    """From each state of a price the moves listed are taken, and every other is refused."""
    assert set(taken(way, PRICE)) == set(legal.split())


def test_a_lapsed_price_takes_no_yes() -> None:
    """After its last day a price is sent again, declined or countered; it cannot be approved."""
    assert set(taken("submitted", PRICE, DAY + timedelta(days=9))) == set(LAPSED.split())


@pytest.mark.parametrize(("way", "legal"), BESIDES.items())
def test_instruction_work_and_time_move_apart_from_the_price(way: str, legal: str) -> None:
    """Whatever the price, instruction and work take the moves listed and no other; time any."""
    assert set(taken(way, OTHERS)) == {*legal.split(), *ALWAYS}


@pytest.mark.parametrize("way", NOTHING_FOLLOWS)
def test_a_withdrawn_request_takes_no_move(way: str) -> None:
    """Withdrawn without an order that stands, a request takes nothing more."""
    assert taken(way, [*PRICE, *OTHERS]) == []


@pytest.mark.parametrize("order", ["instructed", "instructed complete", "complete"])
@pytest.mark.parametrize(("way", "legal"), PRICES.items())
def test_neither_instruction_nor_work_bars_a_price_move(way: str, legal: str, order: str) -> None:
    """With work ordered or done a price takes the same moves as without."""
    assert set(taken(f"{order} {way}", PRICE)) == set(legal.split())


def order(*events: Event) -> str:
    return state_on(events, LATE).instruction


def test_an_order_of_somebody_not_listed_counts_once_confirmed() -> None:
    """It awaits confirmation, counts from the day of that, and never counts when denied."""
    given = Event("instructed", DAY, 1, person="A guest", listed=False)
    confirmed = Event("confirmed", DAY + timedelta(days=3), 1)
    denied = Event("denied", DAY + timedelta(days=3), 1)
    by_stranger = Event("confirmed", DAY + timedelta(days=3), 1, listed=False)
    waiting = state_on([given], LATE)

    assert (waiting.instruction, waiting.awaiting) == ("none", given)
    assert order(given, by_stranger) == "none"
    assert order(given, denied) == "none"
    assert order(given, confirmed) == "instructed"
    assert state_on([given, confirmed], LATE).instructed_on == DAY + timedelta(days=3)
    assert order(given, denied, Event("instructed", LATE, 1)) == "instructed"
    assert order(given, Event("stopped", LATE, 1)) == "none"


@pytest.mark.parametrize(("offset", "counts"), [(7, "none"), (8, "instructed")])
def test_silence_confirms_an_order_where_the_contract_says_so(offset: int, counts: str) -> None:
    """Of an order of 2 March with seven days to deny it, the ninth is the last: it counts after."""
    given = Event("instructed", DAY, 1, silent_from=DAY + timedelta(days=8), listed=False)
    late_no = Event("denied", DAY + timedelta(days=12), 1)

    assert state_on([given], DAY + timedelta(days=offset)).instruction == counts
    assert order(given, late_no) == "instructed"  # a no after that comes too late


def test_days_are_granted_apart_from_the_price() -> None:
    """The last decision holds, whether it came with an approval or by itself; nil is a decision."""
    approved = Event("approved", DAY, 1, days_granted=3)
    later = Event("time_decided", DAY + timedelta(days=5), 1, days_granted=5)
    nil = Event("time_decided", DAY + timedelta(days=6), 1, days_granted=0)
    of_time_only = state_on([later], LATE)

    assert state_on([approved], LATE).days_granted == 3
    assert state_on([approved, later], LATE).days_granted == 5
    assert state_on([approved, later, nil], LATE).days_decided == 0
    assert (of_time_only.days_granted, of_time_only.price(LATE)) == (5, "requested")
    assert after("priced").days_decided is None
