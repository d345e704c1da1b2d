"""Price of a change: labour at charge rates, other lines by quantity and unit price."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import rounded
from ledger.domain.parsing import MS_PER_HOUR, RATE_SCALE

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")
# Percentages added are of cost (a mark-up) or of the resulting price (a margin).
ON = ("cost", "price")
METHODS = ("additive", "compound")
PRICE_KINDS = ("labour", "material", "subcontract", "plant")
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


def hours_at(ms: int, rate: int) -> Fraction:
    """Return hours x rate in the currency, exact."""
    return Fraction(ms * rate, MS_PER_HOUR * RATE_SCALE)


def labour_price(ms: int, rate: int) -> Decimal:
    """Return hours x rate in the currency, rounded once to two places, half away from zero."""
    return money_of(hours_at(ms, rate))


@dataclass(frozen=True)
class Addition:
    """A percentage added: of cost (a mark-up) or of the resulting price (a margin).

    `of` are the price kinds it is added to, all where it names none. `additive` adds it to their
    lines as they are, `compound` to these with the additions made to them before.
    """

    percent: Decimal
    on: str = ON[0]
    of: tuple[str, ...] = ()
    method: str = METHODS[0]

    def amount_on(self, base: Fraction) -> Fraction:
        """Return what it adds to a base, exact."""
        share = Fraction(self.percent) / 100
        return base * share if self.on == "cost" else base * share / (1 - share)

    def takes(self, price_kind: str) -> bool:
        """Return whether it is added to lines of a kind."""
        return not self.of or price_kind in self.of


@dataclass(frozen=True)
class PriceLine:
    """A line of a price, signed: labour by hours and charge rate, the rest by quantity and price.

    `unit_price` is that of an hour or of a unit, None where nothing is charged. A line of price
    kind `provisional_sum` omits what is spent of the sum that it is described by; `beyond_sum` is
    what is spent beyond it. `agreed_addition` says what was added, where the contract lets the
    owner see percentages.
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
    beyond_sum: Decimal = NOTHING
    agreed_addition: str = ""

    @property
    def labour(self) -> str:
        """The trade, and the grade of it where the price names one."""
        return f"{self.trade}, {self.grade}" if self.grade else self.trade


@dataclass(frozen=True)
class YardPriceLine(PriceLine):
    """A line of a price as the yard sees it: with the percentage that its amount holds.

    A line of price kind `addition` is the percentage itself, on its `base`.
    """

    addition: Addition | None = None
    base: Decimal | None = None
