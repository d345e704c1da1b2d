"""Sheets for one week, a worker each, to be filled in: what they may hold.

They lie about on benches: no field for cost, charge, pay or hours already booked.
"""

from dataclasses import dataclass
from datetime import date

from ledger.reports.identity import StampShown, Yard

ALL = "all"  # Sheets of every worker.


@dataclass(frozen=True)
class WeekDay:
    """A day of the week; `mark` is "" on a working day, else off or holiday."""

    day: date
    mark: str


@dataclass(frozen=True)
class Code:
    """A booking code with what it is for; `job` is "" of the yard's own codes.

    `group` is work, non_productive, overhead or absence.
    """

    code: str
    title: str
    job: str = ""
    group: str = "work"


@dataclass(frozen=True)
class WorkerSheet:
    """One worker's sheet: the codes of the last weeks as rows, and all that may be written.

    `name` is "" once it is erased.
    """

    worker_id: str
    name: str
    trade: str
    rows: tuple[Code, ...]
    codes: tuple[Code, ...]


@dataclass(frozen=True)
class WeekSheets:
    """The sheets of a week, of the jobs that go on in it."""

    yard: Yard
    jobs: tuple[str, ...]
    days: tuple[WeekDay, ...]
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    sheets: tuple[WorkerSheet, ...]

    def __post_init__(self) -> None:
        """Raises: AssertionError unless the days are one week, each once and in order."""
        numbers = [each.day.toordinal() for each in self.days]
        assert numbers == list(range(numbers[0], numbers[0] + 7)), "a week has seven days"
