"""The list of a job's booking codes: what it may hold, and that it adds up.

It hangs on a wall: it has no field for cost, charge, pay or a worker. Durations are whole
milliseconds.
"""

from dataclasses import dataclass
from datetime import date

from ledger.reports.identity import StampShown, Yard

# Hours may be booked to what stands so.
OPEN = frozenset({"open", "approved", "instructed"})


@dataclass(frozen=True)
class CodeRow:
    """A package or a change: hours planned (None: no price yet) and booked, and where it stands.

    `account` is a package's control account; `change_basis` is a change's and "" of a package.
    """

    code: str
    title: str
    booked_ms: int
    standing: str
    budget_ms: int | None = None
    account: str = ""
    trades: tuple[str, ...] = ()
    planned_start: date | None = None
    planned_finish: date | None = None
    since: date | None = None
    change_basis: str = ""

    @property
    def is_open(self) -> bool:
        return self.standing in OPEN

    @property
    def left_ms(self) -> int | None:
        """What is planned less what is booked, below zero when over."""
        return None if self.budget_ms is None else self.budget_ms - self.booked_ms


@dataclass(frozen=True)
class Cause:
    """A code for non-productive time; `group` is non_productive, overhead or absence."""

    code: str
    cause: str
    group: str


@dataclass(frozen=True)
class CodeList:
    """The booking codes of one job by a day.

    `job_booked_ms` is all that was booked in the job: to codes that take hours, to codes that take
    none any more, and the time lost or not assigned, `elsewhere_ms`.
    """

    yard: Yard
    job: str
    title: str
    status_date: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    is_frozen: bool
    packages: tuple[CodeRow, ...]
    changes: tuple[CodeRow, ...]
    causes: tuple[Cause, ...]
    elsewhere_ms: int
    job_booked_ms: int

    def __post_init__(self) -> None:
        """Raises: AssertionError when the parts are not all that was booked in the job."""
        booked_ms = sum(row.booked_ms for row in (*self.packages, *self.changes))
        assert booked_ms + self.elsewhere_ms == self.job_booked_ms, "booked hours do not add up"

    @property
    def open_packages(self) -> tuple[CodeRow, ...]:
        return tuple(row for row in self.packages if row.is_open)

    @property
    def open_changes(self) -> tuple[CodeRow, ...]:
        return tuple(row for row in self.changes if row.is_open)

    @property
    def closed(self) -> tuple[CodeRow, ...]:
        """What takes no hours: finished, stopped, kept back or not ordered."""
        return tuple(row for row in (*self.packages, *self.changes) if not row.is_open)
