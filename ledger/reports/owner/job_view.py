"""A job on one page for its owner: the statement as it stands, and the account beside it.

The types have no field for what work costs the yard, for what anybody earns or for other jobs.
Amounts have two places.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.pricing import NOTHING
from ledger.reports.identity import StampShown
from ledger.reports.owner.variations import OwnerVariations


@dataclass(frozen=True)
class InvoiceStands:
    """How an invoice stands, with tax; `days` it is overdue."""

    document: str
    issued_on: date
    due_on: date | None
    invoiced: Decimal
    credited: Decimal
    paid: Decimal
    deducted: Decimal
    outstanding: Decimal
    days: int


@dataclass(frozen=True)
class JobAccount:
    """What is claimed and certified, without tax, and what is invoiced and owed, with tax.

    `claimed_value` is the value to date that the last claim asks for, to the day `claimed_to`;
    `certified_value` is the value certified, `held_back` the retention on it.
    """

    claimed_to: date | None
    claimed_value: Decimal
    certified_value: Decimal
    held_back: Decimal
    invoiced_to_date: Decimal
    credited_to_date: Decimal
    paid_to_date: Decimal
    deductions_accepted: Decimal
    outstanding: Decimal
    overdue: Decimal
    disputed: Decimal
    invoices: tuple[InvoiceStands, ...]

    def __post_init__(self) -> None:
        taken_off = self.credited_to_date + self.paid_to_date + self.deductions_accepted
        assert self.invoiced_to_date - taken_off == self.outstanding
        assert sum((each.outstanding for each in self.invoices), NOTHING) == self.outstanding


@dataclass(frozen=True)
class OwnerJob:
    """The statement of a job, which is not issued, and its account on the same day."""

    statement: OwnerVariations
    account: JobAccount

    @property
    def known_at(self) -> StampShown:
        return self.statement.known_at

    @property
    def remade_by(self) -> str:
        return self.statement.remade_by
