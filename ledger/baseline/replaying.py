"""Baselines worked out again in the recorded order, from the facts that stand.

The ordinary rules of freeze, approval, omission, stop, baseline change and late rates are run in a
book in memory, each knowing what was recorded before it and is not withdrawn now. What they post
there, less what is posted in the book, is the difference.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

from ledger.baseline.approval import Approver, OmissionShort
from ledger.baseline.baseline_changes import post_baseline_change, replan
from ledger.baseline.freeze import freeze
from ledger.baseline.rates import fill_budget_rates
from ledger.changes.requests import changes_of, event_of
from ledger.domain.change_life import IllegalMove, state_on
from ledger.errors import Refused
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.rerun import (
    PlacedFact,
    empty_rerun,
    put,
    put_days,
    put_documents,
    put_persons,
    stage_postings,
    standing,
)

REPLANS = ("replanned_package", "replanned_milestone", "replanned_day", "replanned_calendar")
# Facts that decide what follows; events and baseline changes act one by one where they stand.
BACKGROUND = (
    *("setting", "crew", "rate", "charge_rate", "rule", "job", "work_package", "milestone"),
    *("plan_line", "progress", "change", "change_line", "daywork_item", "daywork_sheet"),
    *("job_cost", "claim_percent", "certified"),
    *REPLANS,
)
ACTING = ("change_event", "baseline_change")
# Facts on which no budget and no plan rests.
WITHOUT_EFFECT = frozenset(
    {
        *("crew", "charge_rate", "rule", "hand_tag", "attendance", "leave"),
        "daywork_item",
        *("daywork_sheet", "sending", "job_cost", "claim_percent", "worker_alias"),
        *("certified", "past_work", "payment", "final_account"),
        *("payroll_line", "supplier_hours", "payroll_note", "sign_off"),
    }
)
# Facts of what was issued.
OF_DOCUMENTS = frozenset({"certified", "daywork_sheet"})
OF_A_DAY = ("day", "weight")
# After all rows of a batch.
LAST_ROW = 2**62
NO_TIME = datetime(1970, 1, 1, tzinfo=UTC)
Calendars = Callable[[Book, Batch, dict[str, Any]], None]
Act = tuple[tuple[int, int, int], Any]


@dataclass
class Recording(Batch):
    """A batch of the book in memory that keeps aside the rows that a file's load adds to it."""

    aside: dict[str, list[dict[str, list[Any]]]] | None = None
    amend: Callable[[str, dict[str, list[Any]]], None] = lambda _, __: None

    def append(self, table: str, columns: Any) -> None:
        """Append rows, and keep them aside while a file is loaded."""
        added: dict[str, list[Any]] = {name: list(values) for name, values in columns.items()}
        if self.aside is not None and any(added.values()):
            self.amend(table, added)
            self.aside.setdefault(table, []).append(added)
        super().append(table, added)


@dataclass(frozen=True)
class RightFact:
    """A file with the right fact, loaded in the place of the withdrawn one."""

    table: str
    place: tuple[int, int]
    load: Callable[[Book, Recording], None]


@dataclass
class Replay:
    """One run, in the recorded order."""

    book: Book
    rerun: Book
    calendars: Calendars
    right: RightFact | None = None
    batches: dict[int, Recording] = field(default_factory=dict)
    aside: dict[str, list[dict[str, list[Any]]]] = field(default_factory=dict)
    short: list[tuple[str, OmissionShort]] = field(default_factory=list)

    def run(self, *, right_alone: bool = False) -> None:
        """Let everything act that does, or the load of the right fact alone.

        Raises: Refused, naming what could not follow.
        """
        put_persons(self.rerun, self.book)
        if self.right and self.right.table in OF_DOCUMENTS:
            put_documents(self.rerun, self.book)
        for table in BACKGROUND:
            put(self.rerun, table, _numbered(standing(self.book, table)))
        anew = self.book.rows("baseline/calendars_touched")
        if right_alone or not anew:
            put_days(self.rerun, self.book)
        acts = self._right_act() if right_alone else self._acts(bool(anew))
        for place, act in sorted(acts, key=lambda each: each[0]):
            self.rerun.upto = place[0]
            act(self._batch(place[0]))

    def _batch(self, sequence: int) -> Recording:
        made = Recording(self.rerun, sequence, NO_TIME)
        return self.batches.setdefault(sequence, made)

    def _acts(self, calendars_anew: bool) -> Iterator[Act]:
        """Yield what acts: its batch, its row, which of one place comes first, and the act."""
        for job, day, place in self.book.rows("baseline/freezes_known"):
            yield (place, 0, 0), _bound(self._freeze, job, day)
        for place in {each.place_batch for each in standing(self.book, "rate")}:
            yield (place, 0, 1), self._fill_rates
        if calendars_anew:
            for table in ("setting", "job"):
                for place in {each.place_batch for each in standing(self.book, table)}:
                    yield (place, 0, 0), self._write_calendars
        for each in standing(self.book, "change_event"):
            yield (each.place_batch, each.place_row, 1), _bound(self._event, each)
        for place, rows in _named_changes(standing(self.book, "baseline_change")):
            yield (*place, 1), _bound(self._baseline_change, rows)
        for place, job, name in _replans(self.book):
            yield (*place, 2), _bound(self._replan, job, name)
        yield from self._right_act()

    def _right_act(self) -> Iterator[Act]:
        if self.right:
            batch, row = self.right.place
            yield (batch, row if self.right.table in ACTING else -1, 0), self._load_right

    def _freeze(self, batch: Batch, job: str, day: date) -> None:
        try:
            freeze(self.rerun, batch, job, day)
        except Refused as error:
            raise Refused("freeze_would_fall", job=job, day=day, because=error) from None

    def _fill_rates(self, batch: Batch) -> None:
        fill_budget_rates(self.rerun, batch)

    def _write_calendars(self, batch: Batch) -> None:
        frozen = {job for job, _, _ in self.rerun.rows("baseline/freezes_known")}
        for job in self.rerun.current("job"):
            if job["job"] not in frozen:
                self.calendars(self.rerun, batch, job)

    def _load_right(self, batch: Recording) -> None:
        assert self.right is not None
        batch.aside = self.aside
        if self.right.table not in ACTING:
            batch.counts[self.right.table] = self.right.place[1] - 1
        self.right.load(self.rerun, batch)
        batch.aside = None

    def _event(self, batch: Batch, fact: PlacedFact) -> None:
        """Record an event and post what it does, as the load of change-events does."""
        job, code = fact.values["job"], fact.values["change"]
        earlier = changes_of(self.rerun, job).get(code)
        if earlier is None:
            raise _event_would_fall(fact, Refused("change_not_before", change=code))
        batch.append_row("change_event", fact.values)
        change, event = changes_of(self.rerun, job)[code], event_of(fact.values)
        try:
            if change.lacks_lines(event):
                raise Refused("lines_not_before", revision=event.revision)
            state_on(change.events, max(each.day for each in change.events))
            approver = Approver(self.rerun, batch, job)
            if len(change.events) > len(earlier.events):
                others = [each for each in change.events if each != event]
                moved = approver.post(change, event, state_on(others, event.day))
                self.short += [(job, each) for each in moved if isinstance(each, OmissionShort)]
            else:
                approver.follow_instruction(change, event)
        except Refused as error:
            raise _event_would_fall(fact, error) from None
        except IllegalMove as error:
            raise _event_would_fall(fact, str(error)) from None

    def _baseline_change(self, batch: Batch, rows: list[PlacedFact]) -> None:
        values = [each.values for each in rows]
        columns = {name: [row[name] for row in values] for name in values[0]}
        batch.append("baseline_change", columns)
        try:
            post_baseline_change(self.rerun, batch, values[0]["job"], values)
        except Refused as error:
            fact = rows[0].named
            raise Refused("baseline_change_would_fall", fact=fact, because=error) from None

    def _replan(self, batch: Batch, job: str, name: str) -> None:
        """Let packages act that were loaded under a change recorded before."""
        try:
            replan(self.rerun, batch, job, name)
        except Refused as error:
            raise Refused("replanning_would_fall", name=name, because=error) from None


def _replans(book: Book) -> list[tuple[tuple[int, int], str, str]]:
    """Return where packages were loaded under the names of baseline changes, each place once."""
    return sorted(
        {
            ((each.place_batch, LAST_ROW), each.values["job"], each.values["name"])
            for table in REPLANS
            for each in standing(book, table)
        }
    )


def _event_would_fall(fact: PlacedFact, because: Refused | str) -> Refused:
    """Return the refusal of what an event of a change stands in the way of."""
    return Refused(
        "event_would_fall",
        fact=fact.named,
        change=fact.values["change"],
        event=fact.values["event"],
        day=fact.values["day"],
        because=because,
    )


def _bound(act: Callable[..., None], *arguments: Any) -> Callable[[Batch], None]:
    return lambda batch: act(batch, *arguments)


def _numbered(rows: list[PlacedFact]) -> list[PlacedFact]:
    """Return facts with rows of their own within a batch, where two stand in one place."""
    numbered, last = [], (0, 0)
    for each in rows:
        row = max(each.place_row, last[1] + 1) if each.place_batch == last[0] else each.place_row
        last = (each.place_batch, row)
        numbered.append(
            PlacedFact(each.table, each.place_batch, row, each.batch, each.row, each.values)
        )
    return numbered


def _named_changes(rows: list[PlacedFact]) -> Iterator[tuple[tuple[int, int], list[PlacedFact]]]:
    wholes: dict[tuple[int, str, str], list[PlacedFact]] = defaultdict(list)
    for each in rows:
        wholes[each.place_batch, each.values["job"], each.values["name"]].append(each)
    for whole in wholes.values():
        yield (whole[0].place_batch, whole[0].place_row), whole


def load_in_place(book: Book, calendars: Calendars, right: RightFact) -> Replay:
    """Load a right fact on which no budget rests in its place; its rows are left in `aside`."""
    with empty_rerun(book) as rerun:
        replay = Replay(book, rerun, calendars, right)
        replay.run(right_alone=True)
    return replay


def post_differences(
    book: Book, batch: Batch, calendars: Calendars, right: RightFact | None = None
) -> Replay:
    """Post what follows from the facts that stand less what is posted; return the run.

    The rows of a right fact are left in `aside`. Raises: Refused, naming a fact that would not
    stand.
    """
    with empty_rerun(book) as rerun:
        replay = Replay(book, rerun, calendars, right)
        replay.run()
        for table in ("budget_posting", "plan_posting"):
            stage_postings(book, rerun, table)
        rerun.upto = batch.sequence
        for job in (row["job"] for row in rerun.current("job")):
            days = rerun.rows("jobs/job_calendar", job=job)
            if days != book.rows("jobs/job_calendar", job=job):
                columns = {name: [row[i] for row in days] for i, name in enumerate(OF_A_DAY)}
                batch.append("job_day", {"job": [job] * len(days), **columns})
    batch.append_query("budget_posting", "baseline/budget_differences")
    batch.append_query("plan_posting", "baseline/plan_differences")
    return replay
