"""Price of a change: labour at charge rates, other lines by quantity and unit price."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import rounded
from ledger.domain.parsing import MS_PER_HOUR, RATE_SCALE

CENT = Decimal("0.01")
Labour = tuple[str, str | None]  # A trade, and a grade of it.


@dataclass(frozen=True)
class ChargeRate:
    """What the owner pays an hour from a day on, in 1/10000."""

    effective_from: date
    charge_per_hour: int
    batch: int = 0


class NoChargeRate(ValueError):
    """A trade has no charge rate on the day it is priced."""


def charge_on(
    rates: Mapping[Labour, Sequence[ChargeRate]],
    labour: Labour,
    day: date,
    offered: int | None = None,
) -> int:
    """Return the rate of a trade and grade on a day in 1/10000: the grade's own, else the trade's.

    What was offered keeps the rates that were recorded by that batch; later ones fill gaps only.
    Raises: NoChargeRate.
    """
    trade, _ = labour
    known = [
        [rate for rate in rates.get(each, ()) if rate.effective_from <= day]
        for each in dict.fromkeys([labour, (trade, None)])
    ]
    then = [[rate for rate in each if offered is None or rate.batch <= offered] for each in known]
    chosen = next(filter(None, [*then, *known]), None)
    if not chosen:
        raise NoChargeRate(f"{trade} has no charge rate on {day}")
    return max(chosen, key=lambda rate: (rate.effective_from, rate.batch)).charge_per_hour


def money_of(exact: Fraction) -> Decimal:
    """Return an amount of the currency, rounded once to two places, half away from zero."""
    return Decimal(rounded(exact * 100)) * CENT


def marked_up(cost: Fraction, percent: Decimal) -> Fraction:
    """Return cost with a mark-up of so many percent of cost, exact."""
    return cost * (1 + Fraction(percent) / 100)


def labour_price(ms: int, rate: int) -> Decimal:
    """Return hours x rate in the currency, rounded once to two places, half away from zero."""
    exact = Fraction(ms * rate * 100, MS_PER_HOUR * RATE_SCALE)
    return Decimal(rounded(exact)) * CENT


def quantity_price(quantity: Decimal, unit_price: Decimal) -> Decimal:
    """Return quantity x unit price, rounded once to two places, half away from zero."""
    return Decimal(rounded(Fraction(quantity) * Fraction(unit_price) * 100)) * CENT


@dataclass(frozen=True)
class PriceLine:
    """A line of a price, signed: labour by hours and charge rate, the rest by quantity and price.

    `unit_price` is that of an hour or of a unit, None where nothing is charged.
    """

    price_kind: str
    description: str
    trade: str
    hours_ms: int | None
    quantity: Decimal | None
    unit: str
    unit_price: Decimal | None
    amount: Decimal
    grade: str = ""

    @property
    def labour(self) -> str:
        """The trade, and the grade of it where the price names one."""
        return f"{self.trade}, {self.grade}" if self.grade else self.trade
