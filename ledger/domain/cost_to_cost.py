"""Work in progress by cost to cost: what is earned of a price by what was spent of the cost.

Amounts have two places. Source: the input method of IFRS 15 (B18, B19, illustrative example 19) and
ASC 606-10-25-31, 606-10-55-20; an expected loss is taken at once (IAS 37.66, ASC 605-35-25-45).
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.pricing import NOTHING, money_of


@dataclass(frozen=True)
class CostRow:
    """What was spent of a kind of cost on a day, and what was said of it that day, if anything."""

    kind: str
    day: date
    amount: Decimal
    to_come: Decimal | None = None
    uninstalled: Decimal | None = None


@dataclass(frozen=True)
class KindCost:
    """What a kind of cost came to by a day: spent, still to come, and not installed of it."""

    kind: str
    spent: Decimal
    to_come: Decimal
    uninstalled: Decimal


def by_kind(rows: Iterable[CostRow]) -> list[KindCost]:
    """Return costs by kind from rows in the order of their days.

    What is spent after a forecast is taken from it, down to 0: it is spent then and forecast then,
    and never below what is spent now. What is not installed is as it was said last.
    """
    costs: dict[str, KindCost] = {}
    for row in rows:
        before = costs.get(row.kind) or KindCost(row.kind, NOTHING, NOTHING, NOTHING)
        # Below 0 while more is spent than was forecast: what is paid back counts against that.
        left = before.to_come - row.amount if row.to_come is None else row.to_come
        uninstalled = before.uninstalled if row.uninstalled is None else row.uninstalled
        costs[row.kind] = KindCost(row.kind, before.spent + row.amount, left, uninstalled)
    return [
        replace(costs[kind], to_come=max(NOTHING, costs[kind].to_come)) for kind in sorted(costs)
    ]


@dataclass(frozen=True)
class WorkInProgress:
    """What a job has earned by a day, against what was billed of it.

    `price` is agreed, and has nothing of changes that are not approved. `unapproved` is what these
    cost: spent at once, in no measure, and without revenue.
    """

    price: Decimal
    labour: Decimal
    labour_to_come: Decimal
    costs: tuple[KindCost, ...]
    unapproved: Decimal = NOTHING
    billed: Decimal = NOTHING

    @property
    def other(self) -> Decimal:
        """Return what was spent beside labour."""
        return sum((each.spent for each in self.costs), NOTHING)

    @property
    def uninstalled(self) -> Decimal:
        """Return what was bought and is not installed."""
        return sum((each.uninstalled for each in self.costs), NOTHING)

    @property
    def cost_to_date(self) -> Decimal:
        """Return what was spent on the work of the price."""
        return self.labour + self.other

    @property
    def cost_to_come(self) -> Decimal:
        """Return what is forecast to be spent still."""
        return sum((each.to_come for each in self.costs), self.labour_to_come)

    @property
    def cost_total(self) -> Decimal:
        """Return what the work of the price is expected to cost."""
        return self.cost_to_date + self.cost_to_come

    @property
    def is_measured(self) -> bool:
        """Whether there is a cost to measure by: it is above what is not installed."""
        return self.cost_total > self.uninstalled

    @property
    def share(self) -> Fraction:
        """Return the share of the cost that is spent, 0 to 1, without what is not installed."""
        spent = Fraction(self.cost_to_date - self.uninstalled)
        return spent / Fraction(self.cost_total - self.uninstalled)

    @property
    def revenue(self) -> Decimal:
        """Return what is earned: its share of the price, what is not installed at its cost."""
        return money_of(self.share * Fraction(self.price - self.uninstalled)) + self.uninstalled

    @property
    def expected_profit(self) -> Decimal:
        """Return what the price leaves of its cost in the end; a loss is below 0."""
        return self.price - self.cost_total

    @property
    def loss_to_come(self) -> Decimal:
        """Return what of an expected loss is not in revenue less cost yet, and is taken at once."""
        if self.expected_profit >= 0:
            return NOTHING
        return max(NOTHING, self.revenue - self.cost_to_date - self.expected_profit)

    @property
    def profit(self) -> Decimal:
        """Return the profit to date, less an expected loss and what changes not approved cost."""
        return self.revenue - self.cost_to_date - self.loss_to_come - self.unapproved

    @property
    def under_billed(self) -> Decimal:
        """Return what is earned and not billed."""
        return max(NOTHING, self.revenue - self.billed)

    @property
    def over_billed(self) -> Decimal:
        """Return what is billed and not earned."""
        return max(NOTHING, self.billed - self.revenue)
