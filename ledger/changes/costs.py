"""What the lines of a change cost the yard: hours at cost rates, the rest as it is typed."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.changes.prices import PriceList
from ledger.changes.rows import KnownPriceLine
from ledger.domain.pricing import (
    NOTHING,
    ChargeRate,
    Labour,
    NoChargeRate,
    PriceLine,
    charge_on,
    hours_at,
    money_of,
)
from ledger.store.book import Book


class NoCostRate(ValueError):
    """A trade has no cost rate on the day."""


class CostRates:
    """The standard cost rates of trades and grades; a worker's own rate is of no trade."""

    def __init__(self, book: Book) -> None:
        self.rates: dict[Labour, list[ChargeRate]] = defaultdict(list)
        for trade, grade, start, rate in book.rows("changes/cost_rates"):
            self.rates[trade, grade].append(ChargeRate(start, rate))

    def on(self, labour: Labour, day: date) -> int:
        """Return the rate of a trade and grade on a day in 1/10000. Raises: NoCostRate."""
        try:
            return charge_on(self.rates, labour, day)
        except NoChargeRate:
            raise NoCostRate(f"{labour[0]} has no cost rate on {day}") from None


@dataclass
class Costs:
    """What a change costs by price kind, signed; what its omissions give away with the hours.

    A trade without a cost rate leaves the cost undefined, which `missing` says.
    """

    by_kind: dict[str, Decimal] = field(default_factory=dict)
    missing: tuple[str, ...] = ()

    @property
    def total(self) -> Decimal | None:
        return None if self.missing else sum(self.by_kind.values(), NOTHING)


def costs_of(
    prices: PriceList, rates: CostRates, rows: Iterable[KnownPriceLine], day: date
) -> Costs:
    """Return what lines cost: labour at the rates of a day, the rest before any addition."""
    by_kind: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    missing: dict[str, None] = {}
    for row in rows:
        kind = row["price_kind"]
        if kind == "addition":
            continue
        if row["ms"] is None or kind != "labour":
            quantity, unit_price = row["quantity"], row["unit_price"]
            assert quantity is not None
            assert unit_price is not None
            by_kind[kind] += money_of(Fraction(quantity) * Fraction(unit_price))
            continue
        for trade, ms in prices.shares(row):
            try:
                by_kind[kind] += money_of(hours_at(ms, rates.on((trade, row["grade"]), day)))
            except NoCostRate as error:
                missing[str(error)] = None
    return Costs(dict(by_kind), tuple(missing))


def profit_omitted(lines: Sequence[PriceLine], rates: CostRates, day: date) -> Decimal | None:
    """Return what omitted hours are priced at less what they cost: profit given away with them.

    None where a trade has no cost rate; 0 where no hours are taken out, or none are charged.
    """
    omitted = [line for line in lines if line.hours_ms is not None and line.hours_ms < 0]
    profit = NOTHING
    for line in omitted:
        if line.unit_price is None:
            continue
        try:
            rate = rates.on((line.trade, line.grade or None), day)
        except NoCostRate:
            return None
        profit += money_of(hours_at(line.hours_ms or 0, rate)) - line.amount
    return profit
