"""Random histories of daywork: what sheets agree is replayed by hand, and nothing is lost of it."""

import contextlib
import tempfile
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from ledger.commands.access import WriteAccess
from ledger.commands.changes import move_change
from ledger.commands.loads import load_files
from ledger.commands.sheets import SheetLoadAsked, load_sheets
from ledger.commands.withdrawals import withdraw_facts
from ledger.errors import Refused
from ledger.inputs.change_entry import Given
from ledger.performance.change_list import ListedChanges
from ledger.store.book import Book
from tests._stage import JOB, SAMPLE, load, prepare
from tests.changes.test_daywork_sheets import ITEM_HEAD, SHEET_HEAD
from tests.conftest import Yard, book_made_by
from tests.inputs._moves import freeze, price, request, tell

MONDAY = date(2026, 3, 9)
DAYS = 4
LAST = MONDAY + timedelta(days=30)
RATE = {"A1": 60, "C3": 40}
TRADE = {"A1": "carpenter", "C3": "labourer"}
ESTIMATE = {"carpenter": 6, "labourer": 3}
workers = st.sampled_from(sorted(RATE))
days = st.integers(0, DAYS - 1)
names = st.sampled_from(["D1", "D2", "D3"])
WorkerDay = tuple[str, date]


def ready(yard: Yard) -> None:
    """Make the sample's job with one change of daywork, approved."""
    prepare(yard)
    load(yard, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(yard)
    request(yard, "DAY", basis="daywork")
    price(yard, *(f"DAY,1,{trade},{hours}" for trade, hours in ESTIMATE.items()))
    tell(yard, "DAY,approved,2026-03-04")


@dataclass
class Marked:
    """A sheet: its days, what was booked in them when it was first marked, and what it struck."""

    first: date
    last: date
    mark: str
    booked: dict[WorkerDay, int]
    struck: dict[WorkerDay, int] = field(default_factory=dict)


class Work(RuleBasedStateMachine):
    """Hours are booked, sheets marked, corrected and withdrawn, items used, in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.stack = contextlib.ExitStack()
        self.folder = Path(self.stack.enter_context(tempfile.TemporaryDirectory()))
        book = self.folder / "book.duckdb"
        book.write_bytes(book_made_by(ready))
        self.access = self.stack.enter_context(WriteAccess(book, "Tester").kept_open("test"))
        self.booked: dict[WorkerDay, int] = defaultdict(int)
        self.sheets: dict[str, Marked] = {}
        self.files = 0
        self.complete = False
        self.seen: dict[int, tuple[Decimal, Decimal]] = {}

    def teardown(self) -> None:
        self.stack.close()

    @property
    def book(self) -> Book:
        assert self.access.book is not None
        return self.access.book

    def write(self, text: str) -> Path:
        self.files += 1
        path = self.folder / f"file-{self.files}.csv"
        path.write_text(text, encoding="utf-8")
        return path

    @rule(worker=workers, day=days, hours=st.integers(1, 5))
    def work(self, worker: str, day: int, hours: int) -> None:
        """Book hours to the change, on a sheet of their own."""
        on = MONDAY + timedelta(days=day)
        head = "sheet,worker_id,date,hours,booking_code\n"
        path = self.write(f"{head}S{self.files},{worker},{on},{hours},DAY\n")
        load_sheets(self.access, SheetLoadAsked([path], JOB, None))
        self.booked[worker, on] += hours

    @rule(
        name=names,
        first=days,
        length=st.integers(0, 2),
        struck=st.integers(0, 2),
        mark=st.sampled_from(["agreed", "agreed", "for_record_only"]),
    )
    def mark(self, name: str, first: int, length: int, struck: int, mark: str) -> None:
        """Mark a sheet, or mark one again; of one worker's day some hours may be struck off."""
        begins = MONDAY + timedelta(days=first)
        ends = begins + timedelta(days=length)
        before = self.sheets.get(name)
        known = dict(before.booked if before else self.booked)
        made = Marked(begins, ends, mark, known)
        trial = {**self.sheets, name: made}
        left = self.left_for(name, trial)
        if struck and left:
            chosen = min(left)
            made.struck[chosen] = min(struck, left[chosen])
        rows = [
            f"{worker},{day},{left[worker, day] - off},,,not there"
            for (worker, day), off in made.struck.items()
        ]
        of_sheet = f"{name},DAY,{begins},{ends},{ends},{mark},Jonna"
        text = SHEET_HEAD + "".join(f"{of_sheet},{row}\n" for row in rows or [",,,,,"])
        covered = [day for _, day in known if begins <= day <= ends]
        try:
            load_files(self.access, "daywork-sheets", [self.write(text)], job=JOB)
        except Refused:
            assert not covered
            return
        self.sheets[name] = made

    @rule(name=names)
    def withdraw(self, name: str) -> None:
        """Withdraw all that was ever said of a sheet."""
        rows = self.book.records("changes/daywork_sheets_known", job=JOB, upto=self.last)
        ids = [row["id"] for row in rows if row["daywork_sheet"] == name]
        while ids:
            withdraw_facts(self.access, ids, "another job")
            rows = self.book.records("changes/daywork_sheets_known", job=JOB, upto=self.last)
            ids = [row["id"] for row in rows if row["daywork_sheet"] == name]
        self.sheets.pop(name, None)

    @property
    def last(self) -> int:
        self.book.upto = self.book.last_sequence()
        return self.book.upto

    @rule(day=days, quantity=st.integers(1, 9), cost=st.integers(1, 9))
    def use(self, day: int, quantity: int, cost: int) -> None:
        """Record an item, or another version of the day's."""
        on = MONDAY + timedelta(days=day)
        text = f"{ITEM_HEAD}DAY,{on},material,Oak,{quantity},m,{cost},\n"
        load_files(self.access, "daywork-items", [self.write(text)], job=JOB)

    @rule()
    def finish(self) -> None:
        """Call the work complete."""
        facts = {"date": str(LAST), "person": "Jonna"}
        with contextlib.suppress(Refused):
            move_change(self.access, "complete change", Given(JOB, "DAY", facts))
            self.complete = True

    def left_for(self, name: str, sheets: dict[str, Marked]) -> dict[WorkerDay, int]:
        """Return what the sheets before one leave it."""
        agreed: dict[WorkerDay, int] = defaultdict(int)
        witnessed: dict[WorkerDay, int] = defaultdict(int)
        left: dict[WorkerDay, int] = {}
        for each, sheet in sheets.items():
            left = {}
            for key, hours in sheet.booked.items():
                ahead = agreed[key]
                if sheet.mark != "agreed":
                    ahead = max(ahead, witnessed[key])
                if not sheet.first <= key[1] <= sheet.last or hours <= ahead:
                    continue
                left[key] = hours - ahead
                reached = agreed if sheet.mark == "agreed" else witnessed
                reached[key] = hours - min(sheet.struck.get(key, 0), left[key])
            if each == name:
                return left
        self.agreed = agreed
        return left

    @invariant()
    def nothing_is_lost(self) -> None:
        """Agreed and unsigned hours are what was worked; the sum is made of its steps."""
        self.book.upto = self.book.last_sequence()
        known = ListedChanges(self.book, JOB, LAST).result()
        [change] = known.changes
        now, sums = change.daywork, known.sums
        assert now is not None
        assert now.value is not None
        assert sums is not None
        assert now.worked_ms == sum(self.booked.values()) * 3_600_000
        assert now.agreed_ms + (now.unsigned_ms or 0) == now.worked_ms
        assert 0 <= now.witnessed_ms <= now.worked_ms - now.agreed_ms
        assert sums.adjusted == Decimal(20000) + sums.approved + sums.daywork_movement
        assert sums.daywork_movement == now.value.amount - sums.approved
        assert now.value.rest == 0 or not self.complete
        if self.complete:
            done = change.standing.known.daywork.done("DAY")
            worth = (*done.labour.values(), *done.items.values())
            assert now.value.agreed + (now.value.beyond or 0) == sum(each or 0 for each in worth)

    @invariant()
    def sheets_agree_what_they_were_marked_with(self) -> None:
        """Replayed from the moves alone, each worker's day is agreed as far as a sheet had it."""
        self.left_for("", self.sheets)
        self.book.upto = self.book.last_sequence()
        daywork = ListedChanges(self.book, JOB, LAST).known.daywork
        expected: dict[str, int] = defaultdict(int)
        for (worker, _), hours in self.agreed.items():
            expected[TRADE[worker]] += hours * 3_600_000
        actual = daywork.agreed["DAY"].ms

        assert {trade: ms for trade, ms in actual.items() if ms} == {
            trade: ms for trade, ms in expected.items() if ms
        }

    @invariant()
    def what_was_known_stays_known(self) -> None:
        """As known at an earlier batch the sums are what they were then."""
        last = self.book.last_sequence()
        for upto in (*list(self.seen)[-2:], last):
            self.book.upto = upto
            sums = ListedChanges(self.book, JOB, LAST).result().sums
            assert sums is not None
            figures = sums.adjusted, sums.anticipated_final
            assert self.seen.setdefault(upto, figures) == figures


@pytest.mark.slow
@pytest.mark.parametrize("examples", [25])
def test_what_is_agreed_and_what_is_not_add_up(examples: int) -> None:
    """Whatever is booked, marked, corrected and withdrawn: agreed + unsigned = worked."""
    checks = [HealthCheck.too_slow, HealthCheck.data_too_large]
    run_state_machine_as_test(
        Work,
        settings=settings(
            max_examples=examples,
            stateful_step_count=10,
            deadline=None,
            suppress_health_check=checks,
        ),
    )
