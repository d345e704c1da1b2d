"""Price of a change: labour at charge rates, other lines by quantity and unit price."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import rounded
from ledger.domain.parsing import MS_PER_HOUR, RATE_SCALE

CENT = Decimal("0.01")


@dataclass(frozen=True)
class ChargeRate:
    """What the owner pays an hour from a day on, in 1/10000."""

    effective_from: date
    charge_per_hour: int
    batch: int = 0


class NoChargeRate(ValueError):
    """A trade has no charge rate on the day it is priced."""


def charge_on(
    rates: Mapping[str, Sequence[ChargeRate]], trade: str, day: date, offered: int | None = None
) -> int:
    """Return the rate of a trade on a day in 1/10000.

    What was offered keeps the rates that were recorded by that batch; later ones fill gaps only.
    Raises: NoChargeRate.
    """
    known = [rate for rate in rates.get(trade, ()) if rate.effective_from <= day]
    if not known:
        raise NoChargeRate(f"{trade} has no charge rate on {day}")
    then = [rate for rate in known if offered is None or rate.batch <= offered] or known
    return max(then, key=lambda rate: (rate.effective_from, rate.batch)).charge_per_hour


def labour_price(ms: int, rate: int) -> Decimal:
    """Return hours x rate in the currency, rounded once to two places, half away from zero."""
    exact = Fraction(ms * rate * 100, MS_PER_HOUR * RATE_SCALE)
    return Decimal(rounded(exact)) * CENT


def quantity_price(quantity: Decimal, unit_price: Decimal) -> Decimal:
    """Return quantity x unit price, rounded once to two places, half away from zero."""
    return Decimal(rounded(Fraction(quantity) * Fraction(unit_price) * 100)) * CENT
