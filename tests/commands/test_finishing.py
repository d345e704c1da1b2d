"""Every write ends in one place: held lines read again, entries placed, doubts counted."""

from pathlib import Path

import pytest

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.book import history
from ledger.commands.entries import Correction, EntriesAsked, correct_entry, entries
from ledger.commands.held_lines import held_lines, release_lines
from ledger.commands.loads import load_files
from ledger.commands.sheets import SheetLoadAsked, load_sheets
from ledger.sheets.held import Chosen
from tests._stage import JOB, SHEET_HEAD, sums_by_entry, table, times_by_entry
from tests.conftest import Yard

CREW = "worker_id,name,trade,active_from\nN1,Noor Vask,joiner,2026-01-01\n"


def access_to(yard: Yard) -> WriteAccess:
    return WriteAccess(yard.book, "Tester")


def sheet(yard: Yard, *lines: str, name: str = "week.csv") -> SheetLoadAsked:
    path = yard.write(name, SHEET_HEAD + "".join(f"{line}\n" for line in lines))
    return SheetLoadAsked([path], JOB)


def last_batch(yard: Yard) -> int:
    return int(history(ReadAccess(yard.book))[-1]["sequence"])


def test_a_load_returns_facts(stage: Yard) -> None:
    """What came of a load are counts, amounts and its batch, without a command line."""
    done = load_sheets(
        access_to(stage), sheet(stage, "A1,2026-03-10,25,DECK,", "A1,2026-03-11,8,X,")
    )
    counts = done.loaded.files[0]

    assert (counts.lines_read, counts.booked, counts.held) == (2, 1, 1)
    assert [(code.code, code.ms) for code in done.untagged] == [("X", 28_800_000)]
    assert done.finished.sequence == done.stamp.sequence == last_batch(stage)


def test_lines_that_waited_are_booked_at_the_end_of_a_load(stage: Yard) -> None:
    """A worker loaded after their sheets has their lines booked, in the batch of the crew."""
    load_sheets(access_to(stage), sheet(stage, "N1,2026-03-10,8,DECK,"))
    done = load_files(access_to(stage), "crew", [stage.write("crew.csv", CREW)])

    assert done.finished.places.released == 1
    assert sums_by_entry(stage) == times_by_entry(stage)


def test_a_load_of_what_is_known_is_no_batch(stage: Yard) -> None:
    """A write that added nothing has no sequence, and the book has no batch of it."""
    path = stage.write("crew.csv", CREW)
    first = load_files(access_to(stage), "crew", [path])
    again = load_files(access_to(stage), "crew", [path])

    assert first.finished.sequence == last_batch(stage)
    assert again.finished.sequence is None


def test_a_dry_run_is_no_batch(stage: Yard) -> None:
    """What a dry run would do is told, and nothing of it is in the book."""
    loaded = load_sheets(access_to(stage), sheet(stage, "A1,2026-03-10,8,DECK,"))
    entry = entries(ReadAccess(stage.book), EntriesAsked(worker="a1"))[0]["entry"]
    done = correct_entry(access_to(stage), entry, Correction(["hours=6"], "asked"), dry_run=True)

    assert [(move.ms_from, move.ms_to) for move in done.done.moves] == [(28_800_000, 21_600_000)]
    assert done.finished.sequence is None
    assert last_batch(stage) == loaded.finished.sequence


def test_a_released_line_is_placed_and_doubted(stage: Yard) -> None:
    """A line that a person books stands where its code says, and raises its doubts."""
    load_sheets(access_to(stage), sheet(stage, "A1,2026-03-10,25,DECK,"))
    line = held_lines(ReadAccess(stage.book))[0]["held_line"]
    done = release_lines(access_to(stage), Chosen([line]), "two shifts")

    assert (done.ended.released, done.finished.doubts.kinds.get("daily_limit")) == (1, 1)
    assert sums_by_entry(stage) == times_by_entry(stage)
    assert [row["booked_to"] for row in table(stage, "posting")] == ["DECK"]


@pytest.mark.slow
def test_commands_on_one_connection_do_the_same(
    stage: Yard, prepared: Path, tmp_path: Path
) -> None:
    """A book kept open for many commands holds what it holds when each opens it."""
    apart, kept = stage, Yard(tmp_path / "kept")
    kept.folder.mkdir()
    kept.book.write_bytes(prepared.read_bytes())
    files = [
        sheet(apart, "N1,2026-03-10,8,DECK,", "A1,2026-03-10,8,X,"),
        sheet(apart, "A1,2026-03-11,7,DECK,", name="next.csv"),
    ]
    crew = apart.write("crew.csv", CREW)
    for asked in files:
        load_sheets(access_to(apart), asked)
    load_files(access_to(apart), "crew", [crew])
    with access_to(kept).kept_open("test") as access:
        for asked in files:
            load_sheets(access, asked)
        load_files(access, "crew", [crew])

    for name in ("entry", "posting", "line_outcome", "crew"):
        assert table(kept, name) == table(apart, name)
    assert kept.run("check").exit_code == 0
