"""What came of the rows of a small file."""

from dataclasses import dataclass
from datetime import date

from ledger.baseline.baseline_changes import BudgetBalance, ReplannedParts
from ledger.baseline.replan_guards import PlannedByDay
from ledger.errors import Fault, Refused
from ledger.outcomes import Outcome
from ledger.tables.small_tables import RowsLeftOut, TotalUnchecked


@dataclass(frozen=True)
class FileLoaded(Outcome):
    """A file that was read: what came of its rows, and what of it was left out.

    `slips` are what was taken as it is and may be wrong, each with its place. Only of a file read
    by a layout: rows that are no line, and totals that could not be compared.
    """

    file: str
    outcomes: tuple[Outcome, ...]
    unknown_columns: tuple[str, ...] = ()
    tabs_left_out: tuple[str, ...] = ()
    slips: tuple[Fault, ...] = ()
    rows_left_out: tuple[RowsLeftOut, ...] = ()
    totals_unchecked: tuple[TotalUnchecked, ...] = ()


@dataclass(frozen=True)
class FormRowsBlank(Outcome):
    """So many rows of a progress form with nothing filled in."""

    count: int


@dataclass(frozen=True)
class FieldChange:
    """A field that a row gives another value than it had; blank is None."""

    name: str
    before: object
    after: object


@dataclass(frozen=True)
class RowChange:
    """A row that takes the place of the one of its key."""

    key: tuple[object, ...]
    fields: tuple[FieldChange, ...]


@dataclass(frozen=True)
class RowsLoaded(Outcome):
    """Rows of a fact table, by their key: new, changed, or in the book as they are."""

    table: str
    new: int
    changed: tuple[RowChange, ...]
    as_before: int


@dataclass(frozen=True)
class RowsAddedUp(Outcome):
    """Rows of a file that were added up into lines of payroll: the lines' keys, each with its rows.

    `ms` is what a line comes to.
    """

    sums: tuple["SumOfRows", ...]


@dataclass(frozen=True)
class SumOfRows:
    """A line of payroll, the numbers of the rows that were added up into it, and its time."""

    key: tuple[object, ...]
    rows: tuple[str, ...]
    ms: int


@dataclass(frozen=True)
class Strangers(Outcome):
    """Workers, or suppliers, of a file that the crew does not have."""

    what: str
    names: tuple[str, ...]


@dataclass(frozen=True)
class EmploymentBlank(Outcome):
    """Workers of a crew file with a supplier and no employment: they count as paid by payroll."""

    workers: tuple[str, ...]


@dataclass(frozen=True)
class WholesLoaded(Outcome):
    """Rules, revisions or events of a fact table: new or changed, or in the book as they are."""

    table: str
    changed: int
    as_before: int


@dataclass(frozen=True)
class RuleAstray(Outcome):
    """A rule, on a line of its file, that books to what is no code of any job yet."""

    line: int
    rule: str
    booked_to: str


@dataclass(frozen=True)
class BudgetsRated(Outcome):
    """Budgets frozen or approved without a rate that took theirs."""

    count: int


@dataclass(frozen=True)
class OwnerSees(Outcome):
    """Whether the owner's pages show how all hours of the job run, or those of changes alone."""

    overrun: bool


@dataclass(frozen=True)
class EstimateLoaded(Outcome):
    """A whole estimate, with its budget in ms; `as_before` when it is in the book already."""

    packages: int
    budget_ms: int
    as_before: bool


@dataclass(frozen=True)
class KeyDateAstray(Outcome):
    """A key date of the job that names what is not in its estimate."""

    name: str
    code: str


@dataclass(frozen=True)
class SumAstray(Outcome):
    """A provisional sum of the job that names a package which is not in its estimate."""

    name: str
    code: str


@dataclass(frozen=True)
class BaselineChangesLoaded(Outcome):
    """Named baseline changes of a file, and how many of them are new."""

    new: int
    count: int


@dataclass(frozen=True)
class BaselineKept(Outcome):
    """What stands in the budgets before and after a baseline change; the whole is the same.

    `replanned` is what was loaded under its name.
    """

    name: str
    before: BudgetBalance
    after: BudgetBalance
    replanned: ReplannedParts


@dataclass(frozen=True)
class PackagesReplanned(Outcome):
    """Packages that a baseline change replans, new or changed, of those in the file.

    While the change is not recorded they wait for it. `planned` is what moves in the plan by its
    day.
    """

    name: str
    packages: tuple[str, ...]
    count: int
    is_recorded: bool
    planned: tuple[PlannedByDay, ...]


@dataclass(frozen=True)
class CalendarReplanned(Outcome):
    """The calendar of a frozen job under a baseline change, and the keys that it changes.

    `replanned` is what it moves, None while the change is not recorded. Without a key nothing is
    new.
    """

    name: str
    keys: tuple[str, ...]
    replanned: ReplannedParts | None


@dataclass(frozen=True)
class ApprovalInDoubt(Outcome):
    """An approval, and what it lacks by the job's list: each as it is refused when entered."""

    change: str
    lacks: tuple[Refused, ...]


@dataclass(frozen=True)
class InstructionAwaits(Outcome):
    """An instruction of somebody not listed, or above the limit; who may confirm it.

    `counts_from` is the day from which silence confirms it, where the contract says so.
    """

    change: str
    person: str | None
    listed: tuple[str, ...]
    counts_from: date | None


@dataclass(frozen=True)
class Reworded(Outcome):
    """A change with a new wording since it was sent to the owner, and the day it shows from."""

    change: str
    is_approved: bool
    shown_from: date


@dataclass(frozen=True)
class SheetMarked(Outcome):
    """A daywork sheet that was marked, by hours in ms: agreed or witnessed, and struck off.

    `late_ms` was booked into its days after it was marked, and is not on it; `items` is how many
    are.
    """

    change: str
    daywork_sheet: str
    mark: str
    taken_ms: int
    struck_ms: int
    late_ms: int
    items: int
