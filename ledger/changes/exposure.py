"""Exposure: what was worked on changes without a price or a signature of the owner."""

from dataclasses import dataclass
from decimal import Decimal

from ledger.changes.daywork import WorkedHours, added_up
from ledger.changes.prices import NOTHING
from ledger.changes.standing import Standing


@dataclass(frozen=True)
class Exposure:
    """Time in ms, and its value at the charge rates of the days worked; None without a rate."""

    ms: int = 0
    value: Decimal | None = NOTHING

    def __add__(self, other: "Exposure") -> "Exposure":
        return Exposure(self.ms + other.ms, added_up([self.value, other.value]))


def exposure(standing: Standing, worked: WorkedHours) -> Exposure:
    """Return what was worked on a change that the owner has not agreed to pay for.

    Of a change not approved that is all of it, of approved daywork what no value is agreed for;
    of a fixed price and of work free of charge it is nothing. Rework is left out.
    """
    by_hours = standing.basis == "daywork" and standing.agreed_value is None
    if standing.basis == "no_charge" or (standing.approved and not by_hours):
        return Exposure()
    value = added_up([worked.value(trade) for trade in worked.ms])
    return Exposure(sum(worked.ms.values()), value)
