"""Burdened rates: what an hour of labour costs, built up from the items of a year or a week.

Source of the method: Definition of Prime Cost of Daywork (RICS and Construction Confederation),
built-up examples: each item rounded once, the total divided by the hours worked.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal, TypeAlias

from ledger.domain.allocation import to_places

# cost: an item of cost; hours: time to divide by; leave: paid time off, with what it is paid in the
# cost, or without, taken out of the hours.
Kind: TypeAlias = Literal["cost", "hours", "leave"]
KINDS: tuple[Kind, ...] = ("cost", "hours", "leave")
# What a line is of, and how many are in a year: 12 months of 52 weeks (29 CFR 778.113(b)).
Period: TypeAlias = Literal["year", "month", "week"]
PERIODS: dict[Period, int] = {"year": 1, "month": 12, "week": 52}
Leave: TypeAlias = Literal["in_cost", "out_of_hours", "both", "none"]


@dataclass(frozen=True)
class Item:
    """A line of a build-up: quantity x (amount - less), or a percentage of it or of other items.

    With `per` it is of so many periods of a year.
    """

    item: str
    kind: Kind = "cost"
    quantity: Decimal | None = None
    amount: Decimal | None = None
    less: Decimal | None = None
    percent: Decimal | None = None
    of: tuple[str, ...] = ()
    per: Period | None = None


@dataclass(frozen=True)
class BuiltItem:
    """A line with what it comes to: money rounded once, or hours, out of which leave is taken."""

    item: Item
    money: Decimal | None
    hours: Decimal | None


@dataclass(frozen=True)
class BuiltRate:
    """A rate with its lines: the sum of the money as rounded, over the hours; rounded once.

    Where its lines name their periods, cost and hours are of a year, and of each period.
    """

    items: tuple[BuiltItem, ...]
    cost: Decimal
    hours: Decimal
    rate: Decimal
    leave: Leave

    @property
    def periods(self) -> dict[Period, tuple[Decimal, Decimal]]:
        """Return cost and hours by period, two places; none where no line names one."""
        if all(each.item.per is None for each in self.items):
            return {}
        return {
            name: (to_places(Fraction(self.cost) / of, 2), to_places(Fraction(self.hours) / of, 2))
            for name, of in PERIODS.items()
        }


class NoRate(ValueError):
    """A build-up that gives no rate: `kind` says why, `item` of which line."""

    def __init__(self, kind: str, item: str | None = None) -> None:
        super().__init__(kind)
        self.kind, self.item = kind, item


def built_rate(items: Sequence[Item], places: int = 2, rate_places: int = 2) -> BuiltRate:
    """Return the rate an hour that items come to, money rounded to so many places a line.

    Half away from zero. Raises: NoRate for a percentage of an unknown item or of itself, and where
    there are no hours.
    """
    money = _money(items, places)
    built = tuple(BuiltItem(each, money.get(each.item), _hours(each)) for each in items)
    cost = sum((each.money for each in built if each.money is not None), Decimal(0))
    hours = sum((each.hours for each in built if each.hours is not None), Decimal(0))
    if hours <= 0:
        raise NoRate("no_hours")
    rate = to_places(Fraction(cost) / Fraction(hours), rate_places)
    return BuiltRate(built, cost, hours, rate, _leave(items))


def _money(items: Sequence[Item], places: int) -> dict[str, Decimal]:
    amounts: dict[str, Decimal] = {}
    waiting = [each for each in items if _is_money(each)]
    names = {each.item for each in waiting}
    for each in waiting:
        if missing := [name for name in each.of if name not in names]:
            raise NoRate("of_unknown", missing[0])
    while waiting:
        ready = [each for each in waiting if all(name in amounts for name in each.of)]
        if not ready:
            raise NoRate("of_itself", waiting[0].item)
        for each in ready:
            amounts[each.item] = to_places(_value(each, amounts), places)
        waiting = [each for each in waiting if each.item not in amounts]
    return amounts


def _is_money(each: Item) -> bool:
    return each.kind == "cost" or (each.kind == "leave" and each.amount is not None)


def _value(each: Item, amounts: dict[str, Decimal]) -> Fraction:
    if each.of:
        base = Fraction(sum((amounts[name] for name in each.of), Decimal(0)))
    else:
        base = Fraction(each.amount or 0) - Fraction(each.less or 0)
    quantity = Fraction(1) if each.quantity is None else Fraction(each.quantity)
    share = Fraction(1) if each.percent is None else Fraction(each.percent) / 100
    return base * quantity * share * _times(each)


def _hours(each: Item) -> Decimal | None:
    """Return the hours that a line adds; leave that is in the cost is time not worked already."""
    if each.quantity is None:
        return None
    if each.kind == "hours":
        return each.quantity * _times(each)
    if each.kind == "leave" and each.amount is None:
        return -each.quantity * _times(each)
    return None


def _times(each: Item) -> int:
    return PERIODS[each.per] if each.per else 1


def _leave(items: Sequence[Item]) -> Leave:
    in_cost = any(each.kind == "leave" and each.amount is not None for each in items)
    out = any(each.kind == "leave" and each.amount is None for each in items)
    if in_cost and out:
        return "both"
    return "in_cost" if in_cost else "out_of_hours" if out else "none"
