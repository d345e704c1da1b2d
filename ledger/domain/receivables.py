"""What is owed of invoices: paid, deducted, in dispute, and how long it is due.

Amounts have two places, with tax. The bands of days are common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.pricing import NOTHING

DEDUCTION_KINDS = ("set_off", "delay_damages", "bank_charge", "tax_withheld", "discount")
# The last day that each band takes, counted from the due date; the last one takes the rest.
BANDS = {"not_due": 0, "1_30": 30, "31_60": 60, "61_90": 90, "over_90": None}


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
class Balance:
    """How an invoice stands: what is credited, paid and taken off it."""

    document: str
    issued_on: date
    due_on: date | None
    currency: str
    invoiced: Decimal
    credited: Decimal = NOTHING
    payments: tuple[Payment, ...] = ()

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

    def days_overdue(self, day: date) -> int:
        """Return for how many days it is due; an invoice without a due date, since its issue."""
        return max(0, (day - (self.due_on or self.issued_on)).days)

    def band(self, day: date) -> str:
        """Return the band of days that it is in."""
        days = self.days_overdue(day)
        return next(name for name, last in BANDS.items() if last is None or days <= last)


@dataclass(frozen=True)
class Aged:
    """What is outstanding in a band of days, and what of that is in dispute."""

    band: str
    outstanding: Decimal = NOTHING
    disputed: Decimal = NOTHING


def aged(balances: Iterable[Balance], day: date) -> tuple[Aged, ...]:
    """Return what is outstanding by band of days, all bands; they add to what is outstanding."""
    found = {band: Aged(band) for band in BANDS}
    for each in balances:
        band = found[each.band(day)]
        outstanding, disputed = band.outstanding + each.outstanding, band.disputed + each.disputed
        found[band.band] = Aged(band.band, outstanding, disputed)
    return tuple(found.values())
