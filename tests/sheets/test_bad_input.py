"""Files that cannot be read are refused with one message; lines that cannot be booked are held."""

import pytest

from tests._stage import JOB, SHEET_HEAD, batches, booked, held, load, load_sheets, table
from tests.conftest import Yard, slow_beyond

HOUR = 3_600_000
GUESS = "name a layout (--layout), or let `fairhours guess layout` propose one"

REFUSED_FILES = {
    "column missing": (
        b"worker_id,date,hours,note\nA1,2026-03-02,8,\n",
        "week.csv:1: missing columns: booking_code; the head is worker_id, date, hours, note; "
        f"{GUESS}",
    ),
    "no duration in the head": (
        b"worker_id,date,booking_code,start\nA1,2026-03-02,DECK,7:00\n",
        "week.csv:1: missing columns: hours (or start and finish); the head is worker_id, date, "
        f"booking_code, start; {GUESS}",
    ),
    "column twice": (
        b"worker_id,date,hours,booking_code,Hours\nA1,2026-03-02,8,DECK,8\n",
        "week.csv:1: column hours appears twice; rename one",
    ),
    "row too short": (
        SHEET_HEAD.encode() + b"A1,2026-03-02,8,DECK,\nA1,2026-03-03,8\n",
        "week.csv:3: has 3 cells, the head has 5; correct the row and load again",
    ),
    "row too long": (
        SHEET_HEAD.encode() + b"A1,2026-03-02,7,5,DECK,\n",
        "week.csv:2: has 6 cells, the head has 5; correct the row and load again",
    ),
    "line beyond all measure": (
        SHEET_HEAD.encode() + b"A1,2026-03-02,8,DECK," + b"n" * 9_000_000 + b"\n",
        "week.csv:2: field larger than field limit (131072); correct the quotes",
    ),
    "quote left open": (
        SHEET_HEAD.encode() + b'A1,2026-03-02,8,DECK,"open\n',
        "week.csv:2: unexpected end of data; correct the quotes",
    ),
    "blank before a quote": (
        SHEET_HEAD.encode() + b'A1,2026-03-02,8,DECK, "one, two"\n',
        "week.csv:2: has 6 cells, the head has 5; correct the row and load again",
    ),
    "blank after a quote": (
        SHEET_HEAD.encode() + b'A1,2026-03-02,8,"DECK" ,x\n',
        "week.csv:2: ',' expected after '\"'; correct the quotes",
    ),
    "empty": (b"", "week.csv: the file is empty; nothing to load"),
    "blank": (b" \n\n", "week.csv: the file is empty; nothing to load"),
    "head only": (SHEET_HEAD.encode(), "week.csv: has a head but no rows; nothing to load"),
    "PDF by content": (
        b"%PDF-1.7\n1 0 obj\n",
        "week.csv: this is a PDF, not CSV; save it as CSV (UTF-8) first",
    ),
    "workbook by content": (
        b"PK\x03\x04rest",
        "week.csv: the workbook cannot be read; open it and save it again as XLSX, ODS or CSV",
    ),
    "NUL bytes": (
        SHEET_HEAD.encode("utf-16-le"),
        "week.csv: has NUL bytes; save it as CSV (UTF-8) first",
    ),
    "not UTF-8": (
        SHEET_HEAD.encode() + "A1,2026-03-02,8,DECK,für\n".encode("latin-1"),
        "week.csv:2: is not UTF-8; save the file as CSV (UTF-8)",
    ),
}


@pytest.mark.parametrize(("given", "message"), REFUSED_FILES.values(), ids=REFUSED_FILES)
def test_a_file_that_cannot_be_read_is_refused_with_one_message(
    stage: Yard, given: bytes, message: str
) -> None:
    """A sheet file that cannot be read as such gives one clear message and adds no batch."""
    path = stage.folder / "week.csv"
    path.write_bytes(given)
    before = batches(stage)
    said = stage.run("load", "sheets", "--job", JOB, path, ok=False)

    assert (said.exit_code, said.stdout, said.stderr) == (1, "", f"{message}\n")
    assert batches(stage) == before


def test_a_folder_or_a_missing_file_is_refused(stage: Yard) -> None:
    """What is no file is refused by name and adds no batch."""
    folder, missing = stage.folder / "weeks", stage.folder / "gone.csv"
    folder.mkdir()
    before = batches(stage)
    of_folder = stage.run("load", "sheets", "--job", JOB, folder, ok=False).stderr
    of_missing = stage.run("load", "sheets", "--job", JOB, missing, ok=False).stderr

    assert of_folder == (
        "weeks: the folder has no sheet files (.csv, .txt, .tsv, .xlsx, .xlsm, .ods)\n"
    )
    assert of_missing == f"{missing}: there is no such file\n"
    assert batches(stage) == before


def test_a_fault_in_one_file_books_none(stage: Yard) -> None:
    """A file that cannot be read keeps the other files of the command out of the book."""
    good = stage.write("good.csv", SHEET_HEAD + "A1,2026-03-02,8,DECK,\n")
    bad = stage.write("bad.csv", SHEET_HEAD + "A1,2026-03-03,8\n")
    before = batches(stage)
    said = stage.run("load", "sheets", "--job", JOB, good, bad, ok=False).stderr

    assert said == "bad.csv:2: has 3 cells, the head has 5; correct the row and load again\n"
    assert batches(stage) == before
    assert table(stage, "entry") == []


NO_DURATION = 'hours "{}" is not a valid duration; write 7.5 or 7:30'
TOO_LONG = 'hours "{}" exceed 24 hours; split or correct the line'
NO_DAY = 'date "{}" is not a valid date; write it as 2026-05-31'
HELD_LINES = [
    ("X9,2026-03-02,8,DECK,", "worker_unknown", 'worker "X9" is not in the crew; load the crew '
     "with this worker, or correct the worker_id"),
    (",2026-03-02,8,DECK,", "worker_missing",
     "no worker; write the worker_id and load again"),
    ("A1,,8,DECK,", "date_missing", "no date; write it as 2026-05-31"),
    ("A1,2026-02-31,8,DECK,", "date_unreadable", NO_DAY.format("2026-02-31")),
    ("A1,02.03.2026,8,DECK,", "date_unreadable", NO_DAY.format("02.03.2026")),
    ("A1,2026-03-02,,DECK,", "hours_missing",
     "no hours; write 7.5 or 7:30, or a start and a finish"),
    ("A1,2026-03-02,25,DECK,", "over_24_hours", TOO_LONG.format("25")),
    ("A1,2026-03-02,24:00:01,DECK,", "over_24_hours", TOO_LONG.format("24:00:01")),
    ('A1,2026-03-02,"7,5",DECK,', "hours_unreadable",
     'hours "7,5" use a decimal comma; write 7.5'),
    ("A1,2026-03-02,7:75,DECK,", "hours_unreadable", NO_DURATION.format("7:75")),
    ("A1,2026-03-02,-2,DECK,", "hours_unreadable", NO_DURATION.format("-2")),
    ("A1,2026-03-02,NaN,DECK,", "hours_unreadable", NO_DURATION.format("NaN")),
    ("A1,2026-03-02,1_0,DECK,", "hours_unreadable", NO_DURATION.format("1_0")),
    ("A1,2026-03-02,1e1,DECK,", "hours_unreadable", NO_DURATION.format("1e1")),
    ("A1,2026-03-02,٧,DECK,", "hours_unreadable", NO_DURATION.format("٧")),
    ("A1,2026-03-02,7.123456,DECK,", "hours_unreadable", NO_DURATION.format("7.123456")),
]  # fmt: skip


def test_what_cannot_be_established_is_held_with_its_reason(stage: Yard) -> None:
    """A line without an established worker, day or duration is held, with what to do about it."""
    lines = "".join(f"{line}\n" for line, _, _ in HELD_LINES)
    counts = load_sheets(stage, SHEET_HEAD + "A1,2026-03-02,8,DECK,\n" + lines)

    assert counts == {
        "lines_read": len(HELD_LINES) + 1,
        "booked": 1,
        "held": len(HELD_LINES),
        "already_booked": 0,
        "already_held": 0,
        "left_out": 0,
    }
    actual = sorted((row["reason"], row["message"]) for row in held(stage))
    assert actual == sorted((reason, message) for _, reason, message in HELD_LINES)
    assert booked(stage) == {(JOB, "DECK", "", ""): 8 * HOUR}


def test_a_held_line_is_found_by_its_file_and_line(stage: Yard) -> None:
    """A held line names its file and the line it stands on, also below a note of two lines."""
    text = SHEET_HEAD + 'A1,2026-03-02,8,DECK,"two\nlines"\n\nA1,2026-03-03,25,DECK,\n'
    load_sheets(stage, text)

    assert [(row["file"], row["line"]) for row in held(stage)] == [("week.csv", "5")]


BOOKED_LINES = [
    ("8", 8 * HOUR),
    ("0", 0),
    ("24", 24 * HOUR),
    ("7.5", 7 * HOUR + HOUR // 2),
    ("7:30", 7 * HOUR + HOUR // 2),
    ("0:00:01", 1000),
    ("0.00001", 36),  # a hundred thousandth of an hour
]


@pytest.mark.parametrize(("hours", "ms"), slow_beyond(3, BOOKED_LINES))
def test_a_duration_is_booked_to_the_millisecond(stage: Yard, hours: str, ms: int) -> None:
    """Decimal hours of up to five places and clock durations are booked exactly."""
    load_sheets(stage, f"{SHEET_HEAD}A1,2026-03-02,{hours},DECK,\n")

    assert [int(row["ms"]) for row in table(stage, "entry")] == [ms]


CLOCKED = [
    ("7:00,15:30,30", 8 * HOUR),
    ("22:00,6:00,", 8 * HOUR),  # past midnight: 24 - 22 + 6
    ("7:00,24:00,60", 16 * HOUR),
    ("7:00,7:00,", 24 * HOUR),  # not after the start is the next day
]


@pytest.mark.parametrize(("times", "ms"), slow_beyond(2, CLOCKED))
def test_start_and_finish_less_the_break_are_the_duration(stage: Yard, times: str, ms: int) -> None:
    """A finish not after the start is on the next day; the break is taken off."""
    head = "worker_id,date,start,finish,break_minutes,booking_code\n"
    load_sheets(stage, f"{head}A1,2026-03-02,{times},DECK\n")

    assert [int(row["ms"]) for row in table(stage, "entry")] == [ms]


def test_a_break_longer_than_the_shift_is_held(stage: Yard) -> None:
    """Times that leave less than nothing are no duration."""
    head = "worker_id,date,start,finish,break_minutes,booking_code\n"
    load_sheets(stage, f"{head}A1,2026-03-02,7:00,8:00,90,DECK\n")

    assert [row["message"] for row in held(stage)] == [NO_DURATION.format("7:00..8:00..90")]


def test_an_unknown_code_is_booked_untagged(stage: Yard) -> None:
    """Hours whose code nobody knows are booked, and left to tag."""
    counts = load_sheets(stage, SHEET_HEAD + "A1,2026-03-02,8,SHED,\n")

    assert (counts["booked"], counts["held"]) == (1, 0)
    assert booked(stage) == {(JOB, "untagged", "", ""): 8 * HOUR}


def test_blank_rows_are_left_out_and_counted(stage: Yard) -> None:
    """Empty lines and rows of blanks are no sheet lines; they are counted apart."""
    counts = load_sheets(stage, SHEET_HEAD + "\nA1,2026-03-02,8,DECK,\n,,,,\n")

    assert (counts["lines_read"], counts["booked"], counts["left_out"]) == (1, 1, 2)


def test_a_blank_line_above_the_head_is_no_sheet_line(stage: Yard) -> None:
    """The head is found below blank lines, and is not read as a line of hours."""
    path = stage.folder / "week.csv"
    path.write_text("\n" + SHEET_HEAD + "A1,2026-03-02,8,DECK,\n", encoding="utf-8")
    loaded = stage.json("load", "sheets", "--job", JOB, path)["files"][0]

    assert (loaded["lines_read"], loaded["booked"], loaded["held"]) == (1, 1, 0)


LINE_ENDS = {"unix": "\n", "windows": "\r\n", "old": "\r"}


@pytest.mark.parametrize("end", LINE_ENDS.values(), ids=LINE_ENDS)
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "marked"])
def test_line_ends_and_a_byte_order_mark_change_nothing(stage: Yard, end: str, mark: bytes) -> None:
    """The same lines are booked whatever ends them, with or without a byte order mark."""
    path = stage.folder / "week.csv"
    text = SHEET_HEAD + 'A1,2026-03-02,8,DECK,2" plank\nB2,2026-03-02,4,FRAME,\n'
    path.write_bytes(mark + text.replace("\n", end).encode())
    stage.run("load", "sheets", "--job", JOB, path)

    assert booked(stage) == {(JOB, "DECK", "", ""): 8 * HOUR, (JOB, "FRAME", "", ""): 4 * HOUR}


def test_unknown_columns_are_kept_and_reported(stage: Yard) -> None:
    """A column that is not known is kept with the raw line, and said."""
    text = "worker_id,date,hours,booking_code,weather\nA1,2026-03-02,8,DECK,wet\n"
    path = stage.write("week.csv", text)
    said = stage.run("load", "sheets", "--job", JOB, path).stderr

    entry = stage.json("entries")[0]["entry"]
    life = stage.rows(stage.run("trace", entry, "--format", "csv").stdout)

    assert '"weather":"wet"' in life[0]["detail"]
    assert "week.csv: unknown columns left out: weather" in said.splitlines()


ESTIMATE_HEAD = (
    "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,technique\n"
)


def test_all_faults_of_a_small_file_are_said_at_once(stage: Yard) -> None:
    """Every fault of a file is named with its line, and none of the file is loaded."""
    before = batches(stage)
    said = load(
        stage,
        "estimate",
        ESTIMATE_HEAD
        + "A,,hull,carpenter,7:75,2026-02-31,2026-03-06,percent_complete\n"
        + "B,Good,hull,carpenter,8,2026-03-02,2026-03-06,percent_complete\n"
        + "C,Late,hull,carpenter,8,2026-03-09,2026-03-06,guess\n"
        + "D,Short,hull\n",
        ok=False,
    )

    assert said.splitlines() == [
        "estimate.csv:2: title is blank; fill it in",
        'estimate.csv:2: budget_hours "7:75" is not a valid duration; write hours as 7.5 or 7:30',
        'estimate.csv:2: planned_start "2026-02-31" is not a valid date; correct it',
        'estimate.csv:4: technique "guess" is unknown; use one of percent_complete, '
        "units_complete, "
        "weighted_milestone, fixed_formula, apportioned_effort, level_of_effort",
        "estimate.csv:4: planned_finish 2026-03-06 is before planned_start 2026-03-09",
        "estimate.csv:5: has 3 cells, the head has 8; correct the row",
        "6 faults; nothing was loaded",
    ]
    assert batches(stage) == before


SMALL_REFUSED = {
    "crew column missing": (
        "crew",
        "worker_id,name,grade\nA1,Ada,lead\n",
        f"crew.csv:1: missing columns: trade; the head is worker_id, name, grade; {GUESS}",
    ),
    "crew twice with other values": (
        "crew",
        "worker_id,name,trade,grade\nD4,Dan,carpenter,lead\nd4,Dan,joiner,lead\n",
        "crew.csv:3: D4 is also on line 2, with other values\n1 fault; nothing was loaded",
    ),
    "rate of nobody": (
        "rates",
        "trade,effective_from,cost_per_hour\n,2026-01-01,30\n",
        "rates.csv:2: has neither a trade nor a worker\n1 fault; nothing was loaded",
    ),
    "rate with a comma": (
        "rates",
        'trade,effective_from,cost_per_hour\ncarpenter,2026-01-01,"30,00"\n',
        'rates.csv:2: cost_per_hour "30,00" is not a decimal number; write it as 1234.50\n'
        "1 fault; nothing was loaded",
    ),
    "shares not 1": (
        "rules",
        "rule,priority,booked_to,share\nhalf,1,DECK,0.5\nhalf,1,FRAME,0.4\n",
        "rules.csv:3: the rule's shares add up to 0.9, not to 1\n1 fault; nothing was loaded",
    ),
}


@pytest.mark.parametrize(("thing", "text", "message"), SMALL_REFUSED.values(), ids=SMALL_REFUSED)
def test_a_small_file_with_a_fault_is_refused_whole(
    stage: Yard, thing: str, text: str, message: str
) -> None:
    """A fault in a small file refuses all of it, and no batch is added."""
    before = batches(stage)
    said = stage.run("load", thing, stage.write(f"{thing}.csv", text), ok=False).stderr

    assert said == f"{message}\n"
    assert batches(stage) == before


def test_a_percent_that_cannot_be_read_is_one_fault(stage: Yard) -> None:
    """Its message fits percents, and the row is not said to measure nothing beside it."""
    text = 'work_package,date,percent\nDECK,2026-03-13,"62,5 %"\n'
    path = stage.write("progress.csv", text)
    said = stage.run("load", "progress", "--job", "STAGE", path, ok=False).stderr

    assert said == (
        'progress.csv:2: percent "62,5 %" is not a percent; write it as 62.5\n'
        "1 fault; nothing was loaded\n"
    )


def test_a_pattern_that_is_no_regular_expression_is_a_fault_of_its_line(stage: Yard) -> None:
    """A rule whose pattern cannot be read is refused with file and line."""
    before = batches(stage)
    text = "rule,priority,booked_to,note_matches\nopen,1,DECK,[\n"
    said = stage.run("load", "rules", stage.write("rules.csv", text), ok=False).stderr

    assert said.startswith('rules.csv:2: note_matches "["')
    assert batches(stage) == before


def test_a_code_taken_by_a_package_is_refused_in_the_settings(stage: Yard) -> None:
    """Within a job a cause may not take the code of a package, whichever is loaded first."""
    before = batches(stage)
    settings = stage.write("more.toml", '[non_productive]\nDECK = "weather"\n')
    said = stage.run("load", "settings", settings, ok=False).stderr

    assert said.startswith("more.toml: the code DECK is taken in job STAGE by ")
    assert batches(stage) == before


def test_a_package_with_the_code_of_a_cause_is_refused(stage: Yard) -> None:
    """Within a job a package may not take the code of a cause."""
    row = "RAIN,Roof,hull,carpenter,8,2026-03-02,2026-03-06,percent_complete\n"
    said = load(stage, "estimate", ESTIMATE_HEAD + row, ok=False)

    assert said == "estimate.csv: the code RAIN is taken in job STAGE by lost time; rename one\n"
