"""What was known once can be shown again, whatever was added since."""

import functools
import shlex
import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule
from typer.testing import CliRunner

from ledger.cli.program import app
from tests.conftest import Yard

SAMPLE = Path(__file__).resolve().parents[1] / "sample_data" / "small"
VIEWS = (
    ("performance", "--job", "STAGE", "--by", "work-package", "--format", "json"),
    ("overrun", "--job", "STAGE", "--status-date", "2026-03-22", "--format", "json"),
    ("overrun", "--job", "STAGE", "--in", "cost", "--format", "json"),
    ("held", "--format", "csv"),
)


class Said(NamedTuple):
    """What a command said, whether it was refused or not."""

    exit_code: int
    stdout: str
    stderr: str


def said(book: Path, *words: str) -> Said:
    result = CliRunner().invoke(app, ["--book", str(book), "--actor", "Tester", *words])
    if result.exception and not isinstance(result.exception, SystemExit):
        raise result.exception
    return Said(result.exit_code, result.stdout, result.stderr)


def seen(book: Path, known_at: int | None = None) -> list[Said]:
    """Return what the views say at the head, or as known at a batch."""
    before = [] if known_at is None else ["--known-at", str(known_at)]
    return [said(book, *before, *view) for view in VIEWS]


def last_batch(book: Path) -> int:
    return len(said(book, "history", "--format", "csv").stdout.splitlines()) - 1


def sample_commands() -> list[list[str]]:
    """Return the commands that build the small sample, as its README gives them."""
    readme = (SAMPLE / "README.md").read_text(encoding="utf-8")
    block = readme.split("## Building it\n")[1].split("```sh\n")[1].split("```")[0]
    return [
        [str(SAMPLE / word) if word.endswith((".csv", ".toml")) else word for word in words[1:]]
        for words in map(shlex.split, block.splitlines())
    ]


@pytest.mark.slow
def test_every_batch_of_the_sample_can_be_seen_again(yard: Yard) -> None:
    """After each command that builds the sample, and at the end, that moment looks the same."""
    views: dict[int, list[Said]] = {}
    for words in sample_commands():
        yard.run(*words)
        views[last_batch(yard.book)] = seen(yard.book)

    again = {number: seen(yard.book, number) for number in views}

    assert list(views) == list(range(1, 16))
    assert views[15] != views[14] != views[13]
    assert all(view.exit_code == 0 for view in views[15])
    assert again == views


@functools.cache
def begun(frozen: bool) -> Path:
    """Return a book with a job, frozen or not, its crew, rates and changes, and no work yet."""
    book = Path(tempfile.mkdtemp()) / "begun.duckdb"
    later = {"change-events", "rules", "progress", "sheets", *([] if frozen else ["freeze"])}
    for words in sample_commands():
        if not later & set(words):
            assert said(book, *words).exit_code == 0
    return book


WORKERS = st.sampled_from(["A1", "B2", "C3", "X9"])
TRADES = st.sampled_from(["carpenter", "labourer"])
CHANGES = st.sampled_from(["CR1", "CR2", "CR3"])
DAYS = st.integers(1, 22).map(lambda day: f"2026-03-{day:02}")
HOURS = st.sampled_from(["0.5", "2", "7:45", "9", "12.3456", "30"])
CODES = st.sampled_from(["FRAME", "DECK", "RAIL", "CR1", "CR2", "CR3", "RAIN", "SHED"])
NOTES = st.sampled_from(["", "bench", "late"])
MEASURES = st.sampled_from(
    [
        "work_package,date,quantity_done\nDECK,{day},{share}",
        "work_package,date,milestone\nFRAME,{day},piles",
        "work_package,date,started,trade,estimate_to_complete_hours\n"
        "RAIL,{day},{day},carpenter,{share}",
        "work_package,date,finished\nRAIL,{day},{day}",
        "work_package,date,percent\nCR1,{day},{share}",
    ]
)
EVENTS = st.lists(
    st.sampled_from(
        ["priced", "submitted", "approved", "instructed", "stopped", "declined", "complete"]
    ),
    min_size=1,
    max_size=2,
)
JOB_EDITS = st.sampled_from(
    [
        ("Landing stage at Sillmere", "Landing stage"),
        ('management_reserve_hours = "0"', 'management_reserve_hours = "25"'),
        ("owner_sees_overrun = true", "owner_sees_overrun = false"),
        ('"fixed_price"', '"time_charge"'),
        ("days_off = []", "days_off = [2026-03-09]"),
        ('"20000.00"', '"21000.00"'),
    ]
)
SETTING_EDITS = st.sampled_from(
    [
        ('forecast_threshold_percent = "15"', 'forecast_threshold_percent = "60"'),
        ('borne_by = "yard"', 'borne_by = "undecided"'),
        ('asked_by = "unforeseen_condition"', 'asked_by = "yard"'),
        ('RAIN = "weather"', 'RAIN = "weather"\nSHED = "setting_out"'),
    ]
)


class Recording(RuleBasedStateMachine):
    """Load facts of every kind in any order, keep what is said after each, and compare at the end.

    A refused command is fine: then no batch may have been added.
    """

    @initialize(frozen=st.booleans())
    def begin(self, frozen: bool) -> None:
        self.folder = Path(tempfile.mkdtemp())
        self.book = self.folder / "book.duckdb"
        shutil.copy(begun(frozen), self.book)
        self.views = {last_batch(self.book): seen(self.book)}
        self.files = 0

    def load(self, thing: str, text: str, *options: str) -> None:
        self.files += 1
        ending = "toml" if thing in {"job", "settings"} else "csv"
        path = self.folder / f"{thing}-{self.files}.{ending}"
        path.write_text(text + "\n", encoding="utf-8")
        self.do("load", thing, *options, str(path))

    def do(self, *words: str) -> None:
        last = max(self.views)
        outcome = said(self.book, *words)
        now = last_batch(self.book)
        if now != last:
            assert (outcome.exit_code, now) == (0, last + 1)
            self.views[now] = seen(self.book)

    def load_of_job(self, thing: str, text: str) -> None:
        self.load(thing, text, "--job", "STAGE")

    @rule(day=st.sampled_from(["2026-02-27", "2026-03-02"]))
    def freeze(self, day: str) -> None:
        self.do("freeze", "--job", "STAGE", "--on", day)

    @rule(hours=st.integers(20, 99))
    def estimate(self, hours: int) -> None:
        text = (SAMPLE / "estimate.csv").read_text(encoding="utf-8")
        self.load_of_job("estimate", text.replace("carpenter,80,", f"carpenter,{hours},"))

    @rule(weight=st.integers(1, 60))
    def milestones(self, weight: int) -> None:
        text = (SAMPLE / "milestones.csv").read_text(encoding="utf-8")
        self.load_of_job("milestones", text.replace("piles,50,", f"piles,{weight},"))

    @rule(first=st.integers(0, 80))
    def plan(self, first: int) -> None:
        rows = [f"DECK,2026-03-09,{first},carpenter", f"DECK,2026-03-16,{80 - first},carpenter"]
        self.load_of_job("plan", "\n".join(["work_package,date,hours,trade", *rows]))

    @rule(trade=TRADES, day=DAYS, charge=st.integers(30, 90))
    def charge_rates(self, trade: str, day: str, charge: int) -> None:
        text = f"trade,effective_from,charge_per_hour\n{trade},{day},{charge}"
        self.load_of_job("charge-rates", text)

    @rule(worker=WORKERS, trade=TRADES, day=DAYS)
    def crew(self, worker: str, trade: str, day: str) -> None:
        row = f"{worker},Worker {worker},{trade},lead,{day}"
        self.load("crew", f"worker_id,name,trade,grade,active_from\n{row}")

    @rule(trade=TRADES, day=DAYS, cost=st.integers(10, 60))
    def rates(self, trade: str, day: str, cost: int) -> None:
        self.load("rates", f"trade,effective_from,cost_per_hour\n{trade},{day},{cost}.25")

    @rule(edit=SETTING_EDITS)
    def settings(self, edit: tuple[str, str]) -> None:
        self.load("settings", (SAMPLE / "settings.toml").read_text("utf-8").replace(*edit))

    @rule(edit=JOB_EDITS)
    def job(self, edit: tuple[str, str]) -> None:
        self.load("job", (SAMPLE / "job.toml").read_text("utf-8").replace(*edit))

    @rule(place=CODES, note=NOTES, priority=st.integers(1, 3), name=st.sampled_from("ab"))
    def load_rules(self, place: str, note: str, priority: int, name: str) -> None:
        head = "rule,priority,booked_to,note_contains,job"
        self.load("rules", f"{head}\n{name},{priority},{place},{note},STAGE")

    @rule(measure=MEASURES, day=DAYS, share=st.integers(1, 40))
    def progress(self, measure: str, day: str, share: int) -> None:
        self.load_of_job("progress", measure.format(day=day, share=share))

    @rule(change=CHANGES, day=DAYS, basis=st.sampled_from(["fixed_price", "daywork", "no_charge"]))
    def changes(self, change: str, day: str, basis: str) -> None:
        head = "change,title,requested_by,requested_on,change_basis,origin"
        self.load_of_job("changes", f"{head}\n{change},Request,Jonna Merrick,{day},{basis},owner")

    @rule(change=CHANGES, revision=st.integers(1, 2), hours=st.integers(-12, 30))
    def change_lines(self, change: str, revision: int, hours: int) -> None:
        place = "DECK" if hours < 0 else ""
        head = "change,price_kind,description,revision,trade,hours,work_package"
        row = f"{change},labour,Work,{revision},carpenter,{hours},{place}"
        self.load_of_job("change-lines", f"{head}\n{row}")

    @rule(change=CHANGES, events=EVENTS, day=DAYS)
    def change_events(self, change: str, events: list[str], day: str) -> None:
        rows = [f"{change},{event},{day},Jonna Merrick" for event in events]
        self.load_of_job("change-events", "\n".join(["change,event,date,person", *rows]))

    @rule(
        giver=st.sampled_from(["FRAME", "DECK", "RAIL"]),
        taker=st.sampled_from(["DECK", "RAIL", "reserve", "undistributed", "contingency"]),
        day=DAYS,
    )
    def baseline_changes(self, giver: str, taker: str, day: str) -> None:
        head = "name,date,person,reference,work_package,trade,hours"
        shared = f"move {self.files},{day},Ada Brunt,minutes"
        rows = [f"{shared},{giver},carpenter,-3", f"{shared},{taker},carpenter,3"]
        self.load_of_job("baseline-changes", "\n".join([head, *rows]))

    @rule(
        lines=st.lists(st.tuples(WORKERS, DAYS, HOURS, CODES, NOTES), min_size=1, max_size=5),
        rework=st.sampled_from(["", "setting_out"]),
    )
    def sheets(self, lines: list[tuple[str, ...]], rework: str) -> None:
        rows = [",".join(["S", *line, rework]) for line in lines]
        head = "sheet,worker_id,date,hours,booking_code,note,rework"
        self.load_of_job("sheets", "\n".join([head, *rows]))

    def teardown(self) -> None:
        if not hasattr(self, "views"):
            return
        again = {number: seen(self.book, number) for number in self.views}
        checked = said(self.book, "check")
        shutil.rmtree(self.folder)

        assert again == self.views
        assert checked.exit_code == 0, checked.stderr


class TestRecording(Recording.TestCase):  # type: ignore[misc, valid-type]
    """Every moment of a random history can be seen again."""

    settings = settings(
        max_examples=8,
        stateful_step_count=8,
        deadline=None,
        derandomize=True,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )
    pytestmark = pytest.mark.slow
