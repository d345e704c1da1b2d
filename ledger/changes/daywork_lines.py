"""Daywork line by line at what the owner pays: hours at contract rates, items at prime cost."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import NOTHING, PriceList
from ledger.changes.rows import KnownDayworkItem
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.daywork import Done
from ledger.domain.pricing import Labour, NoChargeRate, PriceLine, charge_on, labour_price

RATE_PLACES = 4
# A rate with its percentage is shown if it is exact in so many places.
SHOWN_PLACES = 6


@dataclass
class WorkedHours:
    """Time on a change by trade, grade and contract rate of the day worked, rework left out.

    A grade is one that has a contract rate of its own: any other is the yard's affair.
    """

    ms: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    rated: dict[tuple[str, str | None, int], int] = field(default_factory=lambda: defaultdict(int))
    unrated: dict[str, str] = field(default_factory=dict)

    def add(
        self, prices: PriceList, labour: Labour, day: date, ms: int, agreed_in: int | None = None
    ) -> None:
        """Add time of a day; what was agreed in a batch keeps the rates recorded by then."""
        trade, grade = labour
        self.ms[trade] += ms
        own = any(rate.effective_from <= day for rate in prices.rates.get(labour, ()))
        try:
            rate = charge_on(prices.rates, labour, day, agreed_in)
            self.rated[trade, grade if own else None, rate] += ms
        except NoChargeRate as error:
            self.unrated[trade] = str(error)

    def less(self, agreed: "WorkedHours") -> "WorkedHours":
        """Return what is left without agreed time, taken from each trade at its own rate first."""
        left = dict(self.rated)
        over: dict[str, int] = defaultdict(int)
        for (trade, grade, rate), ms in agreed.rated.items():
            taken = min(ms, left.get((trade, grade, rate), 0))
            if taken:
                left[trade, grade, rate] -= taken
            over[trade] += ms - taken
        for trade, grade, rate in sorted(left, key=str):
            taken = min(over[trade], left[trade, grade, rate])
            left[trade, grade, rate] -= taken
            over[trade] -= taken
        return WorkedHours(rated=left)

    def value(self, trade: str) -> Decimal | None:
        """Return what a trade's hours come to, rounded once a rate; None where it has no rate."""
        if trade in self.unrated:
            return None
        own = (
            labour_price(ms, rate) for (each, _, rate), ms in self.rated.items() if each == trade
        )
        return sum(own, NOTHING)

    def daywork_value(self, trade: str, terms: DayworkTerms) -> Decimal | None:
        """Return what a trade's hours come to as daywork; None where it has no rate."""
        if trade in self.unrated:
            return None
        own = (line.amount for line in self.daywork_lines(terms) if line.trade == trade)
        return sum(own, NOTHING)

    def daywork_lines(self, terms: DayworkTerms) -> list[PriceLine]:
        """Return a line for each trade, grade and rate, with its percentage.

        Hours are rounded to two places, and the amount once from them.
        """
        return [
            hours_line(labour, Decimal(rate).scaleb(-RATE_PLACES), ms, terms)
            for (*labour, rate), ms in sorted(self.rated.items(), key=str)
            if ms
        ]


def hours_line(
    labour: Sequence[str | None], rate: Decimal, ms: int, terms: DayworkTerms
) -> PriceLine:
    """Return hours of a trade and grade at a rate, at what the owner pays."""
    trade, grade = labour
    return PriceLine(
        "labour",
        "",
        trade or "",
        hours_ms=ms,
        quantity=None,
        unit="",
        unit_price=_with_percent(rate, "labour", terms),
        amount=terms.charged("labour", Fraction(hours_of(ms)) * Fraction(rate)),
        grade=grade or "",
    )


def item_line(
    record: KnownDayworkItem, at: Sequence[tuple[Decimal, Decimal]], terms: DayworkTerms
) -> PriceLine:
    """Return quantities of an item, each at its unit cost, at what the owner pays for them."""
    kind, costs = record["cost_kind"], {unit_cost for _, unit_cost in at}
    cost = sum((Fraction(quantity) * Fraction(unit_cost) for quantity, unit_cost in at), Fraction())
    return PriceLine(
        kind,
        record["description"] or "",
        "",
        hours_ms=None,
        quantity=sum((quantity for quantity, _ in at), Decimal(0)),
        unit=record["unit"] or "",
        unit_price=_with_percent(costs.pop(), kind, terms) if len(costs) == 1 else None,
        amount=terms.charged(kind, cost),
    )


def _with_percent(unit_cost: Decimal, kind: str, terms: DayworkTerms) -> Decimal | None:
    """Return what the owner pays for a unit; None where it has no end, as cost / 0.75 may."""
    exact = terms.with_percent(kind, Fraction(unit_cost))
    rounded = to_places(exact, SHOWN_PLACES)
    return rounded if Fraction(rounded) == exact else None


def valued(hours: WorkedHours, items: Sequence[PriceLine], terms: DayworkTerms) -> Done:
    """Return what hours and items come to by trade and by kind."""
    of_kind: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for line in items:
        of_kind[line.price_kind] += line.amount
    labour = {trade: hours.daywork_value(trade, terms) for trade in hours.ms}
    return Done(dict(hours.ms), labour, dict(of_kind))


def added_up(amounts: list[Decimal | None]) -> Decimal | None:
    """Return the sum, None where one of them is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known, NOTHING) if len(known) == len(amounts) else None
