"""Why a job's labour cost differs from what its work earned, by trade."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from ledger.baseline.postings import standard_rate
from ledger.domain.labour_variances import (
    TradeLabour,
    Variances,
    labour_variances,
    variances_of_all,
)
from ledger.errors import Refused
from ledger.performance.actuals import NON_PRODUCTIVE, Booked
from ledger.performance.basis import Scope
from ledger.performance.cells import Cell
from ledger.performance.measure import Measured
from ledger.store.book import Book


@dataclass(frozen=True)
class LabourVariances:
    """The trades of a job with their variances, in the order of their names, and the sums.

    `without_rate` are trades without budget and without a standard rate: what they were paid stands
    for it, so that they show no rate variance. `has_premium` where the yard pays overtime premium.
    """

    job: str
    status_date: date
    labour: list[TradeLabour]
    variances: list[Variances]
    total: Variances
    without_rate: list[str]
    has_premium: bool = False


class _Sums:
    """What a trade earned, worked, idled and was paid: ms, and ms x 1/10000."""

    def __init__(self) -> None:
        self.earned = self.earned_cost = self.budget = self.budget_cost = 0
        self.worked = self.idle = self.paid = self.premium = 0

    def add(self, hours: Cell, cost: Cell) -> None:
        self.earned, self.earned_cost = self.earned + hours.ev, self.earned_cost + cost.ev
        self.budget, self.budget_cost = self.budget + hours.bac, self.budget_cost + cost.bac
        self.paid += cost.ac
        if hours.kind == NON_PRODUCTIVE:
            self.idle += hours.ac
        else:
            self.worked += hours.ac

    def take_out(self, only: Booked) -> None:
        """Take out hours that are only a premium: nobody worked them beside the others."""
        if only.part == NON_PRODUCTIVE:
            self.idle -= only.ms
        else:
            self.worked -= only.ms

    @property
    def rate(self) -> Fraction | None:
        """The standard rate: of what was earned, else of the budget."""
        if self.earned:
            return Fraction(self.earned_cost, self.earned)
        return Fraction(self.budget_cost, self.budget) if self.budget else None

    @property
    def paid_rate(self) -> Fraction:
        hours = self.worked + self.idle
        return Fraction(self.paid, hours) if hours else Fraction()


def labour_variances_of(book: Book, job: str, status_date: date) -> LabourVariances:
    """Return the variances of a job's labour cost by trade.

    Standard hours are those earned, by the trade planned; the others are by trade worked. Raises:
    Refused while cost is undefined.
    """
    hours, cost = (Measured(book, job, Scope(status_date, unit)) for unit in ("hours", "cost"))
    if cost.undefined_cost:
        raise Refused("cost_undefined", job=job, why=cost.undefined_cost)
    sums = _by_trade(hours, cost)
    labour, without = [], []
    for name, trade in sorted(sums.items()):
        rate = trade.rate
        if rate is None and (standing := standard_rate(book, name, status_date)) is not None:
            rate = Fraction(standing)
        if rate is None:
            without.append(name)
        amounts = (trade.earned, trade.worked, trade.idle)
        standard = trade.paid_rate if rate is None else rate
        labour.append(TradeLabour(name, *amounts, standard, trade.paid, trade.premium))
    variances = labour_variances(labour)
    whole = variances_of_all(variances)
    return LabourVariances(job, status_date, labour, variances, whole, without, cost.has_premium)


def _by_trade(hours: Measured, cost: Measured) -> dict[str, _Sums]:
    sums: dict[str, _Sums] = defaultdict(_Sums)
    for key, cell in hours.cells.items():
        if cell.trade is not None:
            sums[cell.trade].add(cell, cost.cells[key])
    for only in cost.actuals.only_premium:
        if only.trade is not None and not cost.left_out(only.part):
            sums[only.trade].take_out(only)
    for premium in cost.premium:
        if premium.trade is not None:
            sums[premium.trade].premium += premium.amount
    listed = sums.items()
    return {name: each for name, each in listed if each.earned or each.paid or each.premium}
