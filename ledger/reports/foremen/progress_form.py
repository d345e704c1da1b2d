"""The form for the foremen's round: what is open, and where it stood when it was measured last.

It has no field for hours, cost, charge or pay: progress is what is seen on the work, and a percent
that is worked out from hours says nothing.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class FormRow:
    """One thing to be measured: a package, one of its trades ("" for all), or its next milestone.

    `percent`, `quantity_done`, `started` and `last_measured` are those of the last measurement by
    the status date, None before there was any. `quantity` is what there is to do in all.
    `changed_by` is what changed the size of the work since a percent was measured: the percent is
    then what stands now. `counted_since` is the day from which it is measured in the way of the
    row, where nobody has done so on that day yet, and `percent` then what stood until then.
    """

    code: str
    title: str
    account: str
    trade: str
    technique: str
    planned_start: date | None
    planned_finish: date | None
    last_measured: date | None = None
    percent: Decimal | None = None
    quantity_done: Decimal | None = None
    quantity: Decimal | None = None
    unit: str = ""
    started: date | None = None
    milestone: str = ""
    changed_by: str = ""
    counted_since: date | None = None
    is_first: bool = True  # Of the rows of one package.


@dataclass(frozen=True)
class NotListed:
    """An open package that nobody measures on a round, and why."""

    code: str
    title: str
    why: str


@dataclass(frozen=True)
class ProgressForm:
    """The form of one job, to be filled in by what is seen up to a day."""

    yard: Yard
    job: str
    title: str
    status_date: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    rows: tuple[FormRow, ...]
    not_listed: tuple[NotListed, ...]
