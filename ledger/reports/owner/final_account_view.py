"""What a final account for the owner to sign may hold.

The types have no field for what work costs the yard, for what anybody earns or for other jobs.
Amounts have two places, in the job's currency, without tax; what is taken out is below zero.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.pricing import NOTHING
from ledger.reports.owner.document_views import Head


@dataclass(frozen=True)
class SumUnspent:
    """A provisional sum, and what of it no change spent: it is omitted."""

    name: str
    amount: Decimal
    omitted: Decimal


@dataclass(frozen=True)
class ChangeSettled:
    """An approved change: what it adds, takes out, and as daywork moves against its estimate."""

    change: str
    title: str
    added: Decimal
    omitted: Decimal
    daywork: Decimal

    @property
    def amount(self) -> Decimal:
        """Return what it moves the sum by."""
        return self.added + self.omitted + self.daywork


@dataclass(frozen=True)
class Reserved:
    """What is not settled by the account: a change or a part of the contract, and why it is open.

    `title` is empty of what is no change.
    """

    item: str
    title: str
    matter: str


@dataclass(frozen=True)
class FinalAccountLetter:
    """The final account of a job to a day, before it is agreed.

    `amended_on` is the day of the contract sum in force, None when it is the one signed.
    """

    head: Head
    day_to: date
    contract_sum: Decimal
    amended_on: date | None
    unspent: tuple[SumUnspent, ...]
    changes: tuple[ChangeSettled, ...]
    final_sum: Decimal
    reserved: tuple[Reserved, ...]

    def __post_init__(self) -> None:
        moved = (each.amount for each in self.changes)
        unspent = (each.omitted for each in self.unspent)
        assert self.contract_sum + sum(moved, NOTHING) + sum(unspent, NOTHING) == self.final_sum
