"""Random lives of changes, entered by commands: what was approved stays, and the sum adds up."""

import contextlib
import tempfile
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from ledger.commands.access import WriteAccess
from ledger.commands.changes import EVENT_OF, move_change, price_change, request_change
from ledger.errors import Refused
from ledger.inputs.change_entry import ChangeInput
from ledger.performance.change_list import ListedChanges
from ledger.store.book import Book
from tests._stage import JOB, SAMPLE, load, prepare
from tests.conftest import Yard, book_made_by
from tests.inputs._moves import freeze

START = date(2026, 3, 2)
ORIGINAL = Decimal("20000.00")
RATE = {"carpenter": Decimal(60), "labourer": Decimal(40)}
BASES = {"FIX1": "fixed_price", "FIX2": "fixed_price", "DAY1": "daywork", "FREE": "no_charge"}
codes = st.sampled_from(sorted(BASES))
later = st.integers(0, 2)


def ready(yard: Yard) -> None:
    """Make the sample's job with its charge rates, frozen."""
    prepare(yard)
    load(yard, "charge-rates", (SAMPLE / "charge-rates.csv").read_text(encoding="utf-8"))
    freeze(yard)


@dataclass
class Approved:
    """What was approved of a change: the day, its revision, what it added and took out."""

    on: date
    revision: int
    added: Decimal
    omitted: Decimal
    agreed: tuple[date, Decimal] | None = None


@dataclass
class Draft:
    """What a change is priced at by revision: added and taken out."""

    prices: dict[int, tuple[Decimal, Decimal]] = field(default_factory=dict)
    sent: list[int] = field(default_factory=list)


class Lives(RuleBasedStateMachine):
    """Four changes that go through whatever moves the program lets them, on days that go on."""

    def __init__(self) -> None:
        super().__init__()
        self.stack = contextlib.ExitStack()
        folder = Path(self.stack.enter_context(tempfile.TemporaryDirectory()))
        book = folder / "book.duckdb"
        book.write_bytes(book_made_by(ready))
        self.access = self.stack.enter_context(WriteAccess(book, "Tester").kept_open("test"))
        self.day = START
        self.drafts = {code: Draft() for code in BASES}
        self.approved: dict[str, Approved] = {}
        self.complete: dict[str, date] = {}
        for code, basis in BASES.items():
            facts = {"title": code, "requested_by": "Jonna", "change_basis": basis}
            request_change(
                self.access, ChangeInput(JOB, code, facts | {"requested_on": str(START)})
            )

    def teardown(self) -> None:
        self.stack.close()

    @rule(
        code=codes,
        days=later,
        hours=st.integers(1, 9),
        taken=st.integers(0, 3),
        trade=st.sampled_from(sorted(RATE)),
    )
    def enter_price(self, code: str, days: int, hours: int, taken: int, trade: str) -> None:
        """Price a change anew; the revision that was sent keeps its lines."""
        self.day += timedelta(days=days)
        lines = [{"price_kind": "labour", "trade": trade, "hours": str(hours)}]
        if taken:
            taken_out = {"trade": "carpenter", "work_package": "DECK", "hours": str(-taken)}
            lines.append({"price_kind": "labour", **taken_out})
        facts = {"date": str(self.day), "person": "Ada"}
        with contextlib.suppress(Refused):
            done = price_change(self.access, ChangeInput(JOB, code, facts), lines)
            free = BASES[code] == "no_charge"
            price = (
                Decimal(0) if free else hours * RATE[trade],
                -taken * RATE["carpenter"] * (not free),
            )
            self.drafts[code].prices[self._revision(code)] = price
            assert done.entered.change == code

    def _revision(self, code: str) -> int:
        lines = self._book.current("change_line")
        return max(row["revision"] for row in lines if row["change"] == code)

    @property
    def _book(self) -> Book:
        assert self.access.book is not None
        return self.access.book

    @rule(code=codes, days=later, command=st.sampled_from(sorted(EVENT_OF)), amount=later)
    def move(self, code: str, days: int, command: str, amount: int) -> None:
        """Say anything of a change; what may not follow is refused and changes nothing."""
        self.day += timedelta(days=days)
        facts = {"date": str(self.day), "person": "Jonna", "reference": "mail"}
        facts |= {"days_granted": str(amount)} if command == "decide time" else {}
        facts |= {"agreed_value": f"{amount}00"} if command == "agree value" else {}
        last = str(self.day + timedelta(days=1))
        facts |= {"valid_until": last} if command == "submit price" else {}
        before = self._book.last_sequence()
        try:
            done = move_change(self.access, command, ChangeInput(JOB, code, facts))
        except Refused:
            assert self._book.last_sequence() == before
            return
        event = EVENT_OF[command]
        if event in {"approved", "accepted"} and code not in self.approved:
            revision = done.now.revision
            added, omitted = self.drafts[code].prices.get(revision or 0, (Decimal(0), Decimal(0)))
            self.approved[code] = Approved(self.day, revision or 0, added, omitted)
        if event == "complete":
            self.complete[code] = self.day
        if event == "value_agreed":
            self.approved[code].agreed = (self.day, Decimal(amount * 100))

    @invariant()
    def the_sum_is_what_was_approved(self) -> None:
        """Today: original + approved - omitted + daywork against its estimate."""
        self._compare(self.day)

    @rule(back=st.integers(1, 9))
    def look_back(self, back: int) -> None:
        """On an earlier day it is what was approved by that day."""
        self._compare(max(START, self.day - timedelta(days=back)))

    def _compare(self, day: date) -> None:
        self._book.upto = self._book.last_sequence()
        known = ListedChanges(self._book, JOB, day).result()
        counted = {code: each for code, each in self.approved.items() if each.on <= day}
        moved = sum((self._moved(code, each, day) for code, each in counted.items()), Decimal(0))
        added = sum((each.added for each in counted.values()), Decimal(0))
        omitted = sum((each.omitted for each in counted.values()), Decimal(0))
        stand = {
            each.standing.change.code: each.standing.revision
            for each in known.changes
            if each.standing.price_state == "approved"
        }
        assert known.sums is not None
        assert stand == {code: each.revision for code, each in counted.items()}
        assert (known.sums.approved, known.sums.omitted) == (added, omitted)
        assert known.sums.daywork_movement == moved
        assert known.sums.adjusted == ORIGINAL + added + omitted + moved

    def _moved(self, code: str, change: Approved, day: date) -> Decimal:
        """Return what a change comes to against its price: no daywork is on any sheet here.

        Its estimate falls away once its work is complete.
        """
        if change.agreed and change.agreed[0] <= day:
            return change.agreed[1] - change.added - change.omitted
        is_done = code in self.complete and self.complete[code] <= day
        return -change.added if is_done and BASES[code] == "daywork" else Decimal(0)


@pytest.mark.slow
def test_what_was_approved_stays_and_the_sum_adds_up() -> None:
    """Whatever is entered, on any day the adjusted sum is made of what was approved by it."""
    checks = [HealthCheck.too_slow, HealthCheck.data_too_large]
    run_state_machine_as_test(
        Lives,
        settings=settings(
            max_examples=35,
            stateful_step_count=8,
            deadline=None,
            suppress_health_check=checks,
        ),
    )
