"""The estimate of daywork as its price has it, by trade and kind."""

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal

from ledger.changes.prices import NOTHING
from ledger.domain.allocation import allocated
from ledger.domain.daywork import Estimate
from ledger.domain.pricing import PriceLine

Key = tuple[str, str]  # Labour and its trade, or an item and its kind.

ADDITION = "addition"


def estimate_of(lines: Sequence[PriceLine]) -> Estimate:
    """Return what a price estimates daywork at; what it takes out stays apart.

    Additions that are lines of their own are shared over what they stand beside.
    """
    hours: dict[str, int] = defaultdict(int)
    amounts: dict[Key, Decimal] = defaultdict(lambda: NOTHING)
    added = [line for line in lines if line.amount >= 0 and (line.hours_ms or 0) >= 0]
    for line in added:
        if line.hours_ms is not None:
            hours[line.trade] += line.hours_ms
            amounts["labour", line.trade] += line.amount
        elif line.price_kind != ADDITION:
            amounts["item", line.price_kind] += line.amount
    extra = sum((line.amount for line in added if line.price_kind == ADDITION), NOTHING)
    shared = _with_share(dict(amounts), extra)
    labour = {name: amount for (what, name), amount in shared.items() if what == "labour"}
    items = {name: amount for (what, name), amount in shared.items() if what == "item"}
    omitted = sum((line.amount for line in lines if line not in added), NOTHING)
    return Estimate(dict(hours), labour, items, omitted)


def _with_share(amounts: dict[Key, Decimal], extra: Decimal) -> dict[Key, Decimal]:
    """Return amounts with an extra one shared over them in proportion, to the cent."""
    if not extra:
        return amounts
    if not amounts:
        return {("item", ADDITION): extra}
    cents = [int(amount.scaleb(2)) for amount in amounts.values()]
    shares = allocated(int(extra.scaleb(2)), cents)
    return {
        key: amount + Decimal(share).scaleb(-2)
        for (key, amount), share in zip(amounts.items(), shares, strict=True)
    }
