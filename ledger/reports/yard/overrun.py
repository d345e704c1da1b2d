"""Why a job's hours changed, for the yard: what the report holds, and that it adds up.

The yard's own: it names what owners may not see. Durations are whole milliseconds.
"""

from dataclasses import dataclass
from datetime import date

from ledger.domain.overrun import STEPS
from ledger.reports.identity import StampShown, Yard

# Whose hours a week's are: as the contract has it, the owner's changes, open with the owner, ours.
BEARERS = ("contract", "owner", "open", "yard")


@dataclass(frozen=True)
class StepRow:
    """A step: now, of it to date and to come where it holds a forecast, and as of the last day."""

    step: str
    ms: int
    to_date_ms: int | None = None
    to_come_ms: int | None = None
    last_ms: int | None = None


@dataclass(frozen=True)
class MarkRow:
    """Who asked for the difference, or bears it: now, and as of the last day."""

    mark: str
    ms: int
    last_ms: int | None = None


@dataclass(frozen=True)
class PartRow:
    """A package, change or other place: the original estimate, and where it will end.

    `kind` is package, planning, undistributed, variation, request, contingency, non_productive or
    untagged.
    """

    code: str
    title: str
    kind: str
    original_ms: int
    booked_ms: int
    forecast_ms: int

    @property
    def growth_ms(self) -> int:
        return self.forecast_ms - self.original_ms


@dataclass(frozen=True)
class WeekRow:
    """What was booked in a week, to its last day, by whose hours they are: as `BEARERS` names."""

    last_day: date
    ms: tuple[int, ...]


@dataclass(frozen=True)
class ChangeOverTime:
    """A change over time: asked for, instructed, decided, first and last hours; and its hours.

    `standing` is the state of its price; `decision` is that of `decided_on`.
    """

    code: str
    title: str
    origin: str
    standing: str
    requested_on: date
    instructed_on: date | None
    decided_on: date | None
    decision: str
    first_day: date | None
    last_day: date | None
    priced_ms: int | None
    booked_ms: int
    forecast_ms: int


@dataclass(frozen=True)
class YardOverrun:
    """Why the hours of one job changed, on a day, and against an earlier day."""

    yard: Yard
    job: str
    title: str
    status_date: date
    last_date: date | None
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    is_incomplete: bool
    planned_start: date
    steps: tuple[StepRow, ...]
    asked_by: tuple[MarkRow, ...]
    borne_by: tuple[MarkRow, ...]
    parts: tuple[PartRow, ...]
    weeks: tuple[WeekRow, ...]
    changes: tuple[ChangeOverTime, ...]
    booked_ms: int

    def __post_init__(self) -> None:
        """Raises: AssertionError when something does not add up."""
        amounts = self.amounts
        assert tuple(amounts) == STEPS, "a step is missing"
        final = amounts[STEPS[-1]]
        assert sum(amounts.values()) == 2 * final, "steps do not add up"
        for marks in (self.asked_by, self.borne_by):
            assert sum(row.ms for row in marks) == self.growth_ms, "marks do not add up"
        assert sum(row.growth_ms for row in self.parts) == self.growth_ms, "parts do not add up"
        assert sum(sum(week.ms) for week in self.weeks) == self.booked_ms, "weeks do not add up"

    @property
    def amounts(self) -> dict[str, int]:
        return {row.step: row.ms for row in self.steps}

    @property
    def growth_ms(self) -> int:
        """What the job will end above its original estimate."""
        amounts = self.amounts
        return amounts[STEPS[-1]] - amounts[STEPS[0]]

    @property
    def last_growth_ms(self) -> int | None:
        """The same as of the last day."""
        last = {row.step: row.last_ms for row in self.steps}
        first, final = last[STEPS[0]], last[STEPS[-1]]
        return None if first is None or final is None else final - first

    @property
    def largest(self) -> tuple[PartRow, ...]:
        """The ten parts that moved the hours most, either way."""
        moved = [row for row in self.parts if row.growth_ms]
        return tuple(sorted(moved, key=lambda row: (-abs(row.growth_ms), row.code))[:10])
