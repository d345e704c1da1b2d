"""A file or batch of sheets is undone whole: its hours taken back, and it can be loaded again."""

import pytest

from tests._stage import JOB, booked, held, load_sheets, sums_by_entry, table, times_by_entry
from tests.conftest import Yard

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code\n"
WEEK = HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-02,2,DECK\nS1,B2,2026-03-03,x,DECK\n"
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")


def reverse(stage: Yard, *words: str, ok: bool = True) -> list[str]:
    command = ("reverse", *words, "--reason", "the wrong yard")
    return stage.run(*command, ok=ok).stderr.splitlines()


def standing(stage: Yard) -> dict[str, str]:
    """Return the id of each entry that stands, by its hours."""
    rows = stage.rows(stage.run("entries", "--format", "csv").stdout)
    return {row["hours"]: row["entry"] for row in rows if row["state"] == "stands"}


def batches(stage: Yard) -> int:
    return len(stage.run("history", "--format", "csv").stdout.splitlines())


def reissue(stage: Yard) -> str:
    (only,) = {row["reissue"] for row in stage.json("reissues")}
    return only


def holds(stage: Yard) -> bool:
    assert sums_by_entry(stage) == times_by_entry(stage)
    return stage.run("check").exit_code == 0


@pytest.mark.slow
def test_a_file_is_undone_and_loaded_again_anew(stage: Yard) -> None:
    """Previewed, then reversed with its held line; the same bytes are then booked once more."""
    first = load_sheets(stage, WEEK)
    before = batches(stage)
    batch = before - 1
    dry = reverse(stage, "file", "week.csv", "--dry-run")
    unwritten = batches(stage)
    done = reverse(stage, "file", "week.csv")
    emptied = (booked(stage), held(stage))
    again = load_sheets(stage, WEEK)
    day = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["recorded_at"][:10]

    assert dry == ["dry run, nothing was written; without --dry-run:", *done]
    assert done == [
        f"week.csv (batch {batch}, {day}): 2 entries reversed, 10.00 h; 1 held line ended",
        f"  {JOB} FRAME: 1 entry, 8.00 h",
        f"  {JOB} DECK: 1 entry, 2.00 h",
    ]
    assert (unwritten, emptied) == (before, ({}, []))
    assert again == first
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert len(held(stage)) == 1
    assert holds(stage)


@pytest.mark.slow
def test_what_was_reversed_with_its_file_is_not_undone(stage: Yard) -> None:
    """Its way back is the file: never do two copies of a line stand."""
    load_sheets(stage, WEEK)
    entry = standing(stage)["8.0000"]
    reverse(stage, "file", "week.csv")
    why = ("--reason", "x")
    undo = stage.run("undo", "reversal", entry, *why, ok=False).stderr.splitlines()[0]
    again = reverse(stage, "file", "week.csv", ok=False)
    load_sheets(stage, WEEK)
    late = stage.run("undo", "reversal", entry, *why, ok=False).stderr.splitlines()[0]
    correct = stage.run("correct", "entry", entry, "hours=1", *why, ok=False).stderr

    way_back = f"entry {entry} was reversed with its file; load week.csv again to book it anew"
    assert undo == late == way_back
    assert again[0].startswith("week.csv: was already reversed in batch ")
    assert "load week.csv again to book it anew" in correct
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}


@pytest.mark.slow
def test_a_line_that_ended_by_itself_stays_in_the_book(stage: Yard) -> None:
    """Reversed alone before its file was undone, it is already booked when that is loaded again."""
    load_sheets(stage, WEEK)
    alone = standing(stage)["2.0000"]
    stage.run("reverse", "entry", alone, "--reason", "x")
    reverse(stage, "file", "week.csv")
    again = load_sheets(stage, WEEK)
    stage.run("undo", "reversal", alone, "--reason", "x")

    assert (again["booked"], again["held"], again["already_booked"]) == (1, 1, 1)
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_a_name_of_several_loads_asks_for_the_batch(stage: Yard) -> None:
    """Two loads of other bytes under one name are listed; the batch or the digest names one."""
    load_sheets(stage, WEEK)
    load_sheets(stage, HEAD + "S2,B2,2026-03-04,4,DECK\n")
    last = batches(stage) - 1
    digests = [row["sha256"][:12] for row in table(stage, "file") if row["kind"] == "sheets"]
    day = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["recorded_at"][:10]
    asked = reverse(stage, "file", "week.csv", ok=False)
    reverse(stage, "batch", str(last))
    left = booked(stage)
    reverse(stage, "file", digests[0])

    assert asked == [
        "week.csv: matches 2 loads; name one by its batch or its digest:",
        f"  batch {last - 1} of {day}, digest {digests[0]}: 2 entries, 10.00 h, 1 held line",
        f"  batch {last} of {day}, digest {digests[1]}: 1 entry, 4.00 h",
    ]
    assert left == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert booked(stage) == {}


def test_what_is_no_load_is_refused(stage: Yard) -> None:
    """An unknown name and a batch that loaded no sheets change nothing."""
    load_sheets(stage, WEEK)
    unknown = reverse(stage, "file", "wek.csv", ok=False)
    other = reverse(stage, "batch", "1", ok=False)

    assert unknown == [
        "wek.csv: no sheets of that name were loaded; `fairhours show file` lists the files"
    ]
    assert other == ["batch 1: loaded no sheets; `fairhours history` lists the batches"]


@pytest.mark.slow
def test_corrected_entries_are_undone_with_their_file(stage: Yard) -> None:
    """What stands of a line is reversed, whichever batch booked it, and is booked as written."""
    load_sheets(stage, WEEK)
    why = ("--reason", "x")
    stage.run("correct", "entry", standing(stage)["8.0000"], "hours=7", *why)
    stage.run("correct", "line", held(stage)[0]["held_line"], "hours=3", *why)
    reverse(stage, "file", "week.csv")
    emptied = booked(stage)
    again = load_sheets(stage, WEEK)

    assert emptied == {}
    assert (again["booked"], again["held"]) == (2, 1)
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_a_reissue_that_waits_ends_with_its_file(stage: Yard) -> None:
    """The new lines end and the sheet stays as it was; loaded again it asks again."""
    load_sheets(stage, WEEK)
    copy = HEAD + "S1,A1,2026-03-02,9,FRAME\n"
    load_sheets(stage, copy, "copy.csv")
    said = reverse(stage, "file", "copy.csv")
    after = stage.json("reissues")
    load_sheets(stage, copy, "copy.csv")

    assert said[1:] == ["1 re-issue of it rejected"]
    assert after == []
    assert {row["step"] for row in stage.json("reissues")} == {"book", "reverse"}
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert holds(stage)


def test_a_file_whose_lines_an_open_reissue_has_waits_for_it(stage: Yard) -> None:
    """Confirming would bring a line back that was taken out with its file: refused, named."""
    load_sheets(stage, WEEK)
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-02,1,RIG\n", "copy.csv")
    waiting = reissue(stage)
    said = reverse(stage, "file", "week.csv", ok=False)

    assert said == [
        f"open re-issue {waiting}, sheet S1 in copy.csv, holds lines from "
        "it; confirm or reject it first, see `fairhours reissues`",
        "nothing was changed",
    ]


@pytest.mark.slow
def test_a_confirmed_reissue_undone_names_what_it_had_replaced(stage: Yard) -> None:
    """Its hours are taken back; what it replaced stays reversed, is named, and can stand again."""
    load_sheets(stage, WEEK)
    eight = standing(stage)["8.0000"]
    copy = HEAD + "S1,A1,2026-03-02,9,FRAME\nS1,A1,2026-03-02,2,DECK\n"
    load_sheets(stage, copy, "copy.csv")
    stage.run("confirm", "reissue", reissue(stage), "--reason", "x")
    said = reverse(stage, "file", "copy.csv")
    stage.run("undo", "reversal", eight, "--reason", "x")

    assert said[-1] == (
        f"still reversed, replaced by its re-issue: {eight} (8.00 h); "
        "`fairhours undo reversal` restores them"
    )
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 2 * HOUR}
    assert holds(stage)


@pytest.mark.slow
def test_files_that_shared_lines_are_named_and_book_them_when_loaded_again(stage: Yard) -> None:
    """A line counted as booked already is lost with the first file, and said to be."""
    load_sheets(stage, WEEK)
    longer = WEEK + "S1,A1,2026-03-04,4,DECK\n"
    load_sheets(stage, longer, "longer.csv")
    said = reverse(stage, "file", "week.csv")
    again = load_sheets(stage, longer, "longer.csv")

    assert said[-1] == (
        "lines counted as already booked in later loads: longer.csv; load these files again if "
        "they share lines with it"
    )
    assert (again["booked"], again["held"], again["already_booked"]) == (2, 1, 1)
    assert holds(stage)


@pytest.mark.slow
def test_files_of_which_a_line_ended_as_one_of_it_are_named(stage: Yard) -> None:
    """A held line corrected to one that is booked stands for no hours once that is taken back."""
    load_sheets(stage, HEAD + ",A1,2026-03-02,8x,FRAME\n", "held.csv")
    load_sheets(stage, HEAD + ",A1,2026-03-02,8,FRAME\n", "booked.csv")
    line = held(stage)[0]["held_line"]
    ended = stage.run("correct", "line", line, "hours=8", "--reason", "x").stderr
    said = reverse(stage, "file", "booked.csv")

    assert "1 held line matched" in ended
    assert said[-1] == (
        "held lines since matched with its lines: held.csv; load these files again if they share "
        "lines with it"
    )


def test_a_file_of_a_closed_period_is_undone_as_a_late_adjustment(stage: Yard) -> None:
    """The closed figure stays; what is taken back is said to come late."""
    load_sheets(stage, WEEK)
    stage.run("close", "period", "--to", "2026-03-31")
    said = reverse(stage, "file", "week.csv")

    assert said[-1] == (
        "2 lines fall in a closed period (to 2026-03-31): its figures stay, "
        "the difference is a late adjustment"
    )
