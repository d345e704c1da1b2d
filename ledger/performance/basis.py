"""What a job's measures are made of: what is planned, what was booked, and which parts count."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from ledger.baseline.job_baseline import LOE, CellFacts, JobBaseline, PlansRead
from ledger.domain.change_life import ChangeState
from ledger.domain.earned_value import is_finished
from ledger.domain.premium import OVERTIME_PREMIUM
from ledger.performance.actuals import Actuals, Booked, Spans
from ledger.store.book import Book

FOUR_WEEKS = timedelta(days=28)
MEASURED_KINDS = frozenset({"work", "planning", "undistributed", "variation"})


@dataclass(frozen=True)
class Scope:
    """What is measured: the day, hours or cost, the current or the original baseline.

    Plan and time are read by `every` day, or by the last days of every week or month.
    """

    status_date: date
    unit: str = "hours"
    original: bool = False
    # On an owner's page: of changes that are not approved, prices of submitted revisions alone.
    offered_only: bool = False
    every: str = "day"


class Basis:
    """A job in a scope, as planned and as booked, and which of its parts count in its row."""

    def __init__(
        self, book: Book, job: str, scope: Scope, baseline: JobBaseline | None = None
    ) -> None:
        self.book, self.job, self.scope = book, job, scope
        self.day = scope.status_date
        plans = PlansRead(scope.every, priced=scope.every == "day" or scope.unit == "cost")
        self.baseline = baseline or JobBaseline(book, job, self.day, plans)
        self.states: dict[str, ChangeState] = {
            code: change.state(self.day) for code, change in self.baseline.changes.items()
        }

    @cached_property
    def actuals(self) -> Actuals:
        """Return what was booked."""
        spans = Spans(self.scope.every, self.baseline.calendar.week_start)
        return Actuals(self.book, self.job, self.day, self.scope.unit, spans)

    @property
    def has_premium(self) -> bool:
        """Return whether overtime premium has a row: in cost, where the yard pays any."""
        return self.scope.unit == "cost" and self.actuals.policy is not None

    @cached_property
    def premium(self) -> list[Booked]:
        """Return the premium of the job's row, as booked to a place of its own."""
        return [
            each._replace(part=OVERTIME_PREMIUM)
            for each in self.actuals.premium
            if not self.left_out(each.part)
        ]

    def amount(self, ms: int, cost: int | None) -> int:
        """Return ms or cost units, as the scope asks."""
        if self.scope.unit == "hours":
            return ms
        assert cost is not None
        return cost

    def is_variation(self, part: str) -> bool:
        """Return whether a part is an approved change."""
        return part in self.states and self.states[part].approved

    def is_outside(self, part: str) -> bool:
        """Return whether a part is a change that is not approved."""
        return part in self.baseline.changes and not self.states[part].approved

    def left_out(self, part: str) -> bool:
        """Return whether a part has no place in the job's row."""
        return self.is_outside(part) or (self.scope.original and self.is_variation(part))

    def is_level_of_effort(self, part: str, kind: str) -> bool:
        """Return whether a part of that kind is measured by the passing of time alone."""
        return kind in {"work", "variation"} and self.baseline.technique(part) == LOE

    def is_finished(self, part: str, trade: str | None, day: date | None = None) -> bool:
        """Return whether one trade's work on a part is over by the status date, or a day before."""
        change = self.baseline.changes.get(part)
        state = change.state(day) if day and change else self.states.get(part)
        if state and (state.complete or state.stopped_on is not None):
            return True
        return is_finished(self.baseline.measures_of(part, trade), day or self.day)

    @cached_property
    def measured(self) -> list[CellFacts]:
        """Return what has a budget in the job's row, by part and trade."""
        return [
            facts
            for facts in self.baseline.cells.values()
            if facts.package_kind in MEASURED_KINDS and not self.left_out(facts.part)
        ]

    @cached_property
    def set_aside(self) -> list[CellFacts]:
        """Return the budgets set aside for what was not foreseen."""
        cells = self.baseline.cells.values()
        return [facts for facts in cells if facts.package_kind == "contingency"]

    @cached_property
    def recent_span(self) -> tuple[date, date]:
        """Return the week end before the last four week ends by the status date, and the last."""
        end = self.baseline.calendar.week_end(self.day)
        last = end if end == self.day else end - timedelta(days=7)
        return last - FOUR_WEEKS, last
