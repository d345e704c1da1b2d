"""What an approval, an omission or a stop does to the baseline."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.baseline.instructed_plan import (
    PlanMoved,
    approved_plan,
    first_day,
    move_to_instruction,
)
from ledger.baseline.job_baseline import CellFacts, JobBaseline, unearned
from ledger.baseline.postings import (
    WITHOUT_PLAN,
    BudgetSource,
    PackageTrade,
    Postings,
    freeze_day,
    standard_rate,
    standing_plan,
    standing_rate,
)
from ledger.changes.requests import Change
from ledger.changes.rows import KnownPriceLine
from ledger.domain.allocation import allocated
from ledger.domain.change_life import APPROVALS, ChangeState, Event
from ledger.domain.plan import adjusted
from ledger.errors import Refused
from ledger.jobs.jobs import calendar_of, job_card
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class OmissionShort(Outcome):
    """An omission that takes out less than it says: the ms to omit, and those not yet earned."""

    change: str
    work_package: str
    wanted_ms: int
    taken_ms: int


class Approver:
    """Posts the effect of events on one job's baseline, one event after the other."""

    def __init__(self, book: Book, batch: Batch, job: str) -> None:
        self.book, self.batch, self.job = book, batch, job

    def post(
        self, change: Change, event: Event, before: ChangeState
    ) -> Sequence[OmissionShort | PlanMoved]:
        """Post what an event moves; return what could not be taken out whole, and a moved plan."""
        if event.name in APPROVALS:
            return self._approve(change, event)
        if event.name == "stopped" and before.approved:
            self._stop(change, event)
        return self.follow_instruction(change, event)

    def follow_instruction(self, change: Change, event: Event) -> list[PlanMoved]:
        """Post what an event moves in the plan of a change that was approved before."""
        return move_to_instruction(self.batch, self.job, change, event)

    def _approve(self, change: Change, event: Event) -> list[OmissionShort]:
        frozen = freeze_day(self.book, self.job)
        if event.day < frozen:
            raise Refused(
                "approved_before_freeze", change=change.code, day=event.day, frozen=frozen
            )
        lines = change.lines.get(event.revision, [])
        self._add(change, event)
        short = []
        for line in lines:
            if line["price_kind"] == "labour" and (line["ms"] or 0) < 0:
                short += self._omit(change, event, line)
        return short

    def _add(self, change: Change, event: Event) -> None:
        postings = Postings(BudgetSource(self.job, "approval", change.code, event.day))
        finish = job_card(self.book, self.job).planned_finish
        span = (first_day(change, event), finish)
        plans = approved_plan(calendar_of(self.book, self.job), change, event, span)
        for trade, ms in change.added_ms(event.revision).items():
            rate = standard_rate(self.book, trade, event.day)
            postings.add(PackageTrade(change.code, trade, "variation"), ms, rate, plans[trade])
        postings.write(self.batch)

    def _omit(self, change: Change, event: Event, line: KnownPriceLine) -> list[OmissionShort]:
        package, ms = line["work_package"], line["ms"]
        assert package is not None
        assert ms is not None
        baseline = JobBaseline(self.book, self.job, event.day)
        cells = [
            cell
            for (part, trade), cell in sorted(baseline.cells.items(), key=_by_name)
            if part == package and line["trade"] in {None, trade}
        ]
        free = unearned(baseline)
        unearned_ms = [free[cell.part, cell.trade] for cell in cells]
        wanted = -ms
        taken = min(wanted, sum(unearned_ms))
        if taken:
            source = BudgetSource(self.job, "omission", change.code, event.day)
            self._take_out(source, list(zip(cells, allocated(taken, unearned_ms), strict=True)))
        if taken == wanted:
            return []
        return [OmissionShort(change.code, package, wanted, taken)]

    def _stop(self, change: Change, event: Event) -> None:
        baseline = JobBaseline(self.book, self.job, event.day)
        cells = [cell for (part, _), cell in baseline.cells.items() if part == change.code]
        source = BudgetSource(self.job, "stop", change.code, event.day)
        free = unearned(baseline)
        amounts = [free[cell.part, cell.trade] for cell in cells]
        self._take_out(source, list(zip(cells, amounts, strict=True)))

    def _take_out(self, source: BudgetSource, amounts: list[tuple[CellFacts, int]]) -> None:
        postings = Postings(source)
        for facts, ms in amounts:
            if ms:
                cell = PackageTrade(facts.part, facts.trade, facts.package_kind)
                planned = cell.package_kind not in WITHOUT_PLAN
                standing = standing_plan(self.book, self.job, cell)
                plan = adjusted(-ms, standing, source.counts_from) if planned else {}
                rate = standing_rate(self.book, self.job, cell, source.counts_from)
                postings.add(cell, -ms, rate, plan)
        postings.write(self.batch)


def _by_name(pair: tuple[tuple[str, str | None], CellFacts]) -> tuple[str, str]:
    return pair[0][0], pair[0][1] or ""
