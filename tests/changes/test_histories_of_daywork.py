"""Random histories of daywork: what sheets agree is replayed by hand, and nothing is lost of it."""

import contextlib
import tempfile
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from ledger.changes.daywork_shown import daywork_now
from ledger.changes.standing import Standing, standings
from ledger.changes.sums import ContractSums, contract_sums
from ledger.commands.access import WriteAccess
from ledger.commands.changes import move_change
from ledger.commands.loads import load_files
from ledger.commands.sheets import SheetLoadAsked, load_sheets
from ledger.commands.withdrawals import withdraw_facts
from ledger.errors import Refused
from ledger.inputs.change_entry import ChangeInput
from ledger.store.book import Book
from tests._stage import JOB, SAMPLE, load, prepare
from tests.changes.test_daywork_sheets import ITEM_HEAD, SHEET_HEAD
from tests.conftest import Yard, book_made_by
from tests.inputs._moves import freeze, price, request, tell

MONDAY = date(2026, 3, 9)
DAYS = 4
HOUR = 3_600_000
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
        self.seen: dict[int, ContractSums] = {}

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
        head = "sheet,worker_id,date,hours,booking_code,note\n"
        path = self.write(f"{head}S{self.files},{worker},{on},{hours},DAY,{self.files}\n")
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
        while ids := self.rows_of(name):
            withdraw_facts(self.access, ids, "another job")
        self.sheets.pop(name, None)

    def rows_of(self, name: str) -> list[str]:
        """Return the ids of the rows of a sheet that count."""
        self.book.upto = self.last
        rows = self.book.records("changes/daywork_sheets_known", job=JOB)
        return [row["id"] for row in rows if row["daywork_sheet"] == name]

    @property
    def last(self) -> int:
        return self.book.last_sequence()

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
            move_change(self.access, "complete change", ChangeInput(JOB, "DAY", facts))
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

    def known(self, upto: int) -> tuple[Standing, ContractSums]:
        """Return where the change stands as known at a batch, and the sums of the job."""
        self.book.upto = upto
        [change] = standings(self.book, JOB, LAST)
        return change, contract_sums(Decimal(20000), [change])

    @invariant()
    def nothing_is_lost(self) -> None:
        """Agreed and unsigned hours are what was worked; the sum is made of its steps."""
        change, sums = self.known(self.last)
        now = daywork_now(change)
        assert now is not None
        assert now.value is not None
        assert now.worked_ms == sum(self.booked.values()) * HOUR
        assert now.agreed_ms + (now.unsigned_ms or 0) == now.worked_ms
        assert 0 <= now.witnessed_ms <= now.worked_ms - now.agreed_ms
        assert sums.adjusted == Decimal(20000) + sums.approved + sums.daywork_movement
        assert sums.daywork_movement == now.value.amount - sums.approved
        if self.complete:
            done = change.known.daywork.done("DAY", change.daywork_terms)
            worth = (*done.labour.values(), *done.items.values())
            assert now.value.rest == 0
            assert now.value.agreed + (now.value.beyond or 0) == sum(each or 0 for each in worth)
        self.sheets_agree_what_they_were_marked_with(change)
        self.what_was_known_stays_known(sums)

    def sheets_agree_what_they_were_marked_with(self, change: Standing) -> None:
        """Replayed from the moves alone, each worker's day is agreed as far as a sheet had it."""
        self.left_for("", self.sheets)
        expected: dict[str, int] = defaultdict(int)
        for (worker, _), hours in self.agreed.items():
            expected[TRADE[worker]] += hours * HOUR
        actual = change.known.daywork.agreed["DAY"].ms
        agreed = {trade: ms for trade, ms in expected.items() if ms}

        assert {trade: ms for trade, ms in actual.items() if ms} == agreed

    def what_was_known_stays_known(self, sums: ContractSums) -> None:
        """As known at an earlier batch the sums are what they were then."""
        for upto in list(self.seen)[-1:]:
            assert self.known(upto)[1] == self.seen[upto]
        self.seen[self.last] = sums


@pytest.mark.slow
@pytest.mark.parametrize("examples", [12])
def test_what_is_agreed_and_what_is_not_add_up(examples: int) -> None:
    """Whatever is booked, marked, corrected and withdrawn: agreed + unsigned = worked."""
    checks = [HealthCheck.too_slow, HealthCheck.data_too_large]
    run_state_machine_as_test(
        Work,
        settings=settings(
            max_examples=examples,
            stateful_step_count=9,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=checks,
        ),
    )
