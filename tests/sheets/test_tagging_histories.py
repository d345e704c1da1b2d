"""Whatever is loaded, ruled, tagged, corrected, reversed or closed: no hour is lost or doubled."""

import contextlib
import tempfile
from collections import Counter, defaultdict
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    rule,
    run_state_machine_as_test,
)

from ledger.commands.access import WriteAccess
from ledger.commands.entries import (
    Correction,
    correct_entry,
    reverse_entries,
    reverse_loads,
    undo_reversals,
)
from ledger.commands.held_lines import confirm_reissues
from ledger.commands.loads import load_files, load_rules
from ledger.commands.periods import close_period, reopen_period
from ledger.commands.sheets import SheetLoadAsked, load_sheets
from ledger.commands.tags import tag_entries
from ledger.commands.withdrawals import withdraw_facts
from ledger.errors import Refused
from ledger.performance.report import PerformanceAsked, performance
from ledger.sheets.hand_tags import Tag, TagFilter
from ledger.sheets.loads_named import Which
from ledger.sheets.places import stage_places
from ledger.sheets.reissues import open_steps
from ledger.sheets.shares import MAY_MOVE, stage_shared, stage_shared_out
from ledger.store.book import Book
from tests._stage import JOB, SAMPLE, load_all
from tests.conftest import Yard, book_made_by

SHEETS = "sheet,worker_id,date,hours,booking_code,note\n"
RULES = "rule,priority,booked_to,cause,booking_code,note_contains,worker_id,share,share_by,rework,"
RULES += "reason\n"
ESTIMATE = (SAMPLE / "estimate.csv").read_text(encoding="utf-8")
WITHOUT_RAIL = "".join(ESTIMATE.splitlines(keepends=True)[:-1])
WHY = "as the foreman says"
DAY = date(2026, 3, 13)

WORKERS = st.sampled_from(["A1", "B2", "C3"])
DAYS = st.sampled_from(["2026-03-02", "2026-03-03", "2026-03-10"])
CODES = st.sampled_from(["DECK", "RAIL", "RAIN", "SHED", ""])
HOURS = st.sampled_from(["0", "0.00001", "0:00:01", "7.33333", "2"])
NOTES = st.sampled_from(["", "bench", "split"])
PLACES = st.sampled_from(["DECK", "RAIL", "FRAME", "RAIN", "untagged"])
ENTRY = st.integers(0, 30)


def prepared(yard: Yard) -> None:
    """Load the job, and sheets of its first day."""
    load_all(yard)
    rows = "S,A1,2026-03-02,7.33333,SHED,split\nS,B2,2026-03-02,2,DECK,bench\n"
    yard.run("load", "sheets", "--job", JOB, yard.write("first.csv", SHEETS + rows))


class Tagging(RuleBasedStateMachine):
    """A yard in which anything is done to the place of hours; what is refused changes nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.stack = contextlib.ExitStack()
        self.folder = Path(self.stack.enter_context(tempfile.TemporaryDirectory()))
        book = self.folder / "book.duckdb"
        book.write_bytes(book_made_by(prepared))
        self.access = self.stack.enter_context(WriteAccess(book, "Tester").kept_open("test"))
        self.files = 0
        self.seen: dict[int, str] = {}

    def teardown(self) -> None:
        """See every moment again as it was seen then: no later tag changes it."""
        again = {sequence: self.view(sequence) for sequence in self.seen}
        first, self.seen = self.seen, {}
        self.stack.close()

        assert again == first

    @property
    def book(self) -> Book:
        assert self.access.book is not None
        return self.access.book

    def view(self, sequence: int) -> str:
        """Return the job's figures as known at a batch."""
        asked = PerformanceAsked(JOB, status_date=DAY, by="work-package")
        found = performance(self.book.known_by(sequence), asked)
        return repr([(row.key, row.figures) for row in found.rows])

    def attempt(self, command: Callable[[], Any]) -> None:
        """Let a command do what it may; refused, it leaves the book as it was."""
        before = self.book.last_sequence()
        try:
            command()
        except Refused:
            assert self.book.last_sequence() == before

    def file(self, text: str) -> Path:
        self.files += 1
        path = self.folder / f"file-{self.files}.csv"
        path.write_text(text, encoding="utf-8")
        return path

    def entry(self, number: int) -> str:
        rows = self.book.rows("sheets/entries_chosen", ids=self.ids())
        batch, row = rows[number % len(rows)][:2]
        return f"{batch}.{row}"

    def ids(self) -> list[str]:
        cursor = self.book.execute("SELECT batch || '.' || row FROM known_entry(9999) ORDER BY ALL")
        return [each for (each,) in cursor.fetchall()]

    @rule(
        sheet=st.sampled_from(["S", "T", ""]),
        lines=st.lists(st.tuples(WORKERS, DAYS, HOURS, CODES, NOTES), min_size=1, max_size=4),
    )
    def load_lines(self, sheet: str, lines: list[tuple[str, ...]]) -> None:
        text = SHEETS + "".join(",".join([sheet, *line]) + "\n" for line in lines)
        self.attempt(lambda: load_sheets(self.access, SheetLoadAsked([self.file(text)], JOB)))

    @rule()
    def confirm(self) -> None:
        found = sorted({each["reissue"] for each in open_steps(self.book)})
        if found:
            self.attempt(lambda: confirm_reissues(self.access, found[:1], WHY))

    @rule(
        name=st.sampled_from(["one", "two"]),
        priority=st.integers(1, 2),
        place=PLACES,
        note=NOTES,
        share=st.sampled_from(["1", "0.5", "0.333333333"]),
        rework=st.sampled_from(["", "setting_out"]),
        with_closed=st.booleans(),
    )
    def load_rule(
        self,
        name: str,
        priority: int,
        place: str,
        note: str,
        share: str,
        rework: str,
        with_closed: bool,
    ) -> None:
        rest = {"1": "", "0.5": "0.5", "0.333333333": "0.666666667"}[share]
        rows = f"{name},{priority},{place},,,{note},,{share},,{rework},{WHY}\n"
        rows += f"{name},{priority},FRAME,,,{note},,{rest},,{rework},\n" if rest else ""
        files, reason = [self.file(RULES + rows)], WHY if with_closed else None
        self.attempt(lambda: load_rules(self.access, files, late_reason=reason))

    @rule(priority=st.integers(1, 2), worker=WORKERS, note=NOTES)
    def share_by_crew(self, priority: int, worker: str, note: str) -> None:
        rows = f"foreman,{priority},,,,{note},{worker},,crew_hours,,{WHY}\n"
        files = [self.file(RULES + rows)]
        self.attempt(lambda: load_rules(self.access, files))

    @rule(
        entry=ENTRY,
        place=PLACES,
        rework=st.sampled_from([None, "none", "setting_out"]),
        with_closed=st.booleans(),
    )
    def tag_one(self, entry: int, place: str, rework: str | None, with_closed: bool) -> None:
        which, tag = TagFilter(ids=[self.entry(entry)]), Tag(place, WHY, rework=rework)
        self.attempt(lambda: tag_entries(self.access, which, tag, with_closed=with_closed))

    @rule(worker=WORKERS, place=PLACES, with_closed=st.booleans())
    def tag_many(self, worker: str, place: str, with_closed: bool) -> None:
        which, tag = TagFilter(worker=worker), Tag(place, WHY)
        self.attempt(lambda: tag_entries(self.access, which, tag, with_closed=with_closed))

    @rule(table=st.sampled_from(["hand_tag", "rule"]), number=st.integers(0, 9))
    def withdraw(self, table: str, number: int) -> None:
        cursor = self.book.execute(
            f"SELECT '{table}:' || batch || '.' || row FROM current_{table}(9999) ORDER BY ALL"
        )
        if facts := [each for (each,) in cursor.fetchall()]:
            fact = facts[number % len(facts)]
            self.attempt(lambda: withdraw_facts(self.access, [fact], WHY))

    @rule(entry=ENTRY, change=st.sampled_from(["hours=3.33333", "booking_code=RAIL", "note=bench"]))
    def correct(self, entry: int, change: str) -> None:
        named = self.entry(entry)
        self.attempt(lambda: correct_entry(self.access, named, Correction([change], WHY)))

    @rule(entry=ENTRY)
    def reverse(self, entry: int) -> None:
        named = [self.entry(entry)]
        self.attempt(lambda: reverse_entries(self.access, named, WHY))

    @rule(entry=ENTRY)
    def undo(self, entry: int) -> None:
        named = [self.entry(entry)]
        self.attempt(lambda: undo_reversals(self.access, named, WHY))

    @rule(number=st.integers(1, 6))
    def reverse_file(self, number: int) -> None:
        self.attempt(lambda: reverse_loads(self.access, Which(file=f"file-{number}.csv"), WHY))

    @rule(day=st.sampled_from([date(2026, 3, 2), date(2026, 3, 8)]))
    def close(self, day: date) -> None:
        self.attempt(lambda: close_period(self.access, day))

    @rule(day=st.sampled_from([date(2026, 3, 2), date(2026, 3, 8)]))
    def reopen(self, day: date) -> None:
        self.attempt(lambda: reopen_period(self.access, day, WHY, move_hours=True))

    @rule(text=st.sampled_from([ESTIMATE, WITHOUT_RAIL]))
    def load_estimate(self, text: str) -> None:
        files = [self.file(text)]
        self.attempt(lambda: load_files(self.access, "estimate", files, job=JOB, move_hours=True))

    @invariant()
    def no_hour_is_lost(self) -> None:
        """At every sequence the postings of an entry sum to its time, none of the wrong sign."""
        last = self.book.last_sequence()
        entries = self.rows("SELECT batch, batch || '.' || row, ms FROM known_entry($upto)")
        postings = self.rows(
            "SELECT batch, entry_batch || '.' || entry_row,"
            " (job, booked_to, cause, rework)::VARCHAR, ms FROM known_posting($upto) ORDER BY batch"
        )
        times = {entry: ms for _, entry, ms in entries}
        standing: dict[str, Counter[str]] = defaultdict(Counter)
        for sequence in range(1, last + 1):
            for _, entry, place, ms in (each for each in postings if each[0] == sequence):
                standing[entry][place] += ms
            for _, entry, ms in (each for each in entries if each[0] == sequence):
                assert entry in standing, f"{entry} of {ms} ms is booked nowhere"
            for entry, places in standing.items():
                assert sum(places.values()) == times[entry]
                assert all(ms * times[entry] >= 0 for ms in places.values())
        self.seen.setdefault(last, self.view(last))

    @invariant()
    def nothing_is_left_to_move(self) -> None:
        """Every entry of an open period is where it belongs: each batch moved all that it could."""
        self.book.count_to(self.book.last_sequence())
        stage_places(self.book)
        left = self.book.stage("difference", "sheets/posting_differences")
        shared = stage_shared(self.book, None) and stage_shared_out(self.book, MAY_MOVE)

        assert (left, shared) == (0, False)

    def rows(self, select: str) -> list[tuple[Any, ...]]:
        return self.book.execute(select, {"upto": self.book.last_sequence()}).fetchall()


@pytest.mark.slow
def test_no_mix_of_tags_rules_and_closings_loses_an_hour() -> None:
    """Every hour is booked once, whatever happens, and the past stays as it was known."""
    run_state_machine_as_test(
        Tagging,
        settings=settings(
            max_examples=8,
            stateful_step_count=12,
            deadline=None,
            derandomize=True,
            suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
        ),
    )


@pytest.mark.slow
def test_a_statement_as_known_last_month_is_the_same_after_tagging(stage: Yard) -> None:
    """A report remade as known at a batch has the same bytes, whatever was tagged since."""
    text = SHEETS + "S,A1,2026-03-02,8,SHED,\nS,B2,2026-03-03,6,DECK,\n"
    stage.run("load", "sheets", "--job", JOB, stage.write("week.csv", text))
    stage.run("freeze", "--job", JOB, "--on", "2026-02-27")
    known = len(stage.rows(stage.run("history", "--format", "csv").stdout))
    before = statement(stage, known, "before.html")
    stage.run("tag", "entries", "--worker", "A1", "--to", "RAIL", "--reason", WHY)
    stage.run("tag", "entries", "--worker", "B2", "--to", "RAIL", "--reason", WHY)

    assert statement(stage, known, "after.html") == before
    assert statement(stage, known + 2, "now.html") != before


def statement(yard: Yard, known: int, name: str) -> bytes:
    """Return the bytes of the owner's statement as known at a batch."""
    path = yard.folder / name
    words = ("report", "variations", "--job", JOB, "--status-date", "2026-03-08", "--out", path)
    yard.run("--known-at", str(known), *words)
    return path.read_bytes().replace(name.encode(), b"")
