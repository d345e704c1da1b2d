"""The owner's statement of variations and open requests: what it may hold, and that it adds up.

These types are all that an owner's page can show. They have no field for what work costs the yard,
for what anybody earns, for other jobs or for what the yard writes for itself.

Durations are whole milliseconds, amounts are decimals already rounded in the job's currency.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.reports.owner_variations_check import disagreements


@dataclass(frozen=True)
class Yard:
    """The party that builds, as on its letters."""

    name: str
    address_lines: tuple[str, ...]


@dataclass(frozen=True)
class Job:
    """One build under one contract; `currency` is an ISO 4217 code."""

    code: str
    title: str
    owner: str
    currency: str
    contract_date: date


@dataclass(frozen=True)
class Stamp:
    """The batch that everything shown was known at: its number and its head in hex."""

    sequence: int
    head: str


@dataclass(frozen=True)
class Headline:
    """How the hours differ from the estimate, who asked for it and who pays for it, signed.

    paid + not charged + undecided = more than estimated. Asked for is a count of its own.
    """

    more_than_estimated_ms: int
    asked_for_ms: int
    paid_ms: int
    not_charged_ms: int
    undecided_ms: int


@dataclass(frozen=True)
class HoursRow:
    """A step from the original estimate to the anticipated final hours, signed."""

    step: str
    hours_ms: int


@dataclass(frozen=True)
class SumRow:
    """A step from the contract sum to the anticipated final sum, signed."""

    step: str
    amount: Decimal


@dataclass(frozen=True)
class ChangeRow:
    """One change as the owner may see it.

    `hours_ms` is net of what the change takes out. Hours, price and days are as approved, else as
    last submitted, and None before that; days are those granted, else those requested.
    `state_on` is the day its state began. `estimated` marks daywork whose value is not agreed yet.
    """

    change: str
    title: str
    state: str
    state_on: date | None
    instruction: str
    change_basis: str
    estimated: bool
    hours_ms: int | None
    price: Decimal | None
    days: int | None


@dataclass(frozen=True)
class AwaitingRow:
    """A submitted price that waits for the owner's decision."""

    change: str
    title: str
    submitted_on: date
    valid_until: date | None
    decision_needed_by: date | None
    instructed: bool
    hours_ms: int
    price: Decimal


@dataclass(frozen=True)
class NotChargedRow:
    """Hours above the estimate that the owner does not pay, by reason, signed."""

    step: str
    hours_ms: int


@dataclass(frozen=True)
class OwnerVariations:
    """Everything the statement says, in the order of its pages.

    Without `headline` the owner is not shown how the hours run: `hours` then ends at the adjusted
    estimate and `not_charged` is empty. `remade_by` is the command that makes the same again.
    """

    yard: Yard
    job: Job
    status_date: date
    known_at: Stamp
    remade_by: str
    rehearsal: bool
    headline: Headline | None
    hours: tuple[HoursRow, ...]
    sums: tuple[SumRow, ...]
    changes: tuple[ChangeRow, ...]
    awaiting: tuple[AwaitingRow, ...]
    not_charged: tuple[NotChargedRow, ...]
    how_to_read: tuple[str, ...]
    caution: str

    def __post_init__(self) -> None:
        found = list(disagreements(self))
        assert not found, "; ".join(found)
