"""Provisional sums of a contract: what changes spend of them, and what is left."""

import json
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from ledger.domain.pricing import NOTHING, YardPriceLine


@dataclass(frozen=True)
class ProvisionalSum:
    """A sum in the contract for work not yet settled; hours and package where they are named."""

    name: str
    amount: Decimal
    hours_ms: int | None = None
    package: str | None = None


def provisional_sums(text: str | None) -> dict[str, ProvisionalSum]:
    """Return the sums that stand in a job's row, by name."""
    rows = json.loads(text or "[]")
    sums = [
        ProvisionalSum(
            each["name"], Decimal(each["amount"]), each.get("hours_ms"), each.get("package")
        )
        for each in rows
    ]
    return {each.name: each for each in sums}


@dataclass(frozen=True)
class SumSpent:
    """A provisional sum: its amount and what changes have omitted of it."""

    name: str
    amount: Decimal
    omitted: Decimal

    @property
    def left(self) -> Decimal:
        return self.amount - self.omitted


def sums_spent(
    sums: Iterable[ProvisionalSum], lines: Iterable[YardPriceLine]
) -> tuple[SumSpent, ...]:
    """Return each sum with what the lines of counted prices omit of it."""
    omitted: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for line in lines:
        omitted[line.description] -= line.amount
    return tuple(SumSpent(each.name, each.amount, omitted[each.name]) for each in sums)


def omission_lines(
    spent: Mapping[str, Decimal], left: Mapping[str, Decimal]
) -> tuple[YardPriceLine, ...]:
    """Return a line of a price for each provisional sum that it spends.

    As much is omitted as is spent, at most what is left; the rest is an addition. Nothing is
    omitted where less than nothing is spent.
    """
    return tuple(
        YardPriceLine(
            "provisional_sum",
            name,
            trade="",
            hours_ms=None,
            quantity=None,
            unit="",
            unit_price=None,
            amount=-min(amount, left.get(name, NOTHING)),
            beyond_sum=max(NOTHING, amount - left.get(name, NOTHING)),
        )
        for name, amount in spent.items()
        if amount > 0
    )
