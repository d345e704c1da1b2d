"""A held line ends released, corrected or rejected, with a name and a reason, once."""

import re
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from tests._stage import JOB, booked, held, load_sheets, sums_by_entry, table, times_by_entry
from tests.conftest import Yard, slow_beyond

HOUR = 3_600_000
HEAD = "sheet,worker_id,date,hours,booking_code,note\n"
WRONG = HEAD + (
    'S1,A1,2026-03-02,"7,5",FRAME,\n'
    "S1,A9,2026-03-03,8,FRAME,\n"
    "S1,A1,2026-03-33,4,DECK,=1+1\n"
    "S2,B2,2026-03-04,40,DECK,\n"
)
FRAME, DECK = (JOB, "FRAME", "", ""), (JOB, "DECK", "", "")


def ids(stage: Yard) -> list[str]:
    """Return the ids of the held lines, in the order of the file."""
    return [row["held_line"] for row in held(stage)]


def end(stage: Yard, verb: str, *words: str, ok: bool = True) -> str:
    return stage.run(verb, "line", *words, "--reason", "asked the foreman", ok=ok).stderr


def filled(
    stage: Yard, corrections: Mapping[int, tuple[object, object]], name: str = "held.xlsx"
) -> Path:
    """Write the held lines out, put corrections and reasons into rows, and return the path."""
    path = stage.folder / name
    stage.run("held", "--out", path)
    workbook = openpyxl.load_workbook(path)
    sheet = workbook["Held"]
    head = [cell.value for cell in sheet[1]]
    for row, (correction, why) in corrections.items():
        sheet.cell(row, head.index("correction") + 1).value = correction
        sheet.cell(row, head.index("why") + 1).value = why
    workbook.save(path)
    return path


def events(stage: Yard, line: str) -> list[tuple[str, str, str]]:
    rows = stage.rows(stage.run("trace", "--line", line, "--format", "csv").stdout)
    return [(row["event"], row["place"], row["detail"]) for row in rows]


def test_held_lines_are_counted_by_reason_file_and_worker(stage: Yard) -> None:
    """`held --by` counts the lines that wait, the most first."""
    load_sheets(stage, WRONG)
    by = {what: stage.json("held", "--by", what) for what in ("reason", "file", "worker")}

    assert {row["reason"]: row["lines"] for row in by["reason"]} == {
        "hours_unreadable": 1,
        "worker_unknown": 1,
        "date_unreadable": 1,
        "over_24_hours": 1,
    }
    assert by["file"] == [{"file": "week.csv", "lines": 4}]
    assert by["worker"][0] == {"worker": "A1", "lines": 2}


@pytest.mark.slow
def test_held_lines_have_one_order_of_columns_in_every_format(stage: Yard) -> None:
    """File, line, reason, message first, then what was read; the table alone leaves out raw."""
    load_sheets(stage, HEAD + 'S1,A1,2026-03-02,"7,5",FRAME,\n')
    clocked = "worker_id,date,start,finish,booking_code\nC9,2026-03-03,8:00,16:30,DECK\n"
    load_sheets(stage, clocked, "times.csv")
    lines = ids(stage)
    comma = 'hours "7,5" use a decimal comma; write 7.5'
    unknown = (
        'worker "C9" is not in the crew; load the crew with this worker, or correct the worker_id'
    )
    actual = [re.split(" {2,}", row) for row in stage.run("held").stdout.splitlines()]
    again = stage.run("load", "sheets", "--job", JOB, stage.folder / "times.csv").stderr

    first = ["file", "line", "reason", "message"]
    read = ["held_line", "sheet", "worker_id", "date", "hours", "booking_code"]
    as_read = ["S1", "A1", "2026-03-02", "7,5", "FRAME"]
    times = ["-", "C9", "2026-03-03", "8:00..16:30", "DECK"]
    assert actual == [
        [name.replace("_", " ") for name in (*first, *read)],
        ["times.csv", "2", "worker_unknown", unknown, lines[0], *times],
        ["week.csv", "2", "hours_unreadable", comma, lines[1], *as_read],
    ]
    assert list(stage.json("held")[0]) == list(held(stage)[0]) == [*first, "raw", *read]
    assert again.splitlines()[0] == "0.00 h booked; 1 line held or rejected earlier"


def test_the_workbook_has_the_lines_as_read_and_empty_corrections(stage: Yard) -> None:
    """Every held line is a row; what looks like a formula is text; nothing is filled in."""
    load_sheets(stage, WRONG)
    sheet = openpyxl.load_workbook(filled(stage, {}))["Held"]
    head, *rows = list(sheet.iter_rows(values_only=True))
    cells = [dict(zip(head, row, strict=True)) for row in rows]

    assert [(cell["line"], cell["hours"], cell["note"]) for cell in cells] == [
        (2, "7,5", None),
        (3, "8", None),
        (4, "4", "=1+1"),
        (5, "40", None),
    ]
    assert {(cell["correction"], cell["why"]) for cell in cells} == {(None, None)}
    assert sheet.cell(4, head.index("note") + 1).data_type == "s"


@pytest.mark.slow
def test_corrections_of_a_workbook_end_the_lines_they_are_of(stage: Yard) -> None:
    """A value alone, several fields, release and reject: each line ends as its row says."""
    load_sheets(stage, WRONG)
    lines = ids(stage)
    corrections = {
        2: (7.5, "asked Ada"),
        3: ("reject", "nobody knows"),
        4: ("date=2026-03-03; note=two", "the week of the sheet"),
        5: ("release", "the whole gang"),
    }
    said = stage.run("load", "held", filled(stage, corrections)).stderr.splitlines()

    # 7.5 h at FRAME; 4 h and 40 h at DECK.
    assert said == [
        "held.xlsx: 1 held line released, 2 corrected, 1 rejected",
        "held.xlsx: 0 of 4 lines without a correction",
        # A day of 40 h is above the yard's limit.
        "doubts: 1 daily_limit; 1 to look at first, see `fairhours doubts`",
    ]
    assert booked(stage) == {FRAME: 27_000_000, DECK: 44 * HOUR}
    assert held(stage) == []
    assert events(stage, lines[0])[:4] == [
        ("read", "week.csv:2", table(stage, "held_text")[0]["raw"]),
        ("held", "hours_unreadable", 'hours "7,5" use a decimal comma; write 7.5'),
        ("corrected", "hours", '"7,5" is now "7.5"'),
        ("corrected", "", "asked Ada"),
    ]
    assert [event for event, *_ in events(stage, lines[1])] == ["read", "held", "rejected"]
    assert sums_by_entry(stage) == times_by_entry(stage)
    assert stage.run("check").exit_code == 0


def test_corrections_that_cannot_be_read_are_all_said_at_once(stage: Yard) -> None:
    """One clear message a row, and nothing is changed while there is one."""
    load_sheets(stage, WRONG)
    before = stage.run("history").stdout
    corrections = {
        2: ("7,50", "asked Ada"),
        3: ("release", "the worker is known"),
        4: ("colour=red", "seen"),
        5: ("8", None),
    }
    said = stage.run("load", "held", filled(stage, corrections), ok=False).stderr.splitlines()

    assert said == [
        'held.xlsx, Held!E2: hours "7,50" use a decimal comma; write 7.50',
        'held.xlsx, Held!E3: worker "A9" is not in the crew; load the crew with this worker, '
        "or correct the worker_id",
        'held.xlsx, Held!E4: correction "colour" is not a field of a sheet line; use one of sheet, '
        "worker_id, date, hours, start, finish, break_minutes, booking_code, job, note, "
        "pay_class, trade, rework, approved_by",
        "held.xlsx, Held row 5: why is blank; give the reason in words",
        "4 faults; nothing was loaded",
    ]
    assert len(held(stage)) == 4
    assert stage.run("history").stdout == before


@pytest.mark.slow
def test_a_workbook_loaded_twice_ends_each_line_once(stage: Yard) -> None:
    """The second time it says which lines ended before, and adds no batch."""
    load_sheets(stage, WRONG)
    line = ids(stage)[0]
    path = filled(stage, {2: ("7.5", "asked Ada")})
    stage.run("load", "held", path)
    before = stage.run("history").stdout
    said = stage.run("load", "held", path).stderr.splitlines()

    assert said == [
        f"held.xlsx: already ended, left as they are: {line}",
        "held.xlsx: 3 of 4 lines without a correction",
    ]
    assert stage.run("history").stdout == before


def test_a_workbook_of_another_book_is_refused(stage: Yard) -> None:
    """A row whose file or line is not that of its id ends no line of this book."""
    load_sheets(stage, WRONG)
    text = f"held_line,file,line,correction,why\n{ids(stage)[0]},march.csv,9,8,seen\n9.9,,,8,seen\n"
    path = stage.write("held.csv", text)
    said = stage.run("load", "held", path, ok=False).stderr.splitlines()

    assert said == [
        f"held.csv:2: held_line {ids(stage)[0]} is week.csv:2 in this book, not march.csv:9",
        'held.csv:3: held_line "9.9" is not a sheet line of this book',
        "2 faults; nothing was loaded",
    ]


@pytest.mark.slow
def test_the_file_loaded_again_finds_its_corrected_lines(stage: Yard) -> None:
    """As it was and as corrected, the line is booked already; a rejected one is held."""
    load_sheets(stage, WRONG)
    first, second, *_ = ids(stage)
    end(stage, "correct", first, "hours=7.5")
    end(stage, "reject", second)
    as_before = load_sheets(stage, WRONG)
    mended = load_sheets(stage, WRONG.replace('"7,5"', "7.5"))

    assert (as_before["booked"], as_before["held"]) == (0, 0)
    assert (as_before["already_booked"], as_before["already_held"]) == (1, 3)
    assert mended == as_before
    assert booked(stage) == {FRAME: 27_000_000}


@pytest.mark.slow
def test_a_line_corrected_to_one_that_is_booked_is_matched(stage: Yard) -> None:
    """Once the file was mended and loaded again, the held line ends without a second entry."""
    text = 'worker_id,date,hours,booking_code\nA1,2026-03-02,"8,0",FRAME\n'
    load_sheets(stage, text)
    load_sheets(stage, text.replace('"8,0"', "8"), "mended.csv")
    line = ids(stage)[0]
    said = end(stage, "correct", line, "hours=8")

    assert said == "1 held line matched\n"
    assert events(stage, line)[-1] == (
        "matched",
        "",
        "asked the foreman (same as mended.csv:2, which is booked)",
    )
    assert booked(stage) == {FRAME: 8 * HOUR}
    assert held(stage) == []


@pytest.mark.slow
def test_equal_lines_of_one_file_stay_two_when_one_is_corrected(stage: Yard) -> None:
    """A line corrected to equal its neighbour is the file's second such line, and booked."""
    text = HEAD + 'S1,A1,2026-03-02,"8,0",FRAME,\nS1,A1,2026-03-02,8,FRAME,\n'
    load_sheets(stage, text)
    end(stage, "correct", ids(stage)[0], "hours=8")
    again = load_sheets(stage, text.replace('"8,0"', "8"))

    assert booked(stage) == {FRAME: 16 * HOUR}
    assert (again["booked"], again["already_booked"]) == (0, 2)


REFUSED = [
    (["release", "{0}"], 'week.csv:2 ({0}): hours "7,5" use a decimal comma; write 7.5'),
    (
        ["correct", "{3}", "hours=25"],
        'week.csv:5 ({3}): hours "25" exceed 24 hours; split or correct the line',
    ),
    (
        ["correct", "{0}", "hours="],
        "week.csv:2 ({0}): no hours; write 7.5 or 7:30, or a start and a finish",
    ),
    (["reject", "99.1"], "there is no sheet line 99.1; `fairhours held` lists held lines"),
    (["reject", "first"], 'line "first": write batch and row, as 5.3'),
]


@pytest.mark.parametrize(("words", "message"), slow_beyond(2, REFUSED))
def test_what_cannot_end_a_line_is_refused(stage: Yard, words: list[str], message: str) -> None:
    """The message names the line and what is wrong, and the line goes on waiting."""
    load_sheets(stage, WRONG)
    lines = ids(stage)
    said = end(stage, *(word.format(*lines) for word in words), ok=False)

    assert said == f"{message.format(*lines)}\nnothing was changed\n"
    assert ids(stage) == lines


def test_a_line_that_ended_cannot_be_ended_again(stage: Yard) -> None:
    """Rejected is rejected: it is neither corrected after nor booked with the crew."""
    load_sheets(stage, WRONG)
    line = ids(stage)[1]
    end(stage, "reject", line)
    said = end(stage, "correct", line, "worker_id=A1", ok=False)
    crew = "worker_id,name,trade,grade\nA9,Ann Reed,joiner,skilled\n"
    stage.run("load", "crew", stage.write("crew.csv", crew))

    assert said == (
        f"week.csv:3 ({line}): is not held; see `fairhours trace --line {line}`\n"
        "nothing was changed\n"
    )
    assert booked(stage) == {}


def test_clock_times_can_be_corrected(stage: Yard) -> None:
    """Start and finish put right give the hours; those that were unreadable are made blank."""
    head = "sheet,worker_id,date,hours,start,finish,booking_code\n"
    load_sheets(stage, head + "S1,A1,2026-03-02,all,7,16:00,DECK\n")
    end(stage, "correct", ids(stage)[0], "hours=", "start=7:00")

    # 07:00 to 16:00 is 9 h.
    assert booked(stage) == {DECK: 9 * HOUR}


def test_what_was_held_then_is_held_when_known_then(stage: Yard) -> None:
    """An ended line still waits in what was known before it ended."""
    load_sheets(stage, WRONG)
    last = stage.rows(stage.run("history", "--format", "csv").stdout)[-1]["sequence"]
    end(stage, "reject", *ids(stage))
    known = stage.run("--known-at", last, "held", "--by", "file", "--format", "csv").stdout

    assert held(stage) == []
    assert known == "file,lines\nweek.csv,4\n"
    assert Decimal(last) > 0


@pytest.mark.slow
def test_a_line_corrected_to_one_that_was_reversed_is_booked(stage: Yard) -> None:
    """Hours that were taken back are not there: a line that reads like theirs brings its own."""
    load_sheets(stage, HEAD + ",A1,2026-03-02,8,DECK,\n", "first.csv")
    stage.run("reverse", "entry", stage.json("entries")[0]["entry"], "--reason", "wrong day")
    load_sheets(stage, HEAD + ",A1,2026-03-02,8x,DECK,\n", "second.csv")
    said = end(stage, "correct", ids(stage)[0], "hours=8")

    assert said.splitlines()[0] == "1 held line corrected"
    assert booked(stage) == {DECK: 8 * HOUR}


@pytest.mark.slow
def test_two_lines_of_two_files_corrected_alike_at_once_are_one(stage: Yard) -> None:
    """By one file of corrections as by two commands: the first is booked, the second matched."""
    for name, hours in (("a.csv", "8x"), ("b.csv", "8y")):
        load_sheets(stage, HEAD + f",A1,2026-03-02,{hours},DECK,\n", name)
    rows = [f"{row['held_line']},{row['file']},{row['line']},8,seen\n" for row in held(stage)]
    path = stage.write("held.csv", "held_line,file,line,correction,why\n" + "".join(rows))
    said = stage.run("load", "held", path).stderr.splitlines()

    assert said[0] == "held.csv: 1 held line corrected, 1 matched"
    assert booked(stage) == {DECK: 8 * HOUR}
    assert held(stage) == []
    stage.run("check")
