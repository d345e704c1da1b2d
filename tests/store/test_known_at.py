"""--known-at shows the book as it was; --recorded-at is for rehearsals; clocks run forward."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.program import app
from tests.conftest import Outcome, Yard, slow_beyond
from tests.store._sample import copy_of

CREW = "worker_id,name,trade,grade\n{0},{0},joiner,lead\n"
# When each batch of the rehearsal was recorded; batch 1 makes the book.
RECORDED = (
    "2026-03-01T08:00:00+00:00",
    "2026-03-02T22:30:00+00:00",
    "2026-03-02T23:30:00+00:00",
    "2026-03-04T08:00:00+00:00",
)


def load_worker(yard: Yard, worker: str, *before: str, ok: bool = True) -> str:
    """Load one worker, with options before the command, and return what was said of it."""
    path = yard.write(f"{worker}.csv", CREW.format(worker))
    return yard.run(*before, "load", "crew", path, ok=ok).stderr.strip()


def make(yard: Yard, *words: str) -> Outcome:
    """Make the book with options of its own, where `yard.run` would make a plain one first."""
    result = CliRunner().invoke(app, ["--book", str(yard.book), *words])
    return Outcome(result.exit_code, result.stdout, result.stderr)


def rehearsed(yard: Yard, zone: str = "UTC") -> Yard:
    """Return a rehearsal whose batches 2 to 4 bring the zone, worker W3 and worker W4."""
    assert make(yard, "--recorded-at", RECORDED[0], "new", "--rehearsal").exit_code == 0
    settings = yard.write("settings.toml", f'[yard]\nzone = "{zone}"\n')
    yard.run("--recorded-at", RECORDED[1], "load", "settings", settings)
    load_worker(yard, "W3", "--recorded-at", RECORDED[2])
    load_worker(yard, "W4", "--recorded-at", RECORDED[3])
    return yard


@pytest.fixture(scope="module")
def rehearsal(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """A rehearsal of a yard in UTC, to be read only."""
    return rehearsed(Yard(tmp_path_factory.mktemp("rehearsal")))


@pytest.fixture
def rehearsing(rehearsal: Yard, tmp_path: Path) -> Yard:
    """A copy of the rehearsal, to be written to."""
    return copy_of(rehearsal, tmp_path)


def stamps(yard: Yard) -> list[str]:
    rows = yard.rows(yard.run("history", "--format", "csv").stdout)
    return [f"{row['sequence']}.{row['head']}" for row in rows]


def known(yard: Yard, known_at: str) -> int:
    """Return how many batches count at a moment."""
    return len(yard.rows(yard.run("--known-at", known_at, "history", "--format", "csv").stdout))


@pytest.mark.parametrize(
    ("known_at", "batches"),
    [
        ("1", 1),
        ("3", 3),
        ("4", 4),
        ("2026-03-02T23:29:59.999999+00:00", 2),
        ("2026-03-02T23:30:00+00:00", 3),  # recorded at that very instant
        ("2026-03-02T23:30:00", 3),  # without an offset: the yard's zone, here UTC
        ("2026-03-02T23:30:00+01:00", 2),  # an hour earlier in UTC: 22:30
        ("2026-03-02T23:29:00+01:00", 1),
        ("2026-03-01", 1),
        ("2026-03-02", 3),  # up to the end of that day
        ("2026-03-03", 3),
        ("2026-03-04", 4),
        ("2099-12-31", 4),
    ],
)
def test_a_batch_number_an_instant_or_a_day_counts_what_was_recorded_by_then(
    rehearsal: Yard, known_at: str, batches: int
) -> None:
    """--known-at takes a batch number, an instant or the end of a day."""
    assert known(rehearsal, known_at) == batches


def test_a_stamp_counts_the_batches_up_to_it(rehearsal: Yard) -> None:
    """--known-at takes the stamp of every batch, whole or with the head cut short."""
    for number, stamp in enumerate(stamps(rehearsal), start=1):
        assert known(rehearsal, stamp) == number
        assert known(rehearsal, stamp[:10]) == number


def test_facts_recorded_later_are_not_shown(rehearsal: Yard) -> None:
    """With --known-at a command shows the facts that the book had by then."""
    shown = rehearsal.run("--known-at", "3", "show", "crew", "--format", "csv").stdout

    assert [row["worker_id"] for row in rehearsal.rows(shown)] == ["W3"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("zone", "batches"),
    slow_beyond(
        2,
        [
            ("UTC", 3),
            ("Asia/Tokyo", 1),  # 2 March ends at 15:00 UTC, before the batches at 22:30 and 23:30
            ("Europe/Oslo", 2),  # it ends at 23:00 UTC, between them
            ("America/Lima", 3),  # it ends at 05:00 UTC on 3 March, after both
        ],
    ),
)
def test_a_day_ends_in_the_zone_of_the_yard(yard: Yard, zone: str, batches: int) -> None:
    """--known-at with a date counts up to the end of that day in the yard's zone."""
    rehearsed(yard, zone)

    assert known(yard, "2026-03-02") == batches


def test_an_instant_without_an_offset_is_in_the_zone_of_the_yard(yard: Yard) -> None:
    """--known-at with a bare instant is read in the yard's zone: 23:40 in Oslo is 22:40 UTC."""
    rehearsed(yard, "Europe/Oslo")

    assert known(yard, "2026-03-02T23:40:00") == 2


@pytest.mark.parametrize("known_at", ["0", "5", "2026-02-28", "yesterday", "2026-02-30", "-1"])
def test_a_moment_the_book_does_not_have_is_refused(rehearsal: Yard, known_at: str) -> None:
    """A batch, day or word that names no moment of the book is refused with the value said."""
    outcome = rehearsal.run("--known-at", known_at, "history", ok=False)

    assert outcome.exit_code == 1
    assert f'--known-at "{known_at}"' in outcome.stderr


def test_a_stamp_with_another_head_is_refused(rehearsal: Yard) -> None:
    """A stamp whose head is not that of the batch is refused."""
    wrong = stamps(rehearsal)[1].replace("2.", "3.", 1)

    outcome = rehearsal.run("--known-at", wrong, "history", ok=False)

    assert "batch 3 has a different head" in outcome.stderr


def test_known_at_is_refused_for_writing(rehearsing: Yard) -> None:
    """A command that writes takes no --known-at, and writes nothing."""
    outcome = rehearsing.run(
        "--known-at", "3", "load", "crew", rehearsing.write("a.csv", "x\n"), ok=False
    )

    assert outcome.exit_code == 2
    assert known(rehearsing, "4") == len(stamps(rehearsing)) == 4


def test_a_rehearsal_records_the_instants_it_is_told(rehearsing: Yard) -> None:
    """On a rehearsal book every batch has the instant of its --recorded-at, in UTC."""
    load_worker(rehearsing, "W5", "--recorded-at", "2026-03-05T01:00:00+05:30")
    rows = rehearsing.rows(rehearsing.run("history", "--format", "csv").stdout)

    assert [row["recorded_at"][:19] for row in rows] == [
        "2026-03-01 08:00:00",
        "2026-03-02 22:30:00",
        "2026-03-02 23:30:00",
        "2026-03-04 08:00:00",
        "2026-03-04 19:30:00",  # 01:00 less 5:30
    ]


@pytest.mark.parametrize(
    "recorded_at", [RECORDED[3], "2026-03-04T07:59:59.999999+00:00", "2026-03-04T12:00:00+05:00"]
)
def test_a_clock_not_after_the_last_batch_is_refused(rehearsing: Yard, recorded_at: str) -> None:
    """A batch recorded at or before the last one is refused, and nothing is written."""
    told = load_worker(rehearsing, "W5", "--recorded-at", recorded_at, ok=False)

    assert "the last batch was recorded at 2026-03-04T08:00:00+00:00" in told
    assert len(stamps(rehearsing)) == 4


def test_a_microsecond_after_the_last_batch_is_taken(rehearsing: Yard) -> None:
    """A batch recorded a microsecond after the last one is accepted."""
    load_worker(rehearsing, "W5", "--recorded-at", "2026-03-04T08:00:00.000001+00:00")

    assert len(stamps(rehearsing)) == 5
    assert rehearsing.run("check").exit_code == 0


def test_the_machines_clock_behind_the_last_batch_is_refused(rehearsing: Yard) -> None:
    """A book whose last batch lies in the future takes no batch from the clock."""
    load_worker(rehearsing, "W5", "--recorded-at", "2199-01-01T00:00:00+00:00")

    told = load_worker(rehearsing, "W6", ok=False)

    assert "the last batch was recorded at 2199-01-01T00:00:00+00:00" in told
    assert len(stamps(rehearsing)) == 5


def test_recorded_at_is_refused_on_a_real_book(yard: Yard) -> None:
    """A book that is no rehearsal takes its instants from the clock only."""
    yard.new()

    told = load_worker(yard, "W1", "--recorded-at", "2199-01-01T00:00:00+00:00", ok=False)

    assert told.startswith("--recorded-at is for rehearsal books only")
    assert len(stamps(yard)) == 1


def test_recorded_at_is_refused_for_making_a_real_book(yard: Yard) -> None:
    """`new` takes --recorded-at only with --rehearsal, and leaves no file when it refuses."""
    outcome = make(yard, "--recorded-at", RECORDED[0], "new")

    assert outcome.exit_code == 1
    assert outcome.stderr.startswith("--recorded-at is for rehearsal books only")
    assert not yard.book.exists()
