"""Hours paid beside hours booked on paper: what the report may hold, and that it adds up.

Durations are whole milliseconds; it has no field for pay in money.
"""

from dataclasses import dataclass
from datetime import date

from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class DifferenceReason:
    """A reason with its part of a difference, signed as paid less booked."""

    reason: str
    ms: int


@dataclass(frozen=True)
class Signed:
    """Who signed a row off as it stands, by handle and name, and when; a reason waives it."""

    by: str
    name: str
    on: date
    reason: str


@dataclass(frozen=True)
class PaidRow:
    """Hours paid and booked of a worker, or of a supplier's people together.

    `worker_id` is empty of a supplier's row; `beside_clock_ms` is booked on the days that the clock
    has. Within the reasons, `owed_ms` is named and open: below 0 it was booked and passed over by
    pay, above 0 it was paid without a sheet; `waiting_ms` may be in the next pay. `is_signed` says
    that what was signed holds.
    """

    worker_id: str
    name: str
    supplier: str
    period_start: date
    period_end: date
    kind: str
    against: str
    paid_ms: int
    booked_ms: int
    clocked_ms: int | None
    beside_clock_ms: int | None
    reasons: tuple[DifferenceReason, ...]
    unexplained_ms: int
    owed_ms: int
    waiting_ms: int
    is_settled: bool
    is_signed: bool
    signed: Signed | None

    def __post_init__(self) -> None:
        explained = sum(each.ms for each in self.reasons)
        assert self.difference_ms == explained + self.unexplained_ms, "a row does not add up"

    @property
    def difference_ms(self) -> int:
        """Return hours paid less hours booked."""
        return self.paid_ms - self.booked_ms

    @property
    def is_waived(self) -> bool:
        """Return whether somebody let the row pass with a reason."""
        return self.signed is not None and bool(self.signed.reason)


@dataclass(frozen=True)
class Banked:
    """What a worker has in a bank of hours; below 0 they owe."""

    worker_id: str
    name: str
    ms: int


@dataclass(frozen=True)
class NoteShown:
    """A note on a difference; `is_used` says whether it belongs to a row of the report."""

    party: str
    period_start: date
    period_end: date
    kind: str
    reason: str
    ms: int
    note: str
    is_used: bool


@dataclass(frozen=True)
class Reconciliation:
    """Hours paid beside hours booked in the periods that end from a day to another.

    `changed` are rows of periods closed before that differ since, and are open or wait for pay.
    """

    yard: Yard
    start: date
    end: date
    closed_to: date | None
    tolerance_minutes: int
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    rows: tuple[PaidRow, ...]
    changed: tuple[PaidRow, ...]
    banked: tuple[Banked, ...]
    notes: tuple[NoteShown, ...]
