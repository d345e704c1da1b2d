"""Layouts: what they take, where they are kept, and what the same hours come to in each."""

from typing import Any

import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import Refused
from ledger.tables.layout_files import parse_layout, shipped_layouts
from tests._stage import JOB, batches, held, table
from tests.conftest import Yard, slow_beyond

LONG = """
    worker_id,date,hours,booking_code,note
    A1,2026-03-02,8,DECK,
    A1,2026-03-03,7.5,DECK,
    A1,2026-03-03,0.5,FRAME,
    B2,2026-03-06,0,DECK,
    """
GRID = """
    hand;week from;code;mo;tu;we;th;fr;sa;su;remark
    a1;2.3.2026;deck;8,0;7:30;;;;;;
    A1;02/03/2026;FRAME;;0,50;;;;;;
    B2;02.03.2026;DECK;;;;;0;;;
    """
GRID_LAYOUT = """
    shape = "grid"
    delimiter = ";"
    decimal_mark = ","
    date_order = "dmy"

    [columns]
    worker_id = "Hand"
    week_starting = "Week  from"
    booking_code = "Code"
    note = "Remark"

    [days]
    mon = "Mo"
    tue = "Tu"
    wed = "We"
    thu = "Th"
    fri = "Fr"
    sat = "Sa"
    sun = "Su"
    """
CLOCK = "shape = 'long'\n[columns]\nstart = 'from'\nfinish = 'until'\n"


def load(stage: Yard, name: str, text: str, *words: object) -> dict[str, int]:
    path = stage.write(name, text)
    counts: dict[str, int] = stage.json("load", "sheets", "--job", JOB, *words, path)["files"][0]
    return counts


def entries(stage: Yard) -> list[tuple[str, ...]]:
    return sorted(
        (row["worker_id"], row["day"], row["ms"], row["booking_code"])
        for row in table(stage, "entry")
    )


@pytest.mark.slow
@pytest.mark.parametrize("first", ["long", "grid"])
def test_the_same_hours_in_another_layout_are_booked_already(stage: Yard, first: str) -> None:
    """A grid loaded after the long form of the same hours books nothing, and the other way."""
    layout = stage.write("grid.toml", GRID_LAYOUT)
    loads: dict[str, tuple[Any, ...]] = {
        "long": ("long.csv", LONG),
        "grid": ("grid.csv", GRID, "--layout", layout),
    }
    before = load(stage, *loads.pop(first))
    booked = entries(stage)
    after = load(stage, *next(iter(loads.values())))

    assert (before["lines_read"], before["booked"]) == (4, 4)
    assert (after["lines_read"], after["booked"], after["already_booked"]) == (4, 0, 4)
    assert entries(stage) == booked


def test_a_layout_is_kept_and_found_by_its_name(stage: Yard) -> None:
    """What was read with a layout says which; it is kept by its digest and found by its name."""
    layout = stage.write("grid.toml", GRID_LAYOUT)
    load(stage, "grid.csv", GRID, "--layout", layout)
    kinds = {row["media_type"]: row["sha256"] for row in table(stage, "content")}
    first = kinds["application/toml"]
    layout.unlink()
    again = load(stage, "grid.csv", GRID, "--layout", "grid")
    files = {row["name"]: row["layout"] for row in table(stage, "file") if row["kind"] == "sheets"}

    assert again["already_booked"] == 4
    assert files == {"grid.csv": f"grid {first}"}


def test_loading_a_layout_keeps_it_once(stage: Yard) -> None:
    """The same layout again is as before; another content under its name counts from then on."""
    path = stage.write("ours.toml", GRID_LAYOUT)
    new = stage.run("load", "layout", path).stderr
    before = batches(stage)
    same = stage.run("load", "layout", path).stderr
    unchanged = batches(stage)
    stage.write("ours.toml", GRID_LAYOUT.replace('"dmy"', '"mdy"'))
    changed = stage.run("load", "layout", path).stderr
    load(stage, "grid.csv", GRID, "--layout", "ours")

    assert (new, same) == ("ours.toml: layout: new\n", "ours.toml: layout: unchanged\n")
    assert (unchanged, changed) == (before, "ours.toml: layout: changed\n")
    # With the month first the week begins on Tuesday 3 February; its Monday is the 9th.
    assert [entry[1] for entry in entries(stage)] == [
        "2026-02-03",
        "2026-02-03",
        "2026-02-09",
        "2026-02-06",
    ]


def test_a_layout_that_nobody_knows_is_refused(stage: Yard) -> None:
    """The layouts there are, kept and shipped, are named."""
    path = stage.write("long.csv", LONG)
    said = stage.run("load", "sheets", "--layout", "other", path, ok=False).stderr

    assert said == (
        '--layout "other": no such file, and no layout of that name; use one of '
        f"{', '.join(sorted(shipped_layouts()))}\n"
    )


def test_every_shipped_layout_is_whole() -> None:
    """Layouts that come with the program parse, and each says what it is for."""
    shipped = shipped_layouts()

    assert len(shipped) > 4
    for name, data in shipped.items():
        assert parse_layout(name, data).name == name
        assert b"\ntitle = " in data


FAULTS = [
    ("shap = 'long'", 1, "unknown key shap; did you mean shape?"),
    ("shape = 'wide'", 1, "shape: 'wide' is unknown; use one of long, grid"),
    (
        "encoding = 'latin-9'",
        1,
        "encoding: 'latin-9' is unknown; use one of utf-8, utf-16, utf-16-le, utf-16-be, "
        "windows-1252",
    ),
    ("delimiter = '/'", 1, "delimiter: '/' is unknown; use one of , ; | tab"),
    ("decimal_mark = 1", 1, "decimal_mark: 1 is unknown; use one of ., ,"),
    ("[columns]\nhour = 'Hrs'", 2, "unknown key columns.hour; did you mean hours?"),
    ("[columns]\nhours = ''", 1, "columns: '' is not text; write it in quotes"),
    ("columns = 'Hrs'", 1, "columns: is not a table; write it under [section]"),
    ("evidence = 'Weather'", 1, 'evidence: is not a list of texts; write ["Total"]'),
    (
        "[total]\ntext = 'Sum'",
        1,
        "total: needs column and text: the row of totals has this text under this head",
    ),
    ("date_heads = 'yes'", 1, "date_heads: 'yes' is not true or false; write one, without quotes"),
    (
        "[days]\nmonday = 'Mo'",
        2,
        "unknown key days.monday; use one of mon, tue, wed, thu, fri, sat, sun",
    ),
]


@pytest.mark.parametrize(("text", "line", "message"), FAULTS)
def test_a_layout_that_does_not_fit_is_refused(text: str, line: int, message: str) -> None:
    """The key that does not fit is named with its line and what it takes."""
    with pytest.raises(Refused) as caught:
        parse_layout("ours", text.encode())

    assert worded(caught.value) == f"ours.toml:{line}: {message}\n1 fault; nothing was loaded"


WHOLE = [
    (
        "[columns]\nhours = 'Hrs'\nnote = 'hrs'",
        'columns: the head "hrs" is named twice; leave one out',
    ),
    ("[constants]\njob = 'A'\n[block]\njob = 'Job'", "job is given twice; leave one out"),
    (
        "shape = 'grid'\n[columns]\nhours = 'Hrs'",
        "a grid has its hours under days; leave date and hours out",
    ),
]


@pytest.mark.parametrize(("text", "message"), WHOLE)
def test_a_layout_whose_keys_do_not_fit_together_is_refused(text: str, message: str) -> None:
    """Keys that are right by themselves and not together are named."""
    with pytest.raises(Refused) as caught:
        parse_layout("ours", text.encode())

    assert worded(caught.value) == f"ours.toml: {message}"


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"shape = ", "ours.toml: Invalid value (at end of document); correct the TOML"),
        (b"title = '\xff'", "ours.toml: is not UTF-8; save it as UTF-8"),
    ],
)
def test_a_layout_that_is_no_toml_is_refused(data: bytes, message: str) -> None:
    """TOML that cannot be read is named with its place."""
    with pytest.raises(Refused) as caught:
        parse_layout("ours", data)

    assert worded(caught.value) == message


def test_heads_that_the_layout_names_and_nobody_finds_are_said(stage: Yard) -> None:
    """A file without the heads of the layout names what is missing, and the head it has."""
    layout = stage.write("clock.toml", CLOCK)
    path = stage.write("week.csv", LONG)
    said = stage.run("load", "sheets", "--layout", layout, path, ok=False).stderr

    assert said == (
        "week.csv: no row has the heads of layout clock; missing: from, until; "
        "the nearest head is worker_id, date, hours, booking_code, note\n"
    )


def test_the_job_of_a_line_counts_before_the_commands_and_that_before_the_layouts(
    stage: Yard,
) -> None:
    """Job of a line: its own, else --job, else the layout's."""
    layout = stage.write("ours.toml", 'shape = "long"\njob = "third"\n')
    head = "worker_id,date,hours,booking_code,job\n"
    path = stage.write("week.csv", head + "A1,2026-03-02,8,DECK,first\nA1,2026-03-03,8,DECK,\n")
    stage.run("load", "sheets", "--job", "second", "--layout", layout, path)
    other = stage.write("other.csv", head + "B2,2026-03-02,8,DECK,\n")
    stage.run("load", "sheets", "--layout", layout, other)
    jobs = [row["job_given"] for row in table(stage, "entry")]

    assert jobs == ["FIRST", "SECOND", "THIRD"]


@pytest.mark.slow
def test_a_line_held_under_a_layout_is_booked_as_it_was_read(stage: Yard) -> None:
    """A line that waits for its worker is read again by its layout; what does not fit is held."""
    layout = stage.write("grid.toml", GRID_LAYOUT)
    text = GRID.replace("a1;", "Z1;").replace("A1;", "Z1;").replace("0,50", "0.50")
    load(stage, "grid.csv", text, "--layout", layout)
    crew = "worker_id,name,trade,grade\nZ1,Zoe Ash,joiner,lead\n"
    said = stage.run("load", "crew", stage.write("crew.csv", crew)).stderr

    assert "2 held lines booked" in said.splitlines()
    assert entries(stage) == [
        ("B2", "2026-03-06", "0", "DECK"),
        ("Z1", "2026-03-02", "28800000", "DECK"),
        ("Z1", "2026-03-03", "27000000", "DECK"),
    ]
    assert [(row["reason"], row["message"]) for row in held(stage)] == [
        (
            "hours_unreadable",
            'hours "0.50" do not fit the layout: decimal_mark ",", duration "any"',
        )
    ]


def test_a_folder_is_all_its_files_of_sheets(stage: Yard) -> None:
    """Files of a folder and of those in it are loaded, each by its place; others are named."""
    head = "worker_id,date,hours,booking_code\n"
    stage.write("weeks/10/ada.csv", head + "A1,2026-03-02,8,DECK\n")
    stage.write("weeks/11/ada.csv", head + "A1,2026-03-09,8,DECK\nA1,2026-02-31,1,DECK\n")
    stage.write("weeks/read me.md", "what is here\n")
    stage.write("weeks/.hidden.csv", "no sheet\n")
    stage.write("weeks/~$lock.xlsx", "no workbook\n")
    outcome = stage.run("load", "sheets", stage.folder / "weeks", "--format", "csv")

    assert [row["file"] for row in stage.rows(outcome.stdout)] == [
        "weeks/10/ada.csv",
        "weeks/11/ada.csv",
    ]
    assert "weeks: files left out: read me.md" in outcome.stderr.splitlines()
    assert [row["file"] for row in held(stage)] == ["weeks/11/ada.csv"]
    assert len(entries(stage)) == 2


def test_a_line_too_long_to_be_one_is_refused(stage: Yard) -> None:
    """A line of more than the reader takes is refused, not cut."""
    path = stage.folder / "week.csv"
    note = "x" * 9_000_000
    path.write_text(f"worker_id,date,hours,booking_code,note\nA1,2026-03-02,8,DECK,{note}\n")
    before = batches(stage)
    said = stage.run("load", "sheets", path, ok=False)

    assert said.stderr == (
        "week.csv:2: field larger than field limit (131072); correct the quotes\n"
    )
    assert batches(stage) == before


@pytest.mark.parametrize(
    "name", slow_beyond(2, ["week [10].csv", "w*.csv", "week?.csv", "week.csv.gz", "{a,b}.csv"])
)
def test_a_file_is_read_under_any_name(stage: Yard, name: str) -> None:
    """A name with marks that stand for several files stands for its own file alone."""
    stage.write("week 1.csv", "worker_id,date,hours,booking_code\nB2,2026-03-02,1,DECK\n")
    counts = load(stage, name, LONG)

    assert (counts["file"], counts["lines_read"]) == (name, 4)
    assert len(entries(stage)) == 4


def test_a_file_for_each_worker_is_told_by_its_name(stage: Yard) -> None:
    """Where a layout takes the worker from the tab, a CSV file is told by its own name."""
    layout = stage.write("ours.toml", "tab = 'worker_id'\n")
    for worker, day in (("A1", 2), ("b2", 3)):
        text = f"date,hours,booking_code\n2026-03-0{day},8,DECK\n"
        stage.write(f"weeks/{worker}.csv", text)
    stage.run("load", "sheets", "--job", JOB, "--layout", layout, stage.folder / "weeks")

    assert [entry[:2] for entry in entries(stage)] == [("A1", "2026-03-02"), ("B2", "2026-03-03")]


def test_a_label_without_a_value_is_not_given_the_next_label(stage: Yard) -> None:
    """A worker left blank above the grid is missing, not named as the label that follows."""
    text = "Hand:,,Week from:,2026-03-02\nCode,Mon,Tue,Remark\nDECK,8,,\n"
    load(stage, "week.csv", text, "--layout", "person-week")

    assert [row["reason"] for row in held(stage)] == ["worker_missing"]


OWN_GRIDS = {
    "weekdays": """
        worker_id,week_starting,booking_code,Mon,Tue,Fri,note
        A1,2026-03-02,DECK,8,7.5,,
        A1,2026-03-02,FRAME,,0:30,,
        B2,2026-03-02,DECK,,,0,
        """,
    "dates": """
        worker_id,booking_code,2026-03-02,2026-03-03,2026-03-06
        A1,DECK,8,7.5,
        A1,FRAME,,0:30,
        B2,DECK,,,0
        """,
}


@pytest.mark.parametrize("text", OWN_GRIDS.values(), ids=OWN_GRIDS)
def test_a_grid_under_our_own_names_needs_no_layout(stage: Yard, text: str) -> None:
    """Weekdays or ISO dates as heads are read as they are, and booked once with the long form."""
    load(stage, "long.csv", LONG)
    counts = load(stage, "grid.csv", text)

    assert (counts["lines_read"], counts["already_booked"]) == (4, 4)
    assert {row["layout"] for row in table(stage, "file") if row["kind"] == "sheets"} == {
        "long",
        "grid",
    }


@pytest.mark.parametrize("text", [",,\n", '""\n' * 200, "\n , \n\n"])
def test_a_file_without_a_head_is_refused(stage: Yard, text: str) -> None:
    """Rows of blanks alone are no table, with or without a layout."""
    path = stage.folder / "week.csv"
    path.write_text(text, encoding="utf-8")
    plain = stage.run("load", "sheets", path, ok=False)
    laid_out = stage.run("load", "sheets", "--layout", "tab-per-worker", path, ok=False)

    said = "week.csv: has only blank rows where the head should be\n"
    assert (plain.stderr, laid_out.stderr) == (said, said)
