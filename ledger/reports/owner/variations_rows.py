"""What the owner's statement of variations may hold: its rows, and all of them as one.

These types are all that an owner's page can show. They have no field for what work costs the yard,
for what anybody earns, for other jobs or for what the yard writes for itself.

Durations are whole milliseconds, amounts are decimals already rounded in the job's currency.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.contracts import FIXED_PRICE
from ledger.domain.pricing import PriceLine
from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class Job:
    """One build under one contract; `currency` is an ISO 4217 code.

    `amended_on` is the day of the contract sum in force, None when it is the one signed.
    """

    code: str
    title: str
    owner: str
    currency: str
    contract_date: date
    contract_basis: str = FIXED_PRICE
    amended_on: date | None = None


@dataclass(frozen=True)
class CompletionDates:
    """When the contract has to be complete: as signed, and with the days granted since.

    None where the contract names no day, or where the days lead beyond the job's calendar.
    """

    original: date | None
    days_granted: int
    revised: date | None


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
    `state_on` is the day its state began. `estimated` marks daywork, which stands at its estimate
    until its value is agreed and is then its price; `capped` that it was approved not to exceed
    its estimate. `instructed_by` is who gave an instruction that awaits confirmation;
    `days_decided` says that days were granted apart from the price, `days_open` that those asked
    for with an approved price are neither granted nor refused.
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
    capped: bool = False
    instructed_by: str = ""
    days_decided: bool = False
    days_open: bool = False

    @property
    def is_ordered(self) -> bool:
        """Whether its price is counted in the anticipated final sum: instructed, not approved.

        The instruction stands until it is stopped, whatever becomes of the price.
        """
        return self.instruction == "instructed" and self.state != "approved"

    @property
    def open_matter(self) -> str:
        """What of it is open besides a decision on a price, "" for nothing."""
        if self.state == "approved" or self.change_basis == "no_charge":
            return ""
        if self.state in {"disputed", "counter_offer"}:
            return self.state
        if self.instruction == "awaiting":
            return "confirmation_awaited"
        if self.instruction == "stopped":
            return "stopped" if self.price is None else "stopped_with_price"
        if self.instruction == "instructed" and self.price is None:
            return "no_price"
        closed = self.state in {"lapsed", "declined", "withdrawn"}
        return self.state if closed and self.is_ordered else ""


@dataclass(frozen=True)
class AwaitingRow:
    """A submitted price that waits for the owner's decision.

    `planned_start` is the first day its lines plan work for; `days` what it asks for. `complete`
    says that the work is done, `rough` that the price is too rough to be approved.
    """

    change: str
    title: str
    submitted_on: date
    valid_until: date | None
    decision_needed_by: date | None
    instructed: bool
    hours_ms: int
    price: Decimal
    days: int | None = None
    planned_start: date | None = None
    complete: bool = False
    rough: bool = False


@dataclass(frozen=True)
class OpenMatter:
    """Something about a change that is not settled, and since when.

    Hours and amount are those of the price last sent. `indicative` says that they are hours worked
    at contract rates instead, for want of a price; the amount is None where a trade has no rate.
    """

    change: str
    title: str
    matter: str
    since: date | None
    hours_ms: int | None
    amount: Decimal | None
    indicative: bool = False


@dataclass(frozen=True)
class HistoryRow:
    """Something that happened to a change: on which day, and to which of its prices.

    `revision` and `price` are None where the event is not about a price sent to the owner;
    `days` are those granted by an approval, or offered in a counter-offer.
    """

    event: str
    day: date
    revision: int | None
    price: Decimal | None
    reference: str
    valid_until: date | None = None
    days: int | None = None


@dataclass(frozen=True)
class DayworkDetail:
    """What daywork comes to by its sheets: agreed, and what is left of its estimate.

    `lines` are what agreed sheets have, at what the owner pays; `above_cap` of them is agreed and
    not charged. `taken_out` is what its price omits, not above zero. Hours on `recorded_on` are
    recorded and not agreed. What is agreed before its price is stands in no sum (`in_sum`).
    """

    agreed_on: tuple[str, ...]
    agreed_ms: int
    agreed: Decimal
    rest: Decimal
    taken_out: Decimal = Decimal("0.00")
    lines: tuple[PriceLine, ...] = ()
    above_cap: Decimal = Decimal("0.00")
    recorded_on: tuple[str, ...] = ()
    recorded_ms: int = 0
    in_sum: bool = True

    @property
    def price(self) -> Decimal:
        """Return its place in the adjusted sum."""
        return self.agreed + self.rest + self.taken_out


@dataclass(frozen=True)
class ChangeDetail:
    """What one change is, how its price is made up, and what was decided on it.

    `lines` are those of `revision`, the price shown for it; both are empty before a price was
    sent. `worked_ms` is the time booked to it, None where the contract does not show it. A value
    agreed for daywork, and perhaps its hours, stands in place of the price made up by the lines
    but for what is omitted of provisional sums. `owner_texts` are what the price rests on and
    leaves out, as written for the owner. Of daywork `not_agreed` is what was worked and used to
    date and no sheet agrees, at contract rates; `cap` is what an approval lets it come to at most.
    """

    change: str
    description: str
    origin: str
    requested_on: date
    decision_needed_by: date | None
    days_requested: int | None
    revision: int | None
    worked_ms: int | None
    lines: tuple[PriceLine, ...]
    history: tuple[HistoryRow, ...]
    agreed_value: Decimal | None = None
    agreed_ms: int | None = None
    daywork: DayworkDetail | None = None
    owner_texts: tuple[str, ...] = ()
    not_agreed: tuple[PriceLine, ...] = ()
    cap: Decimal | None = None


@dataclass(frozen=True)
class NotChargedRow:
    """Hours above the estimate that the owner does not pay, by reason, signed."""

    step: str
    hours_ms: int


@dataclass(frozen=True)
class MovedChange:
    """A change that is new, or stands otherwise than in the statement before.

    `before` is as it was listed there, None when it was not.
    """

    before: ChangeRow | None
    now: ChangeRow


@dataclass(frozen=True)
class MovedSince:
    """What moved since the last statement: its day, its figures, and the changes that differ.

    The figures are those of that statement. A change that it listed and this one does not is named
    in `no_longer_listed`. `hours` are its steps, where both show how the hours run.
    """

    status_date: date
    adjusted_contract_sum: Decimal
    anticipated_final_sum: Decimal
    awaiting: Decimal
    days_granted: int
    changes: tuple[MovedChange, ...]
    no_longer_listed: tuple[str, ...] = ()
    hours: tuple[HoursRow, ...] = ()


@dataclass(frozen=True)
class Statement:
    """Everything the statement says, in the order of its pages.

    Without `headline` the owner is not shown how the hours run: `hours` are then those of approved
    changes alone and `not_charged` is empty. `details` has one for each of `changes`, in its order.
    `unspent` is what of the omissions is provisional sums that the final account omits, signed.
    `remade_by` is the command that makes the same again.
    """

    yard: Yard
    job: Job
    status_date: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    completion: CompletionDates
    headline: Headline | None
    hours: tuple[HoursRow, ...]
    sums: tuple[SumRow, ...]
    changes: tuple[ChangeRow, ...]
    details: tuple[ChangeDetail, ...]
    awaiting: tuple[AwaitingRow, ...]
    open_matters: tuple[OpenMatter, ...]
    not_charged: tuple[NotChargedRow, ...]
    how_to_read: tuple[str, ...]
    caution: str
    number: str | None = None
    issued_on: date | None = None
    prepared_by: str | None = None
    moved: MovedSince | None = None
    unspent: Decimal = Decimal("0.00")
