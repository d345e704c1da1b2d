"""What a document for the owner may hold: of each kind its view model.

These types are all that a document can show. They have no field for what work costs the yard, for
what anybody earns, for who worked, for other jobs or for what the yard writes for itself.

Durations are whole milliseconds, amounts are decimals already rounded in the job's currency.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.pricing import PriceLine
from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class Head:
    """Who writes to whom, about which job, and which document it is.

    `number` is empty of a draft; `currency` is an ISO 4217 code.
    """

    kind: str
    number: str
    issued_on: date
    prepared_by: str
    yard: Yard
    job: str
    job_title: str
    owner: str
    currency: str
    contract_date: date
    known_at: StampShown
    rehearsal: bool

    @property
    def is_draft(self) -> bool:
        return not self.number


@dataclass(frozen=True)
class ChangeHead:
    """The change that a document is about, as it was written for the owner."""

    change: str
    title: str
    description: str
    change_basis: str
    origin: str


@dataclass(frozen=True)
class Offer:
    """A price by its lines, and the days with it.

    `days` is None where the effect on the completion date is reserved: of an approved price until
    the `days_requested` are decided. `estimated` says that it is daywork, valued on actual hours;
    `capped` that it must not be exceeded; `rough` that it cannot be accepted as it stands;
    `agreed` that it is approved. `owner_texts` are what the price rests on and leaves out.
    """

    revision: int
    lines: tuple[PriceLine, ...]
    price: Decimal
    days: int | None
    estimated: bool
    rough: bool
    owner_texts: tuple[str, ...]
    capped: bool = False
    agreed: bool = False
    planned_start: date | None = None
    planned_finish: date | None = None
    days_requested: int | None = None
    days_decided: bool = False

    def __post_init__(self) -> None:
        assert sum(line.amount for line in self.lines) == self.price


@dataclass(frozen=True)
class Quotation:
    """A price offered for a change, and until when."""

    head: Head
    change: ChangeHead
    offer: Offer
    valid_until: date | None


@dataclass(frozen=True)
class Approval:
    """When a change was approved, and by which letter or mail."""

    day: date
    reference: str


@dataclass(frozen=True)
class SumsMoved:
    """The contract sum before a change and with it.

    `agreed_since` is what daywork agreed since the approval moves it by against its estimate, by
    `agreed_value` where a value was agreed, else by sheets.
    """

    before: Decimal
    after: Decimal
    agreed_since: Decimal = Decimal("0.00")
    agreed_value: Decimal | None = None


@dataclass(frozen=True)
class CompletionMoved:
    """The contract's completion date: as agreed, with the days granted, and with those asked for.

    None where the contract names no day, or it is not known.
    """

    agreed: date | None
    granted_days: int
    before: date | None
    after: date | None


@dataclass(frozen=True)
class VariationOrder:
    """A change to the contract, to be signed; proposed until it is approved."""

    head: Head
    change: ChangeHead
    offer: Offer
    approval: Approval | None
    sums: SumsMoved
    completion: CompletionMoved

    def __post_init__(self) -> None:
        moved = self.offer.price + self.sums.agreed_since
        assert self.sums.before + moved == self.sums.after


@dataclass(frozen=True)
class InstructionConfirmation:
    """What was ordered by word of mouth, written down on the day.

    `counts_from` is the day from which the contract takes it for confirmed where nobody denies it;
    `is_listed` says that who gave it may instruct changes.
    """

    head: Head
    change: ChangeHead
    given_by: str
    given_on: date
    reference: str
    is_listed: bool
    counts_from: date | None
    offer: Offer | None
    texts: tuple[str, ...]


@dataclass(frozen=True)
class DecisionRequest:
    """A question that the owner has to answer by a day, with the price offered if there is one."""

    head: Head
    change: ChangeHead
    needed_by: date | None
    instructed: bool
    offer: Offer | None
    valid_until: date | None
    texts: tuple[str, ...]


@dataclass(frozen=True)
class NoticeShown:
    """An event that may cost time, money or both, and since when the yard knows of it."""

    head: Head
    change: ChangeHead
    aware_on: date
    effect: str
    offer: Offer | None
    texts: tuple[str, ...]


@dataclass(frozen=True)
class WorkedRow:
    """Hours of one of those at work on a day, by trade, told apart by a number of this sheet."""

    day: date
    number: int
    trade: str
    worked_ms: int


@dataclass(frozen=True)
class UsedRow:
    """Material, plant or subcontract used on a day."""

    day: date
    item_kind: str
    description: str
    quantity: Decimal
    unit: str
    reference: str


@dataclass(frozen=True)
class DayworkSheet:
    """Daywork of some days, to be signed: agreed, or for record only."""

    head: Head
    change: ChangeHead
    day_from: date
    day_to: date
    mark: str
    worked: tuple[WorkedRow, ...]
    used: tuple[UsedRow, ...]
