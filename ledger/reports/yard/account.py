"""The account of a job on paper: what it may hold, and that it adds up.

It has no field for what work costs the yard, for anybody's pay or for other jobs. Amounts have two
places; up to what is certified without tax, from what is invoiced with tax.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.receivables import Aged
from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class Named:
    """An amount by its name."""

    name: str
    amount: Decimal


@dataclass(frozen=True)
class InvoiceRow:
    """How an invoice stands; `days` it is overdue."""

    document: str
    issued_on: date
    due_on: date | None
    invoiced: Decimal
    credited: Decimal
    paid: Decimal
    deducted: Decimal
    outstanding: Decimal
    disputed: Decimal
    days: int


@dataclass(frozen=True)
class MoveRow:
    """What moved what is outstanding, and the balance after it."""

    day: date
    entry: str
    document: str
    reference: str
    amount: Decimal
    balance: Decimal


@dataclass(frozen=True)
class RetentionRow:
    """What is kept of what a claim certified, released and held."""

    claim: int
    day: date
    value: Decimal
    kept: Decimal
    released: Decimal
    held: Decimal


@dataclass(frozen=True)
class DisallowedRow:
    """What was claimed and not certified, with the reason on the certificate."""

    item: str
    why: str
    amount: Decimal


@dataclass(frozen=True)
class AccountPage:
    """The account of one job on a day."""

    yard: Yard
    job: str
    title: str
    owner: str
    currency: str
    day: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    net: tuple[Named, ...]
    taxed: tuple[Named, ...]
    invoices: tuple[InvoiceRow, ...]
    aged: tuple[Aged, ...]
    moves: tuple[MoveRow, ...]
    retention: tuple[RetentionRow, ...]
    disallowed: tuple[DisallowedRow, ...]

    def __post_init__(self) -> None:
        outstanding = self.outstanding
        assert sum(each.outstanding for each in self.invoices) == outstanding
        assert sum(each.outstanding for each in self.aged) == outstanding
        assert sum(each.amount for each in self.moves) == outstanding

    @property
    def outstanding(self) -> Decimal:
        """Return what is owed still, with tax."""
        return next(each.amount for each in self.taxed if each.name == "outstanding")
