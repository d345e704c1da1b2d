"""What is open between owner and yard besides a decision on a price sent."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from ledger.changes.prices import NOTHING, PriceList
from ledger.domain.pricing import Labour, NoChargeRate, charge_on, labour_price
from ledger.reports.owner.changes import Shown, change_row
from ledger.reports.owner.variations_rows import ChangeRow, OpenMatter
from ledger.store.book import Book

WORKED = {"stopped", "no_price"}  # Valued by the hours worked: no price holds for what was done.


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


def open_matters(book: Book, job: str, shown: list[Shown]) -> tuple[OpenMatter, ...]:
    """Return what is open on a day, in the order of the changes."""
    if not shown:
        return ()
    known = shown[0].known
    worked: dict[str, WorkedHours] = defaultdict(WorkedHours)
    given = {"job": job, "status_date": known.day}
    for change, trade, grade, day, ms in book.rows("owner/worked_trades", **given):
        worked[change].add(known.prices, (trade, grade), day, int(ms))
    return tuple(
        matter
        for each in shown
        for matter in (*_of_price(each, worked), *_unsigned(each, worked[each.change.code]))
    )


def _of_price(shown: Shown, worked: dict[str, WorkedHours]) -> Iterator[OpenMatter]:
    row = change_row(shown)
    if not row.open_matter:
        return
    since = _since(shown, row)
    if row.open_matter not in WORKED:
        yield OpenMatter(row.change, row.title, row.open_matter, since, row.hours_ms, row.price)
        return
    of_change = worked[row.change]
    amount = added_up([of_change.value(trade) for trade in of_change.ms])
    hours_ms = sum(of_change.ms.values())
    matter = row.open_matter
    yield OpenMatter(row.change, row.title, matter, since, hours_ms, amount, indicative=True)


def _since(shown: Shown, row: ChangeRow) -> date | None:
    stopped = dict.fromkeys(("stopped", "stopped_with_price"), shown.state.stopped_on)
    dates = {**stopped, "no_price": shown.state.instructed_on}
    return dates.get(row.open_matter, row.state_on)


def _unsigned(shown: Shown, worked: WorkedHours) -> Iterator[OpenMatter]:
    """Yield daywork done above its estimate, trade by trade, whose value is not agreed.

    No daywork sheet is signed in this version, so the estimate is all that stands in the sum.
    """
    row = change_row(shown)
    if not shown.approved or not row.estimated or row.capped or shown.revision is None:
        return
    hours: dict[str, int] = defaultdict(int)
    amounts: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for line in shown.known.prices.lines(shown.change, shown.state, shown.revision):
        if line.hours_ms is not None and line.hours_ms > 0:
            hours[line.trade] += line.hours_ms
            amounts[line.trade] += line.amount
    over_ms = sum(max(0, ms - hours[trade]) for trade, ms in worked.ms.items())
    values = [(worked.value(trade), amounts[trade]) for trade in worked.ms]
    over = added_up([None if v is None else max(NOTHING, v - amount) for v, amount in values])
    if over_ms or over:
        unsigned = "daywork_unsigned"
        yield OpenMatter(row.change, row.title, unsigned, None, over_ms, over, indicative=True)


def added_up(amounts: list[Decimal | None]) -> Decimal | None:
    """Return the sum, None where one of them is not known."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known, NOTHING) if len(known) == len(amounts) else None
