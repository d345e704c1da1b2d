"""The hours behind the daywork of a claim: what the appendix may hold, and that it adds up.

It goes to the owner with a claim: it has no field for a name, pay, cost or another job. Durations
are whole milliseconds.
"""

from dataclasses import dataclass
from datetime import date

from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class BackupLine:
    """Hours of a day that a claim took up of an entry; below 0 they are given back.

    `worker` is their number on the daywork sheet that was agreed, without one that of the change.
    """

    day: date
    change: str
    worker: int
    trade: str
    ms: int
    daywork_sheet: str


@dataclass(frozen=True)
class BackupSum:
    """The hours of a change in the claim, in how many lines."""

    change: str
    title: str
    ms: int
    lines: int


@dataclass(frozen=True)
class DayworkBackup:
    """The hours behind the daywork of the n-th claim of a job."""

    yard: Yard
    job: str
    title: str
    owner: str
    claim: int
    document: str
    day_to: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    sums: tuple[BackupSum, ...]
    lines: tuple[BackupLine, ...]

    def __post_init__(self) -> None:
        assert sum(each.ms for each in self.sums) == sum(line.ms for line in self.lines)
        assert sum(each.lines for each in self.sums) == len(self.lines)

    @property
    def ms(self) -> int:
        """Return all hours of it."""
        return sum(each.ms for each in self.sums)
