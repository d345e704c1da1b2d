"""Sheets agree what was done once only and as it stood; their value takes the estimate's place."""

from decimal import Decimal

import pytest

from ledger.domain.daywork import (
    AGREED,
    FOR_RECORD,
    CoveredPart,
    Done,
    Estimate,
    Sheets,
    daywork_value,
)

HOUR = 3_600_000


def part(
    sheet: str, marked: int, now: int, stated: int | None = None, mark: str = AGREED, of: str = "a"
) -> CoveredPart:
    """Return what a sheet covers of a worker's day in one trade, in whole hours."""
    return CoveredPart(sheet, mark, "day", of, marked, now, stated)


# Parts in the order of their sheets; hours agreed, and recorded beside them.
MOVES = {
    "all that was booked": ([part("D1", 5, 5)], 5, 0),
    "booked later": ([part("D1", 5, 7)], 5, 0),
    "struck off": ([part("D1", 5, 5, 4)], 4, 0),
    "the same twice": ([part("D1", 5, 5), part("D2", 5, 5)], 5, 0),
    "late hours on a second": ([part("D1", 5, 8), part("D2", 8, 8)], 8, 0),
    "late hours in part": ([part("D1", 5, 8), part("D2", 8, 8, 2)], 7, 0),
    "struck off, then agreed": ([part("D1", 5, 5, 3), part("D2", 5, 5)], 5, 0),
    "reversed since": ([part("D1", 5, 2)], 2, 0),
    "for record only": ([part("R1", 5, 7, mark=FOR_RECORD)], 0, 5),
    "recorded, then agreed": ([part("R1", 5, 5, mark=FOR_RECORD), part("D1", 5, 5, 3)], 3, 2),
    "agreed, then recorded": ([part("D1", 5, 9, 3), part("R1", 9, 9, mark=FOR_RECORD)], 3, 6),
    "more than is left": ([part("D1", 5, 5, 4), part("D2", 5, 5, 4)], 5, 0),
}


@pytest.mark.parametrize("move", MOVES)
def test_what_was_done_is_agreed_once(move: str) -> None:
    """A sheet takes what those before it left of what it knew, as far as it is there still."""
    parts, agreed, witnessed = MOVES[move]
    sheets = Sheets(parts)
    counted = [share.counted for share in sheets.shares if share.of.mark == AGREED]

    assert (sheets.agreed("a"), sheets.witnessed("a")) == (agreed, witnessed)
    assert sum(counted) == agreed


def test_a_strike_off_is_shared_by_trade() -> None:
    """Of 6 and 2 hours 4 are agreed: 3 and 1; an odd unit goes to the largest remainder."""
    sheets = Sheets([part("D1", 6, 6, 4, of="a"), part("D1", 2, 2, 4, of="b")])

    assert [sheets.agreed(each) for each in "ab"] == [3, 1]


def priced(**hours: int) -> dict[str, Decimal | None]:
    return {trade: Decimal(60 * number) for trade, number in hours.items()}


def done(items: dict[str, int] | None = None, **hours: int) -> Done:
    """Return hours at 60.00, and items at their amounts."""
    amounts = {kind: Decimal(amount) for kind, amount in (items or {}).items()}
    return Done({t: h * HOUR for t, h in hours.items()}, priced(**hours), amounts)


def estimate(items: dict[str, int] | None = None, **hours: int) -> Estimate:
    made = done(items, **hours)
    labour = {trade: amount or Decimal(0) for trade, amount in made.labour.items()}
    return Estimate(made.hours_ms, labour, made.items)


# Estimate, done, agreed; complete, capped; agreed, left of the estimate, beyond both.
VALUES = {
    "nothing done": (estimate(a=10), done(), done(), "", (0, 600, 0)),
    "within": (estimate(a=10), done(a=4), done(a=4), "", (240, 360, 0)),
    "unsigned within": (estimate(a=10), done(a=4), done(), "", (0, 600, 0)),
    "unsigned above": (estimate(a=10), done(a=12), done(), "", (0, 600, 120)),
    "above, in part signed": (estimate(a=10), done(a=15), done(a=12), "", (720, 0, 180)),
    "one trade for another": (estimate(a=10, b=5), done(b=9), done(b=9), "", (540, 600, 0)),
    "complete": (estimate(a=10), done(a=7), done(a=4), "complete", (240, 0, 180)),
    "complete, unsigned": (estimate(a=10), done(a=7), done(), "complete", (0, 0, 420)),
    "capped": (estimate(a=10), done(a=15), done(a=12), "capped", (600, 0, 0)),
    "capped, below": (estimate(a=10), done(a=15), done(a=4), "capped", (240, 360, 0)),
    "capped, complete": (estimate(a=10), done(a=15), done(a=4), "capped complete", (240, 0, 360)),
    "items": (
        estimate({"plant": 100, "material": 50}, a=1),
        done({"material": 80, "plant": 30}),
        done({"material": 80}),
        "",
        (80, 160, 0),
    ),
    "items above": (estimate({"plant": 100}), done({"plant": 130}), done(), "", (0, 100, 30)),
}


@pytest.mark.parametrize("case", VALUES)
def test_agreed_takes_the_place_of_the_estimate(case: str) -> None:
    """By trade and kind: agreed, the rest of the estimate not below 0, and what neither holds."""
    given, worked, agreed, how, expected = VALUES[case]
    value = daywork_value(given, worked, agreed, complete="complete" in how, capped="capped" in how)

    assert (value.agreed, value.rest, value.beyond) == expected
    assert value.amount == value.agreed + value.rest
    assert value.agreed_ms + value.unsigned_ms == value.worked_ms


def test_agreed_above_the_cap_is_said() -> None:
    """12 h agreed at 60.00 under a cap of 600.00: 120.00 are above it."""
    value = daywork_value(estimate(a=10), done(a=12), done(a=12), complete=False, capped=True)

    assert (value.amount, value.above_cap) == (600, 120)


def test_without_a_rate_only_the_hours_are_known() -> None:
    """A trade without contract rate leaves the amount beyond undefined, its hours as they are."""
    worked = Done({"a": 5 * HOUR}, {"a": None})
    value = daywork_value(Estimate(), worked, Done(), complete=False, capped=False)

    assert (value.beyond_ms, value.beyond) == (5 * HOUR, None)
