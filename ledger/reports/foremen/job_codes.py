"""The codes of a job as foremen need them: which take hours, and how many are left of each."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date

from ledger.baseline.versions import KnownPackage
from ledger.domain.change_life import ChangeState
from ledger.performance.basis import Scope
from ledger.performance.cells import Cell
from ledger.performance.measure import Measured
from ledger.reports.foremen.code_list import Cause, CodeRow
from ledger.store.book import Book

HELD_BACK = {"contingency": "contingency", "planning": "planning", "undistributed": "planning"}
OUTSIDE_GROUPS = {"overhead", "absence"}


@dataclass
class PartSums:
    """What is planned and booked of one part, in ms, and whether all its trades are done."""

    budget_ms: int = 0
    booked_ms: int = 0
    done: list[bool] = field(default_factory=list)

    @property
    def is_done(self) -> bool:
        return bool(self.done) and all(self.done)


class JobCodes:
    """A job's packages and changes by a day, each with its hours and where it stands."""

    def __init__(self, book: Book, job: str, day: date) -> None:
        self.day = day
        self.measured = Measured(book, job, Scope(day))
        self.baseline = self.measured.baseline
        self.is_frozen = any(facts.frozen for facts in self.baseline.cells.values())
        self._sums = self._by_part(self.measured.cells.values())

    def _by_part(self, cells: Iterable[Cell]) -> dict[str, PartSums]:
        by_part: dict[str, PartSums] = defaultdict(PartSums)
        for cell in cells:
            sums = by_part[cell.part]
            sums.budget_ms += cell.bac
            sums.booked_ms += cell.ac
            if cell.bac or cell.finished:
                sums.done.append(cell.as_part.complete)
        if not self.is_frozen:
            for (part, _), row in self.baseline.packages.items():
                by_part[part].budget_ms += row["budget_ms"]
        return by_part

    def packages(self) -> Iterator[CodeRow]:
        """Yield the packages in the order of their control accounts, then of their codes."""
        by_code = defaultdict(list)
        for (code, trade), row in self.baseline.packages.items():
            by_code[code].append((trade, row))
        accounts = {code: rows[0][1]["control_account"] or "" for code, rows in by_code.items()}
        for code in sorted(by_code, key=lambda each: (accounts[each], each)):
            trades = tuple(trade for trade, _ in by_code[code] if trade)
            yield self._package(code, by_code[code][0][1], trades)

    def _package(self, code: str, row: KnownPackage, trades: tuple[str, ...]) -> CodeRow:
        sums = self._sums.get(code, PartSums())
        standing = HELD_BACK.get(row["package_kind"], "open")
        if standing == "open" and sums.is_done:
            standing = "finished"
        return CodeRow(
            code=code,
            title=row["title"],
            account=row["control_account"],
            trades=trades,
            planned_start=row["planned_start"],
            planned_finish=row["planned_finish"],
            budget_ms=sums.budget_ms,
            booked_ms=sums.booked_ms,
            standing=standing,
        )

    def changes(self, day: date | None = None) -> Iterator[CodeRow]:
        """Yield the changes asked for by a day, the status date unless another is named."""
        for code, change in self.baseline.changes.items():
            if change.facts["requested_on"] <= (day or self.day):
                state = change.state(day or self.day)
                standing, since = change_standing(state, day or self.day)
                budget = self._change_budget(code, approved=state.approved)
                if standing == "approved" and not budget:
                    standing = "takes_out"
                yield CodeRow(
                    code=code,
                    title=change.facts["title"],
                    budget_ms=budget,
                    booked_ms=self.measured.actuals.of_part(code),
                    standing=standing,
                    since=since,
                    change_basis=change.facts["change_basis"],
                )

    def _change_budget(self, code: str, *, approved: bool) -> int | None:
        """Return the hours a change adds: as approved, else of its latest price, None without."""
        if approved and code in self._sums:
            return self._sums[code].budget_ms
        change = self.baseline.changes[code]
        return sum(change.added_ms(change.latest_revision(self.day)).values()) or None


def change_standing(state: ChangeState, day: date) -> tuple[str, date | None]:
    """Return where the work of a change stands, and since when where that is dated.

    Hours may be booked to what is approved or instructed and neither stopped nor complete.
    """
    if state.instruction == "stopped":
        return "stopped", state.stopped_on
    if state.withdrawn and state.instruction != "instructed":
        return "withdrawn", None
    if state.complete:
        return "complete", None
    if state.approved:
        return "approved", state.approved_on
    if state.instruction == "instructed":
        return "instructed", state.instructed_on
    return state.price(day), None


def cause_codes(book: Book, job: str) -> tuple[Cause, ...]:
    """Return the codes for non-productive time: of the job, of the yard, of absence."""
    return tuple(
        Cause(code, cause or "", booked_to)
        for of_job, code, booked_to, cause in book.rows("jobs/codes_known")
        if (of_job == job and booked_to == "non_productive")
        or (of_job is None and booked_to in OUTSIDE_GROUPS)
    )
