"""Where a job stands on a day, for one screen: money, hours, time, changes, and what to do."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from ledger.documents.sendings import sendings
from ledger.domain.attention import ATTENTION
from ledger.domain.measures import RowFigures
from ledger.domain.schedule import TimeFigures
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.change_list import ChangeList, ListedChanges
from ledger.performance.completeness import Completeness, completeness
from ledger.performance.measure import Measured, row_of
from ledger.performance.to_notify import to_notify
from ledger.sheets.doubts import doubts_known
from ledger.store.book import Book

LARGEST = 5


@dataclass(frozen=True)
class OverBudget:
    """A package, change or other place that will end above its budget: the ms it does so by."""

    key: str
    title: str
    ms: int


@dataclass(frozen=True)
class Hours:
    """Time of a job in ms: as estimated, with approved changes, booked, anticipated at the end.

    What is left of the contingency is in all but `booked_ms`.
    """

    original_ms: int
    budget_ms: int
    booked_ms: int
    anticipated_ms: int


@dataclass(frozen=True)
class ToDo:
    """One kind of thing to do: how many there are, their time, and the changes it is about."""

    kind: str
    count: int
    ms: int | None = None
    changes: tuple[str, ...] = ()
    due: date | None = None


@dataclass(frozen=True)
class JobStatus:
    """Everything `fairhours status` says."""

    title: str
    changes: ChangeList
    hours: Hours
    figures: RowFigures
    time: TimeFigures
    completeness: Completeness
    largest: tuple[OverBudget, ...]
    doubts: dict[str, int]
    to_do: tuple[ToDo, ...]

    @property
    def price_states(self) -> dict[str, int]:
        """Return how many changes there are of each state of the price, most of all first."""
        return dict(Counter(e.standing.price_state for e in self.changes.changes).most_common())


def job_status(book: Book, job: str, day: date) -> JobStatus:
    """Return where a job stands on a day.

    Raises: Refused when there is no such job.
    """
    return _Status(book, job, day).result()


class _Status:
    def __init__(self, book: Book, job: str, day: date) -> None:
        self.book, self.job, self.day = book, job, day
        self.listed = ListedChanges(book, job, day)

    @property
    def measured(self) -> Measured:
        return self.listed.measured

    @cached_property
    def changes(self) -> ChangeList:
        return self.listed.result()

    @cached_property
    def complete(self) -> Completeness:
        return completeness(self.book, self.measured)

    @cached_property
    def doubts(self) -> dict[str, int]:
        """Return how many doubts about the job are open, by severity."""
        known = doubts_known(self.book)
        return dict(
            Counter(
                each["severity"]
                for each in known
                if not each["settled_by"] and self.job in each["jobs"]
            )
        )

    def result(self) -> JobStatus:
        measured = self.measured
        cells = list(measured.cells.values())
        return JobStatus(
            self.listed.card.title,
            self.changes,
            Hours(
                sum(cell.original for cell in cells) + measured.contingency.original,
                sum(cell.bac for cell in cells) + measured.contingency.left,
                measured.actuals.total,
                measured.anticipated_final,
            ),
            row_of(cells),
            measured.time,
            self.complete,
            self._largest(),
            self.doubts,
            tuple(each for each in self._to_do() if each.count),
        )

    def _largest(self) -> tuple[OverBudget, ...]:
        """Return the places that will end furthest above their budgets, changes among them."""
        over: Counter[str] = Counter()
        for cell in self.measured.cells.values():
            over[cell.kind if cell.kind in {NON_PRODUCTIVE, UNTAGGED} else cell.part] += (
                cell.forecast - cell.bac
            )
        for code in self.measured.unapproved.codes:
            over[code] += self.measured.unapproved.amounts(code)[2]
        chosen = sorted(((-ms, key) for key, ms in over.items() if ms > 0))[:LARGEST]
        return tuple(OverBudget(key, self._title(key), -ms) for ms, key in chosen)

    def _title(self, key: str) -> str:
        change = self.measured.baseline.changes.get(key)
        if change is not None:
            return change.facts["title"]
        package = self.measured.baseline.package(key)
        return package["title"] if package else ""

    def _to_do(self) -> list[ToDo]:
        """Return what there is to do: of the sheets first, then of changes, worst first."""
        complete = self.complete
        return [
            ToDo("held", complete.held_lines, complete.held_ms),
            ToDo("untagged", int(bool(complete.untagged_ms)), complete.untagged_ms),
            ToDo("doubts", self.doubts.get("warn", 0)),
            ToDo("missing", len(complete.missing)),
            ToDo("unmeasured", len(complete.unmeasured), complete.unmeasured_ms),
            self._to_notify(),
            self._replies_overdue(),
            *self._of_changes(),
        ]

    def _to_notify(self) -> ToDo:
        """Return the time that the owner caused and that no change has."""
        caused = to_notify(self.book, self.job, self.day)
        entries = sum(each.entries for each in caused.rows)
        return ToDo("to_notify", entries, caused.ms, due=caused.first_due)

    def _replies_overdue(self) -> ToDo:
        """Return how many replies the register has as overdue, and when the first was due."""
        due = [
            each.reply_due
            for each in sendings(self.book)
            if each.job == self.job and each.standing(self.day) == "overdue" and each.reply_due
        ]
        return ToDo("replies_overdue", len(due), due=min(due, default=None))

    def _of_changes(self) -> list[ToDo]:
        to_do = []
        for kind in ATTENTION:
            of_kind = [
                (change.standing.change.code, each.due)
                for change in self.changes.worst_first
                for each in change.attention
                if each.kind == kind
            ]
            due = min((day for _, day in of_kind if day), default=None)
            to_do.append(ToDo(kind, len(of_kind), None, tuple(c for c, _ in of_kind), due))
        return to_do
