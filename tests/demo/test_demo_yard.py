"""The demo yard's files are what their generator writes, and hold what the demo is to show."""

import csv
import io
from collections import Counter
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.program import app
from tests.conftest import Yard
from tests.demo import _faults, _replay, _sheets, _yard, make_demo_yard

SAMPLE = make_demo_yard.SAMPLE
MADE = make_demo_yard.files()


def rows(path: str) -> list[dict[str, str]]:
    """Return the rows of one of the generator's files."""
    return list(csv.DictReader(io.StringIO(MADE[path])))


def all_rows(folder: str, name: str) -> Iterator[dict[str, str]]:
    """Yield the rows of every file of a folder whose name begins so, in their order."""
    for path in sorted(MADE):
        if path.startswith(f"{folder}/") and Path(path).name.startswith(name):
            yield from rows(path)


def test_files_are_what_the_generator_writes() -> None:
    """Every file of the demo yard is written by the generator, byte by byte, and no other is."""
    kept = [path for folder in make_demo_yard.FOLDERS for path in (SAMPLE / folder).rglob("*.*")]
    kept.append(SAMPLE / "schedule.csv")

    actual = {path.relative_to(SAMPLE).as_posix(): path.read_bytes() for path in kept}

    assert actual == {path: text.encode() for path, text in MADE.items()}


def test_schedule_names_every_file_once() -> None:
    """Each file comes to the yard once, and the days run forward."""
    schedule = rows("schedule.csv")
    days = [row["on"] for row in schedule]
    actual = sorted(row["file"] for row in schedule if row["file"])

    assert actual == sorted(set(MADE) - {"schedule.csv"})
    assert days == sorted(days)


def test_the_files_stay_small() -> None:
    """All files together are below three million bytes."""
    actual = sum(len(text.encode()) for text in MADE.values())

    assert actual < 3_000_000


def test_the_book_of_sheets_is_as_large_as_a_real_one() -> None:
    """Forty-two weekly files hold twelve thousand lines and more."""
    weeks = [path for path in MADE if path.startswith("sheets/")]
    lines = sum(len(rows(path)) for path in weeks)

    assert len(weeks) == 42
    assert lines >= 12_000


def test_the_estimate_uses_every_technique_and_spread() -> None:
    """The ferry has forty packages and more, measured and spread in every way there is."""
    estimate = rows("ferry/estimate.csv")
    hours = sum(int(row["budget_hours"]) for row in estimate)

    assert 14_000 <= hours <= 20_000
    assert len({row["work_package"] for row in estimate}) >= 40
    assert {row["technique"] for row in estimate} == {
        "percent_complete",
        "units_complete",
        "weighted_milestone",
        "fixed_formula",
        "apportioned_effort",
        "level_of_effort",
    }
    assert {row["spread"] for row in estimate} == {"", "even", "early", "late", "middle"}
    assert {row["package_kind"] for row in estimate} == {"", "contingency", "planning"}
    assert {row["start_share"] for row in estimate} == {"", "0", "0.25", "0.5"}


def test_the_requests_are_of_every_kind() -> None:
    """Eighteen requests on the ferry come from every origin, on every basis, by every event."""
    changes = list(all_rows("ferry/changes", "changes-"))
    events = list(all_rows("ferry/changes", "change-events-"))

    assert len(changes) == 18
    assert {row["origin"] for row in changes} == {
        "owner",
        "yard",
        "change_in_law",
        "unforeseen_condition",
    }
    assert {row["change_basis"] for row in changes} == {"fixed_price", "daywork", "no_charge"}
    assert {row["event"] for row in events} == {
        "priced",
        "submitted",
        "approved",
        "declined",
        "disputed",
        "withdrawn",
        "instructed",
        "stopped",
        "complete",
        "value_agreed",
    }


def test_workers_are_split_over_both_jobs_in_a_week() -> None:
    """In weeks when both jobs run, some worker's lines name the one and the other."""
    jobs: dict[tuple[str, str], set[str]] = {}
    for row in all_rows("sheets", "week-"):
        jobs.setdefault((row["sheet"].rstrip("S"), row["worker_id"]), set()).add(row["job"])

    assert sum({"FERRY", "SEDGE"} <= named for named in jobs.values()) > 100


def test_a_saturdays_crew_is_below_a_third_of_a_weekdays() -> None:
    """On Saturdays two to five come; on weekdays of the same week far more."""
    crews: dict[str, set[str]] = {}
    for row in all_rows("sheets", "week-"):
        crews.setdefault(row["date"], set()).add(row["worker_id"])
    saturdays = {_yard.day_of(week, 5): week for week in range(1, _yard.WEEKS + 1)}
    pairs = [
        (len(crews[str(day)]), len(crews[str(_yard.day_of(week, 2))]))
        for day, week in saturdays.items()
        if str(day) in crews
    ]

    assert len(pairs) > 20
    assert all(on_saturday * 3 < on_wednesday for on_saturday, on_wednesday in pairs)


def test_faults_are_many_and_of_many_kinds() -> None:
    """Sixty faulty lines and more, of over thirty kinds, stand with what becomes of them."""
    kinds = {fault.kind for fault in _faults.FAULTS}

    assert len(_faults.FAULTS) >= 60
    assert len(kinds) > 30
    assert {fault.becomes.partition(":")[0] for fault in _faults.FAULTS} == {
        "held",
        "untagged",
        "doubt",
    }


def test_rows_of_a_week_are_given_for_other_formats() -> None:
    """The rows of a week can be had as text by column, for files of another format."""
    week = _sheets.rows_of_week(18)

    assert [list(row) for row in week] == [list(_sheets.HEAD)] * len(week)
    assert week == rows("sheets/week-2026-20.csv")


@pytest.mark.slow
def test_the_first_weeks_load_in_the_order_of_the_schedule(tmp_path: Path) -> None:
    """The schedule's commands, one after the other at their instants, are all accepted."""
    upto, book = date(2026, 3, 10), str(tmp_path / "book.duckdb")

    def run(*words: str) -> None:
        result = CliRunner().invoke(app, ["--book", book, "--actor", "ofarr", *words])
        assert result.exit_code == 0, f"{words}: {result.stderr}"

    _replay.replay(run, upto)
    ran = len(list(_replay.commands(upto)))
    batches = Yard(tmp_path).rows(Yard(tmp_path).run("history", "--format", "csv").stdout)

    # The book's own first batch, and one for each command.
    assert len(batches) == 1 + ran
    assert batches[-1]["recorded_at"].startswith("2026-03-10 17:")


# What is loaded first, when order does not matter: kinds of commands, then their files together.
CONDENSED = (
    "settings",
    "job",
    "crew",
    "rates",
    "charge-rates",
    "estimate",
    "milestones",
    "freeze",
    "changes",
    "change-lines",
    "progress",
    "change-events",
    "--baseline-change",
    "baseline-changes",
    "rules",
    "sheets",
)


def condensed() -> Iterator[list[str]]:
    """Yield the schedule's commands with files of one command together."""
    grouped: dict[str, list[str]] = {}
    for row in rows("schedule.csv"):
        grouped.setdefault(row["command"], [])
        if row["file"]:
            grouped[row["command"]].append(str(SAMPLE / row["file"]))
    for kind in CONDENSED:
        for command, paths in grouped.items():
            words = command.split()
            # What replans by a baseline change waits for the freeze.
            own = set(words[4:5]) if "--baseline-change" in words else {words[0], *words[1:2]}
            if kind in own:
                if kind in {"settings", "job"}:
                    yield from ([*words, path] for path in paths)
                else:
                    yield [*words, *paths]


@pytest.mark.slow
def test_faults_become_what_is_said_of_them(tmp_path: Path) -> None:
    """Held lines are those of FAULTS by reason, and untagged lines those with codes unknown."""
    yard = Yard(tmp_path).new()
    for words in condensed():
        yard.run(*words)
    held = Counter(row["reason"] for row in yard.rows(yard.run("held", "--format", "csv").stdout))
    postings = yard.rows(yard.run("show", "posting", "--format", "csv").stdout)
    untagged = Counter(row["entry_row"] for row in postings if row["booked_to"] == "untagged")

    expected = Counter(
        fault.becomes.removeprefix("held: ")
        for fault in _faults.FAULTS
        if fault.becomes.startswith("held")
    )

    assert held == expected
    assert len(untagged) == sum(fault.becomes == "untagged" for fault in _faults.FAULTS)
