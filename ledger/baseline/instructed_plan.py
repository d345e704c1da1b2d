"""The plan of an approved change: over its own dates, else from its instruction or approval."""

from dataclasses import dataclass, field
from datetime import date

from ledger.baseline.calendar_changes import calendar_at, calendar_changes
from ledger.baseline.postings import BudgetSource, PackageTrade, Postings, standing_rate
from ledger.changes.requests import Change
from ledger.changes.rows import KnownPriceLine
from ledger.domain.calendar import WorkCalendar
from ledger.domain.change_life import APPROVALS, INSTRUCTION_EVENTS, Event, state_on
from ledger.domain.plan import adjusted, spread_anew, spread_over_days
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.rerun import standing

Plan = dict[date, int]


@dataclass(frozen=True)
class PlanMoved(Outcome):
    """The plan of an approved change that begins on another day, as its instruction now says."""

    change: str
    first: date


def approved_plan(
    calendar: WorkCalendar, change: Change, approval: Event, span: tuple[date, date]
) -> dict[str, Plan]:
    """Return by trade the plan in ms a day of what an approval adds.

    A trade with dates of its own keeps these; any other is even over `span`, its first day and the
    job's planned finish, and all on the approval day if that is past.
    """
    spans = _spans(change, approval, span)
    return {
        trade: spread_over_days(ms, calendar, *spans[trade])
        for trade, ms in change.added_ms(approval.revision).items()
    }


def _spans(
    change: Change, approval: Event, span: tuple[date, date]
) -> dict[str, tuple[date, date]]:
    """Return by trade the first and the last day of what an approval adds."""
    default = span if span[1] >= approval.day else (approval.day, approval.day)
    lines = change.lines.get(approval.revision, [])
    return {
        trade: _own_dates(lines, trade) or default for trade in change.added_ms(approval.revision)
    }


def change_spans(book: Book, job: str, change: Change) -> dict[str, tuple[date, date]]:
    """Return by trade the first and the last day over which an approved change is spread."""
    approval, posted = _approval(change), _posted(book, job, change.code)
    if approval is None or not posted:
        return {}
    approved_in = min(each.approved_in for each in posted)
    span = (first_day(change, approval), _finish_known(book, job, approved_in))
    return _spans(change, approval, span)


def _approval(change: Change) -> Event | None:
    return next((each for each in change.events if each.name in APPROVALS), None)


def _own_dates(lines: list[KnownPriceLine], trade: str) -> tuple[date, date] | None:
    spans = [
        (start, line["planned_finish"] or start)
        for line in lines
        if line["trade"] == trade and (start := line["planned_start"])
    ]
    if not spans:
        return None
    return min(start for start, _ in spans), max(finish for _, finish in spans)


def first_day(change: Change, approval: Event) -> date:
    """Return the first of a change's approval and of the instruction that counted by then."""
    before = state_on([each for each in change.events if each != approval], approval.day)
    return min(before.instructed_on or approval.day, approval.day)


def move_to_instruction(batch: Batch, job: str, change: Change, event: Event) -> list[PlanMoved]:
    """Post what the plan of an approved change moves by when its instruction is recorded late.

    Cuts and additions that came after the approval are worked out again on the moved plan, each
    with the day from which it counts. Budgets stay.
    """
    approval = _approval(change)
    if approval is None or event.name not in INSTRUCTION_EVENTS or event.day > approval.day:
        return []
    posted = _posted(batch.book, job, change.code)
    if not posted:
        return []
    approved_in = min(each.approved_in for each in posted)
    span = (first_day(change, approval), _finish_known(batch.book, job, approved_in))
    calendar = calendar_at(batch.book, job, approved_in)
    due, spans = approved_plan(calendar, change, approval, span), _spans(change, approval, span)
    moved = [each for each in posted if each.trade in due and each.plan != due[each.trade]]
    for each in moved:
        each.move(batch, due[each.trade], spans[each.trade])
    return [PlanMoved(change.code, span[0])] if moved else []


def _finish_known(book: Book, job: str, sequence: int) -> date:
    """Return the job's planned finish by the card that stood when its change was approved."""
    cards = [each for each in standing(book, "job") if each.values["job"] == job]
    known = [each.values["planned_finish"] for each in cards if each.place_batch <= sequence]
    finish: date = known[-1]
    return finish


@dataclass
class _PostedPlan:
    """The plan of one trade of an approved change, by what moved it, the approval first."""

    part: str
    trade: str
    approved_in: int
    moves: dict[BudgetSource, Plan] = field(default_factory=dict)

    @property
    def plan(self) -> Plan:
        """Return what the approval planned."""
        return next(iter(self.moves.values()))

    def move(self, batch: Batch, plan: Plan, span: tuple[date, date]) -> None:
        """Post the differences between the moves as they are and as they follow from a plan."""
        running: Plan = {}
        calendars = self._calendars(batch.book)
        cell = PackageTrade(self.part, self.trade, "variation")
        for source, posted in self.moves.items():
            amount = sum(posted.values())
            due = adjusted(amount, running, source.counts_from) if running else plan
            if running and source.reference in calendars and source.source == "baseline_change":
                day, standing = source.counts_from, _added(running, due)
                anew = spread_anew(standing, day, calendars[source.reference], span)
                due = _added(due, anew)
            rate = standing_rate(batch.book, source.job, cell, source.counts_from)
            postings = Postings(source)
            postings.add_moved(cell, rate, _added(due, posted, -1))
            postings.write(batch)
            running = _added(running, due)

    def _calendars(self, book: Book) -> dict[str, WorkCalendar]:
        """Return the calendars that baseline changes made, by their names."""
        job = next(iter(self.moves)).job
        changes = calendar_changes(book, job)
        return {each.name: calendar_at(book, job, each.place) for each in changes}


def _added(left: Plan, right: Plan, sign: int = 1) -> Plan:
    days = sorted({*left, *right})
    return {day: left.get(day, 0) + sign * right.get(day, 0) for day in days}


def _posted(book: Book, job: str, part: str) -> list[_PostedPlan]:
    by_trade: dict[str, _PostedPlan] = {}
    for row in book.records("baseline/plan_moves", job=job, part=part):
        trade = row["trade"]
        cell = by_trade.setdefault(trade, _PostedPlan(part, trade, row["first_place"]))
        source = BudgetSource(job, row["source"], row["reference"], row["counts_from"])
        cell.moves.setdefault(source, {})[row["day"]] = int(row["ms"])
    return list(by_trade.values())
