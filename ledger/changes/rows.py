"""What the book has of changes, row by row: requests, price lines and events.

Each is a row of a query, the yard's own or the owner's; `tests/house/test_rows.py` compares them.
"""

from datetime import date
from decimal import Decimal
from typing import NotRequired, TypedDict


class KnownRequest(TypedDict):
    """The request of a change as it counts, and who may instruct and approve it, as JSON."""

    change: str
    title: str
    requested_by: str | None
    requested_on: date
    change_basis: str
    origin: str
    description: str | None
    decision_needed_by: date | None
    days_requested: int | None
    authority: str | None
    silence_confirms_days: int | None


class KnownPriceLine(TypedDict):
    """A price line of a revision as it was typed."""

    change: str
    revision: int
    position: int
    price_kind: str
    description: str | None
    trade: str | None
    grade: str | None
    ms: int | None
    quantity: Decimal | None
    unit: str | None
    unit_price: Decimal | None
    work_package: str | None
    planned_start: date | None
    planned_finish: date | None
    technique: str | None
    addition_percent: Decimal | None
    addition_on: str | None
    addition_of: str | None
    addition_method: str | None
    provisional_sum: str | None
    owner_text: str | None


class KnownEvent(TypedDict):
    """An event of a change; conditions and notes are the yard's alone."""

    change: str
    event: str
    day: date
    revision: int
    person: str | None
    reference: str | None
    valid_until: date | None
    rough: bool | None
    not_to_exceed: bool | None
    days_granted: int | None
    agreed_value: Decimal | None
    agreed_ms: int | None
    days_requested: int | None
    received_on: date | None
    document: str | None
    aware_on: NotRequired[date | None]
    condition: NotRequired[str | None]
    note: NotRequired[str | None]
    first_batch: int


class KnownDayworkSheet(TypedDict):
    """A daywork sheet that was marked: agreed, or witnessed alone."""

    change: str
    daywork_sheet: str
    day_from: date
    day_to: date
    agreed_on: date
    mark: str


class KnownDayworkCell(TypedDict):
    """The hours of a worker's day by trade that a daywork sheet covers."""

    change: str
    daywork_sheet: str
    mark: str
    first_batch: int
    worker_day: int
    cell: int
    day: date
    trade: str | None
    grade: str | None
    ms_marked: Decimal
    ms_now: Decimal
    agreed_ms: int | None


class KnownDayworkItem(TypedDict):
    """Material, plant or subcontract used on daywork."""

    change: str
    number: int
    day: date
    cost_kind: str
    description: str | None
    quantity: Decimal
    unit: str | None
    unit_cost: Decimal
    reference: str | None


class KnownItemMarked(TypedDict):
    """What a daywork sheet covers of an item."""

    change: str
    daywork_sheet: str
    mark: str
    number: int
    cost_kind: str
    quantity_marked: Decimal
    quantity_now: Decimal
    unit_cost_marked: Decimal
    unit_cost_now: Decimal
    agreed_quantity: Decimal | None
