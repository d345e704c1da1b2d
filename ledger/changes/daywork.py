"""Hours worked on changes at contract rates, and daywork worked above its estimate."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from ledger.changes.prices import NOTHING, PriceList
from ledger.changes.standing import Known, Standing
from ledger.domain.pricing import Labour, NoChargeRate, charge_on, labour_price
from ledger.store.book import Book


@dataclass
class WorkedHours:
    """Time worked on a change by trade and contract rate of the day worked, rework left out."""

    ms: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    rated: dict[tuple[str, int], int] = field(default_factory=lambda: defaultdict(int))
    unrated: set[str] = field(default_factory=set)

    def add(self, prices: PriceList, labour: Labour, day: date, ms: int) -> None:
        trade, _ = labour
        self.ms[trade] += ms
        try:
            self.rated[trade, charge_on(prices.rates, labour, day)] += ms
        except NoChargeRate:
            self.unrated.add(trade)

    def value(self, trade: str) -> Decimal | None:
        """Return what a trade's hours come to, rounded once a rate; None where it has no rate."""
        if trade in self.unrated:
            return None
        own = [labour_price(ms, rate) for (each, rate), ms in self.rated.items() if each == trade]
        return sum(own, NOTHING)


def worked_hours(book: Book, job: str, known: Known) -> dict[str, WorkedHours]:
    """Return the time worked on each change of a job by the day."""
    worked: dict[str, WorkedHours] = defaultdict(WorkedHours)
    given = {"job": job, "status_date": known.day}
    for change, trade, grade, day, ms in book.rows("owner/worked_trades", **given):
        worked[change].add(known.prices, (trade, grade), day, int(ms))
    return worked


def unsigned(standing: Standing, worked: WorkedHours) -> tuple[int, Decimal | None] | None:
    """Return the ms and value of daywork above its estimate, by trade, whose value is not agreed.

    No daywork sheet is signed in this version, so the estimate is all that stands in the sum. The
    value is None where a trade has no rate; None at all where there is nothing unsigned.
    """
    if not standing.approved or not standing.estimated or standing.capped:
        return None
    hours: dict[str, int] = defaultdict(int)
    amounts: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for line in standing.price_lines:
        if line.hours_ms is not None and line.hours_ms > 0:
            hours[line.trade] += line.hours_ms
            amounts[line.trade] += line.amount
    over_ms = sum(max(0, ms - hours[trade]) for trade, ms in worked.ms.items())
    values = [(worked.value(trade), amounts[trade]) for trade in worked.ms]
    over = added_up([None if v is None else max(NOTHING, v - amount) for v, amount in values])
    return (over_ms, over) if over_ms or over else None


def added_up(amounts: list[Decimal | None]) -> Decimal | None:
    """Return the sum, None where one of them is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known, NOTHING) if len(known) == len(amounts) else None
