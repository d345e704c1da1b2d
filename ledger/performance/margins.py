"""What the yard keeps of each change: its price less what it will have cost. For the yard only."""

from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from ledger.changes.costs import CostRates, Costs, costs_of
from ledger.changes.rows import KnownPriceLine
from ledger.changes.standing import Standing
from ledger.domain.pricing import NOTHING, money_of
from ledger.domain.quoting import Margin
from ledger.errors import Refused
from ledger.outcomes import Reason
from ledger.performance.basis import Scope
from ledger.performance.change_list import ListedChanges, anticipated
from ledger.performance.measure import Measured
from ledger.performance.report import UNIT

# Of these, unless they were instructed, no price is earned.
ENDED = frozenset({"declined", "withdrawn"})


class Margins:
    """The margins of a job's changes on a day; the rates are read once one is asked for."""

    def __init__(self, listed: ListedChanges) -> None:
        self.listed = listed

    @cached_property
    def measured(self) -> Measured:
        """Return the job measured in labour cost."""
        listed = self.listed
        return Measured(listed.book, listed.job, Scope(listed.day, "cost"))

    @cached_property
    def _rates(self) -> CostRates:
        return CostRates(self.listed.book)

    @property
    def undefined(self) -> Reason | None:
        """Return why labour cost is not defined, and so no margin is; None when it is."""
        return self.measured.undefined_cost

    def of(self, standing: Standing) -> Margin | None:
        """Return the price of a change and what it will have cost, two places each.

        The price is that of the list before provisional sums are omitted; nothing once it is
        declined or withdrawn and not instructed. The cost is labour as anticipated, of a price that
        waits at least as priced, less what omitted hours would have cost, and all else as typed: of
        daywork the items used, or the estimate where that is more and the work goes on. None while
        nothing is priced or worked, or where a rate is missing.
        """
        if self.undefined:
            return None
        labour = self._labour(standing)
        if labour is None or (standing.revision is None and not labour):
            return None
        try:
            price = self._price(standing)
        except Refused:  # The list says why it has no amount.
            return None
        others = self._others(standing)
        return None if others is None else Margin(price, labour + others)

    def _labour(self, standing: Standing) -> Decimal | None:
        cost = anticipated(self.measured, standing.change.code)
        labour = money_of(Fraction(cost, UNIT["cost"]))
        waits = standing.price_state not in ENDED and not standing.instructed
        if standing.approved or not waits:
            return labour
        priced = self._costs([row for row in standing.lines if _adds_hours(row)]).total
        return None if priced is None else max(labour, priced)

    def _price(self, standing: Standing) -> Decimal:
        if standing.price_state in ENDED and not standing.instructed:
            return NOTHING
        omitted = sum((line.amount for line in standing.sums_omitted), NOTHING)
        return (standing.amount or NOTHING) - omitted

    def _others(self, standing: Standing) -> Decimal | None:
        """Return what all but the hours added costs; omitted hours are below zero."""
        if standing.price_state in ENDED and not standing.instructed:
            return NOTHING
        typed = self._costs([row for row in standing.lines if not _adds_hours(row)])
        if standing.basis != "daywork" or typed.total is None:
            return typed.total
        used = standing.known.daywork.prime_cost(standing.change.code)
        if standing.state.complete:
            return used
        return max(used, typed.total)

    def _costs(self, rows: list[KnownPriceLine]) -> Costs:
        return costs_of(self.listed.known.prices, self._rates, rows, self.listed.day)


def _adds_hours(row: KnownPriceLine) -> bool:
    return row["price_kind"] == "labour" and row["ms"] is not None and row["ms"] >= 0
