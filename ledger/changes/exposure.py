"""Exposure: what was worked on changes without a price or a signature of the owner."""

from dataclasses import dataclass
from decimal import Decimal

from ledger.changes.daywork_lines import WorkedHours, added_up
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import NOTHING
from ledger.changes.standing import Standing


@dataclass(frozen=True)
class Exposure:
    """Time in ms, and its value at the charge rates of the days worked; None without a rate."""

    ms: int = 0
    value: Decimal | None = NOTHING

    def __add__(self, other: "Exposure") -> "Exposure":
        return Exposure(self.ms + other.ms, added_up([self.value, other.value]))


def exposure(standing: Standing) -> Exposure:
    """Return what was worked on a change that the owner has not agreed to pay for.

    Of a change not approved that is all of it, of approved daywork what no sheet and no value
    agrees; of a fixed price, of work free of charge and of what the yard asks for itself without an
    order it is nothing. Rework is left out.
    """
    daywork, code = standing.known.daywork, standing.change.code
    worked, by_hours = daywork.worked[code], standing.basis == "daywork"
    own = standing.change.facts["origin"] == "yard" and not standing.instructed
    if standing.basis == "no_charge" or standing.agreed_value is not None:
        return Exposure()
    if own and not standing.approved:
        return Exposure()
    if not standing.approved:
        return _worth(worked, standing.daywork_terms if by_hours else None)
    if not by_hours:
        return Exposure()
    done, signed = (_worth(each, standing.daywork_terms) for each in (worked, daywork.agreed[code]))
    value = None if done.value is None or signed.value is None else done.value - signed.value
    return Exposure(done.ms - signed.ms, value)


def _worth(worked: WorkedHours, terms: DayworkTerms | None) -> Exposure:
    """Return hours at their rates, of daywork with its percentage."""
    values = [
        worked.value(trade) if terms is None else worked.daywork_value(trade, terms)
        for trade in worked.ms
    ]
    return Exposure(sum(worked.ms.values()), added_up(values))
