"""What is owed of invoices: paid, deducted, in dispute, and how long it is due.

Amounts have two places, with tax. The bands of days are common practice, no source.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.pricing import NOTHING

DEDUCTION_KINDS = ("set_off", "delay_damages", "bank_charge", "tax_withheld", "discount")
# The last day that each band takes, counted from the due date; the last one takes the rest.
BANDS = {"not_due": 0, "1_30": 30, "31_60": 60, "61_90": 90, "over_90": None}
# What is invoiced and held back by the contract, until it is released.
RETENTION = "retention"
NOT_OVERDUE = frozenset({"not_due", RETENTION})


@dataclass(frozen=True)
class Payment:
    """Something paid of an invoice, and what was taken off it; below 0 it was paid back."""

    number: int
    invoice: str
    day: date
    amount: Decimal
    deducted: Decimal = NOTHING
    deduction_kind: str = ""
    accepted: bool = False
    reference: str = ""
    reason: str = ""


@dataclass(frozen=True)
class Held:
    """What is held back of an invoice, until the day of its release; None while it is unknown."""

    amount: Decimal
    released_on: date | None = None


@dataclass(frozen=True)
class InvoiceBalance:
    """How an invoice stands: what is credited, paid and taken off it.

    `held` is retention that the invoice bears: the earliest released first. A payment goes to what
    is not held before it goes to that.
    """

    document: str
    issued_on: date
    due_on: date | None
    currency: str
    invoiced: Decimal
    credited: Decimal = NOTHING
    payments: tuple[Payment, ...] = ()
    held: tuple[Held, ...] = ()

    @property
    def paid(self) -> Decimal:
        """Return what was paid, less what was paid back."""
        return sum((each.amount for each in self.payments), NOTHING)

    @property
    def accepted(self) -> Decimal:
        """Return what was deducted and accepted: it is owed no longer."""
        return sum((each.deducted for each in self.payments if each.accepted), NOTHING)

    @property
    def outstanding(self) -> Decimal:
        """Return what is owed still; below 0 too much was paid."""
        return self.invoiced - self.credited - self.paid - self.accepted

    @property
    def disputed(self) -> Decimal:
        """Return what of it was deducted and not accepted."""
        deducted = (each.deducted for each in self.payments if not each.accepted)
        return min(max(NOTHING, self.outstanding), sum(deducted, NOTHING))

    @property
    def due(self) -> date:
        """Return when what is not held is due: an invoice without a due date, at its issue."""
        return self.due_on or self.issued_on

    def days_overdue(self, day: date) -> int:
        """Return for how many days it is due: what is not held, or the part released longest.

        Nothing of one that is paid or credited in full, or on which too much was paid, is overdue.
        """
        if self.outstanding <= 0 or self.is_held(day):
            return 0
        due_on = next(due for due, amount in self._open(day) if due and amount)
        return max(0, (day - due_on).days)

    def is_held(self, day: date) -> bool:
        """Whether all that is owed of it is held back."""
        return self.outstanding > 0 and self.retained(day) == self.outstanding

    def retained(self, day: date) -> Decimal:
        """Return what of it is owed and held back still."""
        return sum((amount for due, amount in self._open(day) if due is None), NOTHING)

    def by_band(self, day: date) -> Iterator["Aged"]:
        """Yield what is owed of it by band; what is disputed is of what is due longest."""
        disputed = self.disputed
        for due, amount in self._open(day):
            of_it = min(disputed, max(NOTHING, amount))
            disputed -= of_it
            yield Aged(RETENTION if due is None else _band((day - due).days), amount, of_it)

    def _open(self, day: date) -> list[tuple[date | None, Decimal]]:
        """Return what is owed of it by when it is due; None while it is held."""
        left, held = self.outstanding, []
        for each in reversed(self.held):
            amount = min(max(NOTHING, left), each.amount)
            left -= amount
            released = each.released_on
            is_due = released is not None and released <= day
            held.append((max(self.due, released) if released and is_due else None, amount))
        return [(self.due, left), *reversed(held)]


def _band(days: int) -> str:
    return next(name for name, last in BANDS.items() if last is None or days <= last)


@dataclass(frozen=True)
class Aged:
    """What is outstanding in a band of days, and what of that is in dispute."""

    band: str
    outstanding: Decimal = NOTHING
    disputed: Decimal = NOTHING


def overdue(bands: Iterable[Aged]) -> Decimal:
    """Return what is due and unpaid of what is outstanding; 0 where too much was paid."""
    due = (each.outstanding for each in bands if each.band not in NOT_OVERDUE)
    return max(NOTHING, sum(due, NOTHING))


def aged(balances: Iterable[InvoiceBalance], day: date) -> tuple[Aged, ...]:
    """Return what is outstanding by band of days, and what is held back; they add to all of it.

    All bands are there, retention only where any is held back.
    """
    bands = {band: Aged(band) for band in BANDS}
    for balance in balances:
        for each in balance.by_band(day):
            if each.band in bands or each.outstanding:
                before = bands.get(each.band, Aged(each.band))
                outstanding = before.outstanding + each.outstanding
                bands[each.band] = Aged(each.band, outstanding, before.disputed + each.disputed)
    return tuple(bands.values())
