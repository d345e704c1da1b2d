"""Percentages added to a price: mark-up on cost or margin on price, additive or compound.

A mark-up is a percent of cost, a margin a percent of the price that results: a mark-up of 25 % on
cost is a margin of 20 % of price.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import rounded
from ledger.domain.pricing import CENT, Addition, money_of


def margin_of(mark_up: Fraction) -> Fraction | None:
    """Return the margin in percent of price of a mark-up in percent of cost; None at -100."""
    return 100 * mark_up / (100 + mark_up) if mark_up != -100 else None


def mark_up_of(margin: Fraction) -> Fraction | None:
    """Return the mark-up in percent of cost of a margin in percent of price; None at 100."""
    return 100 * margin / (100 - margin) if margin != 100 else None


@dataclass
class Base:
    """A line that percentages are added to: its exact amount, and the same with what was added."""

    price_kind: str
    amount: Fraction
    with_additions: Fraction

    @property
    def has_additions(self) -> bool:
        return self.with_additions != self.amount

    @property
    def is_omission(self) -> bool:
        return self.amount < 0


def add(bases: Collection[Base], addition: Addition) -> tuple[Fraction, Fraction] | None:
    """Add a percentage to the lines of its kinds; return the base and what it comes to, exact.

    None where there is no such line.
    """
    taken = [each for each in bases if addition.takes(each.price_kind)]
    if not taken:
        return None
    base = sum((_base_of(each, addition) for each in taken), Fraction(0))
    amounts = [addition.amount_on(_base_of(each, addition)) for each in taken]
    for each, amount in zip(taken, amounts, strict=True):
        each.with_additions += amount
    return base, sum(amounts, Fraction(0))


def _base_of(each: Base, addition: Addition) -> Fraction:
    return each.with_additions if addition.method == "compound" else each.amount


def spread_over(bases: Sequence[Base], price: Decimal) -> list[Decimal]:
    """Return the selling price of each line, so that together they are the price.

    A line that nothing was added to keeps its own amount; over the others what is left is split by
    the largest remainder, odd cents to the largest fractions, then to the first.
    """
    prices = [money_of(each.with_additions) for each in bases]
    places = [place for place, each in enumerate(bases) if each.has_additions] or [
        *range(len(bases))
    ]
    odd = rounded(Fraction(price - sum(prices, Decimal(0))) * 100)
    step = 1 if odd > 0 else -1
    short = {place: bases[place].with_additions - Fraction(prices[place]) for place in places}
    order = sorted(places, key=lambda place: (-step * short[place], place))
    for turn in range(abs(odd) if order else 0):
        prices[order[turn % len(order)]] += step * CENT
    return prices
