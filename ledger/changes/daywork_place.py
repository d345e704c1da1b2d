"""The estimate of daywork as its price has it, by trade and kind."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from ledger.changes.prices import NOTHING
from ledger.domain.daywork import Estimate
from ledger.domain.pricing import PriceLine


def estimate_of(lines: Iterable[PriceLine]) -> Estimate:
    """Return what a price estimates daywork at; what it takes out stays apart."""
    hours: dict[str, int] = defaultdict(int)
    labour: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    items: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    omitted = NOTHING
    for line in lines:
        if line.amount < 0 or (line.hours_ms or 0) < 0:
            omitted += line.amount
        elif line.hours_ms is not None:
            hours[line.trade] += line.hours_ms
            labour[line.trade] += line.amount
        else:
            items[line.price_kind] += line.amount
    return Estimate(dict(hours), dict(labour), dict(items), omitted)
