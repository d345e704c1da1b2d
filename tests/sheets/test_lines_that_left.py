"""A line whose counterpart left the book, or changed, is booked again, and never beside it."""

import pytest

from tests._stage import JOB, booked, held, load_sheets
from tests.conftest import Yard

HEAD = "sheet,worker_id,date,hours,start,finish,booking_code\n"
HOUR = 3_600_000
DECK = (JOB, "DECK", "", "")
WHY = ("--reason", "asked the foreman")


def line(hours: str, sheet: str = "S1", start: str = "", finish: str = "") -> str:
    return f"{sheet},A1,2026-03-02,{hours},{start},{finish},DECK\n"


def entries(stage: Yard) -> list[dict[str, str]]:
    return stage.rows(stage.run("entries", "--format", "csv").stdout)


@pytest.mark.slow
def test_a_line_that_ended_as_another_is_booked_once_that_has_left(stage: Yard) -> None:
    """Corrected to a booked line it is matched with it; when that is undone it is in no way old."""
    load_sheets(stage, HEAD + line("8", sheet=""), "first.csv")
    second = HEAD + line("8x", sheet="") + line("5", sheet="S2")
    load_sheets(stage, second, "second.csv")
    stage.run("correct", "line", held(stage)[0]["held_line"], "hours=8", *WHY)
    assert booked(stage) == {DECK: 13 * HOUR}

    stage.run("reverse", "file", "first.csv", *WHY)
    again = load_sheets(stage, second, "second.csv")

    # 5 h are there; 8x is held again, to be corrected.
    assert (again["booked"], again["held"], again["already_booked"]) == (0, 1, 1)
    stage.run("correct", "line", held(stage)[0]["held_line"], "hours=8", *WHY)
    assert booked(stage) == {DECK: 13 * HOUR}


@pytest.mark.slow
def test_a_corrected_entry_is_one_line_to_later_files(stage: Yard) -> None:
    """Alike but for its times, or under another name, the corrected line is asked about."""
    load_sheets(stage, HEAD + line("8"), "first.csv")
    entry = entries(stage)[0]["entry"]
    stage.run("correct", "entry", entry, "hours=7.5", *WHY)
    load_sheets(stage, HEAD + line("7.5", start="07:00", finish="14:30"), "times.csv")
    load_sheets(stage, HEAD + line("7.5", sheet="S9"), "copy.csv")

    assert sorted(row["reason"] for row in held(stage)) == ["same_as_sheet", "times_differ"]
    assert booked(stage) == {DECK: 27_000_000}


def test_an_entry_does_not_stand_again_beside_what_came_after_it(stage: Yard) -> None:
    """Reversed by hand, with other hours loaded since: undoing is refused, and names them."""
    load_sheets(stage, HEAD + line("8"), "first.csv")
    old = entries(stage)[0]["entry"]
    stage.run("reverse", "entry", old, *WHY)
    load_sheets(stage, HEAD + line("6"), "second.csv")
    new = next(row["entry"] for row in entries(stage) if row["state"] == "stands")
    said = stage.run("undo", "reversal", old, *WHY, ok=False).stderr

    assert said == (
        f"entry {old}: replaced by {new} on sheet S1 for worker A1 on 2026-03-02; "
        "reverse that first\nnothing was changed\n"
    )
    assert booked(stage) == {DECK: 6 * HOUR}


@pytest.mark.slow
def test_a_rejected_line_leaves_with_its_file(stage: Yard) -> None:
    """Rejected as a copy of a sheet that is gone, it is booked when its file is loaded anew."""
    load_sheets(stage, HEAD + line("8"), "first.csv")
    copy = HEAD + line("8", sheet="S9")
    load_sheets(stage, copy, "copy.csv")
    stage.run("reject", "line", "--file", "copy.csv", *WHY)
    stage.run("reverse", "file", "first.csv", *WHY)
    stage.run("reverse", "file", "copy.csv", *WHY)
    again = load_sheets(stage, copy, "copy.csv")

    assert (again["booked"], again["already_held"]) == (1, 0)
    assert booked(stage) == {DECK: 8 * HOUR}


TWO = "{0},A1,2026-03-02,8,,,DECK\n{0},A1,2026-03-03,8,,,DECK\n"


@pytest.mark.slow
def test_a_copy_of_a_sheet_corrected_since_is_asked_about(stage: Yard) -> None:
    """One line was corrected, to another day: a copy as it was written waits, each line once."""
    load_sheets(stage, HEAD + TWO.format("S1"), "first.csv")
    entry = next(row["entry"] for row in entries(stage) if row["line"] == "3")
    stage.run("correct", "entry", entry, "date=2026-03-05", *WHY)
    copy = load_sheets(stage, HEAD + TWO.format("S9"), "copy.csv")

    assert (copy["booked"], copy["held"]) == (0, 2)
    assert [row["reason"] for row in held(stage)] == ["same_as_sheet"] * 2
    assert [row["message"].partition(";")[0] for row in held(stage)] == [
        f"already in the book: first.csv:{line} on sheet S1, like all lines of its sheet"
        for line in (2, 3)
    ]


@pytest.mark.slow
def test_a_corrected_line_stands_for_one_line_of_a_copy_while_it_stands(stage: Yard) -> None:
    """A sheet that has it as it was and as it is has one more; a reversed one has no copy."""
    other = "{0},A1,2026-03-03,8,,,DECK\n"
    load_sheets(stage, HEAD + line("8") + other.format("S2"), "first.csv")
    for row in entries(stage):
        stage.run("correct", "entry", row["entry"], "hours=7", *WHY)
    fallen = next(
        row for row in entries(stage) if row["sheet"] == "S2" and row["state"] == "stands"
    )
    stage.run("reverse", "entry", fallen["entry"], *WHY)
    both = HEAD + line("8", sheet="S8") + line("7", sheet="S8") + other.format("S9")
    loaded = load_sheets(stage, both, "second.csv")

    assert (loaded["booked"], loaded["held"]) == (3, 0)
