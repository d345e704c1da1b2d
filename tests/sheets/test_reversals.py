"""An entry can be reversed and a wrong reversal undone; every sum stays whole."""

import pytest

from tests._stage import JOB, booked, load_sheets, sums_by_entry, table, times_by_entry
from tests.conftest import Yard

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code\n"
LINES = HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-03,6,DECK\nS1,B2,2026-03-03,0,DECK\n"
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")


def entries(stage: Yard, *words: str) -> list[dict[str, str]]:
    return stage.rows(stage.run("entries", *words, "--format", "csv").stdout)


def put_right(stage: Yard, *words: str, ok: bool = True) -> str:
    return stage.run(*words, "--reason", "wrong day", ok=ok).stderr


def first(stage: Yard) -> str:
    """Return the id of the entry of 8 hours."""
    return next(row["entry"] for row in entries(stage) if row["hours"] == "8.0000")


def life(stage: Yard, entry: str) -> list[tuple[str, str, str]]:
    rows = stage.rows(stage.run("trace", entry, "--format", "csv").stdout)
    return [(row["event"], row["hours"], row["place"]) for row in rows]


def test_a_reversal_takes_the_hours_back_where_they_stand(stage: Yard) -> None:
    """The reversal holds the negatives of the standing postings; nothing is taken out."""
    load_sheets(stage, LINES)
    entry = first(stage)
    said = put_right(stage, "reverse", "entry", entry)

    # 8 h at FRAME are gone, 6 h at DECK stay.
    assert booked(stage) == {DECK: 6 * HOUR}
    assert said == (
        f"1 entry reversed; `fairhours trace {entry}`\n"
        f"to correct it, undo the reversal and use `fairhours correct entry {entry} field=value`; "
        "a file with only the right line under sheet S1 waits as a re-issue that would reverse "
        "the worker's other hours of the day\n"
    )
    assert sums_by_entry(stage) == times_by_entry(stage)
    assert [row["state"] for row in entries(stage) if row["entry"] == entry] == ["reversed"]
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_an_entry_that_moved_is_reversed_where_it_stands_now(stage: Yard) -> None:
    """A rule moved the hours: the reversal is posted there, and no rule moves it after."""
    load_sheets(stage, LINES)
    rule = "rule,priority,booked_to,booking_code\n"
    stage.run("load", "rules", stage.write("rules.csv", rule + "r,1,DECK,FRAME\n"))
    put_right(stage, "reverse", "entry", first(stage))
    stage.run("load", "rules", stage.write("rules.csv", rule + "r,1,RIG,FRAME\n"))

    assert booked(stage) == {DECK: 6 * HOUR}
    assert stage.run("check").exit_code == 0


def test_an_entry_of_no_time_can_be_reversed_and_undone(stage: Yard) -> None:
    """A reversal of 0 ms has a posting of its own, as every entry has."""
    load_sheets(stage, LINES)
    entry = next(row["entry"] for row in entries(stage) if row["hours"] == "0.0000")
    put_right(stage, "reverse", "entry", entry)
    put_right(stage, "undo", "reversal", entry)

    assert [event for event, *_ in life(stage, entry)][-4:] == [
        "reversed",
        "posted",
        "reversal undone",
        "posted",
    ]
    assert stage.run("check").exit_code == 0


@pytest.mark.slow
def test_a_reversal_undone_books_the_entry_once_where_it_belongs_now(stage: Yard) -> None:
    """It stands again where a rule that came in between puts it, and can be reversed again."""
    load_sheets(stage, LINES)
    entry = first(stage)
    put_right(stage, "reverse", "entry", entry)
    rule = "rule,priority,booked_to,booking_code\nr,1,DECK,FRAME\n"
    stage.run("load", "rules", stage.write("rules.csv", rule))
    put_right(stage, "undo", "reversal", entry)
    again = booked(stage)
    put_right(stage, "reverse", "entry", entry)

    # 8 h, by the rule at DECK now, and 6 h there already.
    assert again == {DECK: 14 * HOUR}
    assert booked(stage) == {DECK: 6 * HOUR}
    assert sums_by_entry(stage) == times_by_entry(stage)
    assert stage.run("check").exit_code == 0


def test_what_cannot_be_reversed_or_undone_is_all_said_at_once(stage: Yard) -> None:
    """No entry twice, no reversal of a reversal but by undoing it; on any fault nothing changes."""
    load_sheets(stage, LINES)
    entry = first(stage)
    put_right(stage, "reverse", "entry", entry)
    batch = int(table(stage, "reversal")[0]["batch"])
    day = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["recorded_at"][:10]
    refused = put_right(stage, "reverse", "entry", entry, f"{batch}.1", "99.1", ok=False)
    other = next(row["entry"] for row in entries(stage) if row["hours"] == "6.0000")
    put_right(stage, "undo", "reversal", f"{batch}.1")
    undone = put_right(stage, "undo", "reversal", other, f"{batch}.1", f"{batch + 1}.1", ok=False)

    assert refused.splitlines() == [
        f"entry {entry} is already reversed by {batch}.1 (Tester, {day})",
        f"entry {batch}.1 is itself the reversal of {entry}; "
        f"undo it with `fairhours undo reversal {batch}.1`",
        "there is no entry 99.1; `fairhours entries` lists them",
        "nothing was changed",
    ]
    assert undone.splitlines() == [
        f"entry {other} is not reversed; there is nothing to undo",
        f"reversal {batch}.1 is already undone by {batch + 1}.1 (Tester, {day})",
        f"entry {batch + 1}.1 undoes the reversal {batch}.1; reverse the entry itself again",
        "nothing was changed",
    ]
    assert booked(stage) == {FRAME: 8 * HOUR, DECK: 6 * HOUR}


def test_a_reason_and_an_id_are_asked_for(stage: Yard) -> None:
    """A blank reason and an id of another form are refused."""
    load_sheets(stage, LINES)
    blank = stage.run("reverse", "entry", first(stage), "--reason", " ", ok=False).stderr
    form = put_right(stage, "reverse", "entry", "first", ok=False)

    assert blank == "--reason: give the reason in words\n"
    assert form == 'entry "first": write batch and row, as 5.3\nnothing was changed\n'


def test_the_file_loaded_again_books_nothing_that_was_reversed(stage: Yard) -> None:
    """A reversed line is in the book already."""
    load_sheets(stage, LINES)
    put_right(stage, "reverse", "entry", first(stage))
    again = load_sheets(stage, LINES)

    assert (again["booked"], again["already_booked"]) == (0, 3)
    assert booked(stage) == {DECK: 6 * HOUR}


def test_earlier_figures_stay_as_they_were_known(stage: Yard) -> None:
    """Before the reversal the entry stood; known then, it stands still."""
    load_sheets(stage, LINES)
    entry = first(stage)
    last = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["sequence"]
    put_right(stage, "reverse", "entry", entry)
    command = ["--known-at", last, "entries", "--format", "csv"]
    known = stage.rows(stage.run(*command).stdout)

    assert [row["state"] for row in known] == ["stands"] * 3


def test_trace_shows_the_life_of_an_entry(stage: Yard) -> None:
    """From the raw line to the last reversal, each event in the order it was recorded."""
    load_sheets(stage, LINES)
    entry = first(stage)
    put_right(stage, "reverse", "entry", entry)
    put_right(stage, "undo", "reversal", entry)
    told = stage.json("trace", entry)
    missing = stage.run("trace", "99.1", ok=False).stderr

    assert life(stage, entry) == [
        ("read", "", "week.csv:2"),
        ("booked", "8.0000", ""),
        ("posted", "8.0000", f"{JOB} FRAME"),
        ("reversed", "-8.0000", ""),
        ("posted", "-8.0000", f"{JOB} FRAME"),
        ("reversal undone", "8.0000", ""),
        ("posted", "8.0000", f"{JOB} FRAME"),
    ]
    assert told["life"][3]["detail"] == f"of {entry}: wrong day"
    assert {event["actor"] for event in told["life"]} == {"Tester"}
    assert missing == "there is no entry 99.1; `fairhours entries` lists them\n"


def test_a_reversed_entry_makes_no_day_worked(stage: Yard) -> None:
    """The status date left out is the last week with an entry that stands and a measurement."""
    load_sheets(stage, HEAD + "S1,A1,2026-03-02,8,FRAME\nS1,A1,2026-03-12,6,DECK\n")
    progress = "work_package,date,percent\nFRAME,2026-03-06,10\nFRAME,2026-03-13,20\n"
    stage.run("freeze", "--job", JOB, "--on", "2026-02-27")
    stage.run("load", "progress", "--job", JOB, stage.write("progress.csv", progress))
    before = stage.json("performance", "--job", JOB)["status_date"]
    late = next(row["entry"] for row in entries(stage) if row["day"] == "2026-03-12")
    put_right(stage, "reverse", "entry", late)
    after = stage.json("performance", "--job", JOB)["status_date"]

    # The Sundays of the two weeks.
    assert (before, after) == ("2026-03-15", "2026-03-08")
