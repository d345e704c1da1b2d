"""All jobs of a yard on one page: what the page holds. Durations are whole milliseconds."""

from dataclasses import dataclass
from datetime import date

from ledger.reports.identity import StampShown, Yard
from ledger.reports.yard.week import JobWeek, Value, WeekRemark


@dataclass(frozen=True)
class WeekEnd:
    """What was planned, earned and booked by the end of a week; to come, planned alone."""

    end: date
    pv: int
    ev: int | None = None
    ac: int | None = None


@dataclass(frozen=True)
class StepTold:
    """A step from the original estimate to the anticipated final."""

    step: str
    amount: int


@dataclass(frozen=True)
class JobOverview:
    """A job: the lines of its week with its money, its hours week by week, and its steps."""

    lines_of: JobWeek
    weeks: tuple[WeekEnd, ...]
    weeks_opened_by: str
    steps: tuple[StepTold, ...]
    steps_opened_by: str

    @property
    def job(self) -> str:
        return self.lines_of.job

    def value(self, what: str, name: str) -> Value:
        """Return a figure of a line of the job; None where the line or the figure is not known."""
        lines = (line for line in self.lines_of.lines if line.what == what)
        return next((line[name] for line in lines), None)


@dataclass(frozen=True)
class Overview:
    """The jobs with hours in the week to its last day, and what is the yard's own."""

    yard: Yard
    first: date
    last: date
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    currency: str
    jobs: tuple[JobOverview, ...]
    of_yard: tuple[WeekRemark, ...]
