"""Who asked for a variation's hours and who bears them, by its basis and what became of it."""

from fractions import Fraction

import pytest

from ledger.domain.overrun import (
    ChangeStanding,
    PartAmounts,
    asked_in_variation,
    asks_for_work_done,
    bearer_of_unapproved,
    bearers_of_variation,
    bears_work_done,
    net_growth_percent,
    total_change_percent,
)

FIXED = ChangeStanding("approved", "none", "fixed_price", approved=True)
STOPPED = ChangeStanding("approved", "stopped", "fixed_price", approved=True)
FREE = ChangeStanding("approved", "none", "no_charge", approved=True)
DAYWORK = ChangeStanding("approved", "none", "daywork", approved=True)
CAPPED = ChangeStanding("approved", "none", "daywork", approved=True, not_to_exceed=True)
CAPPED_STOPPED = ChangeStanding("approved", "stopped", "daywork", True, not_to_exceed=True)
OVER = PartAmounts(approved=40, actual=15, earned=10, rework=2, forecast=52)
UNDER = PartAmounts(approved=40, actual=15, earned=20, forecast=30)
# Of 40 h 30 are taken out by the stop: what is earned stays.
ABORTIVE = PartAmounts(approved=40, omitted=30, actual=15, earned=10, rework=2, forecast=15)
SAVED = PartAmounts(approved=40, omitted=30, actual=8, earned=10, forecast=8)
VARIATIONS = {
    "over a fixed price": (FIXED, OVER, 40, {"owner": 40, "yard": 10}),
    "under a fixed price": (FIXED, UNDER, 40, {"owner": 40, "yard": -10}),
    # 15 - 10 - 2 = 3 h were done and then no longer wanted
    "stopped": (STOPPED, ABORTIVE, 13, {"owner": 13, "yard": 0}),
    "stopped with hours saved": (STOPPED, SAVED, 10, {"owner": 10, "yard": -2}),
    "daywork over": (DAYWORK, OVER, 50, {"owner": 50}),
    "daywork under": (DAYWORK, UNDER, 30, {"owner": 30}),
    "over a cap": (CAPPED, OVER, 50, {"owner": 40, "yard": 10}),
    "under a cap": (CAPPED, UNDER, 30, {"owner": 30, "yard": 0}),
    "capped and stopped": (CAPPED_STOPPED, ABORTIVE, 13, {"owner": 13, "yard": 0}),
    "free of charge, its rework too": (FREE, OVER, 40, {"yard": 52}),
}


@pytest.mark.parametrize(
    ("standing", "part", "asked", "borne"), VARIATIONS.values(), ids=VARIATIONS
)
def test_a_variation_is_marked_by_its_basis(
    standing: ChangeStanding, part: PartAmounts, asked: int, borne: dict[str, int]
) -> None:
    """What is over a fixed price is the yard's; daywork and abortive work are the owner's."""
    assert asked_in_variation(standing, part) == asked
    assert bearers_of_variation(standing, part) == borne


UNAPPROVED = [
    ("requested", "none", "at_risk"),
    ("priced", "none", "at_risk"),
    ("submitted", "none", "at_risk"),
    ("lapsed", "none", "at_risk"),
    ("counter_offer", "none", "at_risk"),
    ("declined", "none", "yard"),
    ("withdrawn", "none", "yard"),
    ("disputed", "none", "undecided"),
    ("disputed", "instructed", "undecided"),
    ("requested", "instructed", "instructed_price_open"),
    ("declined", "instructed", "instructed_price_open"),
    ("withdrawn", "stopped", "instructed_price_open"),
    ("counter_offer", "instructed", "instructed_price_open"),
]


@pytest.mark.parametrize(("price", "instruction", "bearer"), UNAPPROVED)
def test_an_instruction_decides_before_a_price_that_is_not_disputed(
    price: str, instruction: str, bearer: str
) -> None:
    """A dispute is undecided; instructed work has its price open; the rest is at risk or lost."""
    standing = ChangeStanding(price, instruction, "fixed_price", approved=False)

    assert bearer_of_unapproved(standing) == bearer


WORK_DONE = {
    "over a fixed price": (FIXED, OVER, "yard", "yard"),
    "under a fixed price": (FIXED, UNDER, "yard", "yard"),
    "stopped": (STOPPED, ABORTIVE, "change_in_law", "owner"),
    "stopped with hours saved": (STOPPED, SAVED, "yard", "yard"),
    "daywork over": (DAYWORK, OVER, "change_in_law", "owner"),
    "over a cap": (CAPPED, OVER, "change_in_law", "yard"),
    "under a cap": (CAPPED, UNDER, "change_in_law", "owner"),
    "free of charge": (FREE, OVER, "yard", "yard"),
}


@pytest.mark.parametrize(("standing", "part", "asked", "borne"), WORK_DONE.values(), ids=WORK_DONE)
def test_time_worked_on_a_variation_counts_where_work_counts(
    standing: ChangeStanding, part: PartAmounts, asked: str, borne: str
) -> None:
    """On daywork and abortive work it is the origin's and the owner's, else the yard's."""
    assert asks_for_work_done(standing, part, "change_in_law") == asked
    assert bears_work_done(standing, part) == borne


def test_growth_and_change_agreed_are_of_the_original() -> None:
    """Of 14,500 h 1,350 are added and 350 taken out: grown by 1,000, changed by 1,700."""
    amounts = {"original_budget": 14_500, "approved_variations": 1_350, "omissions": -350}

    assert net_growth_percent(amounts) == Fraction(100 * 1_000, 14_500)  # 6.8966 %
    assert total_change_percent(amounts) == Fraction(100 * 1_700, 14_500)  # 11.7241 %
    assert net_growth_percent({**amounts, "original_budget": 0}) is None
