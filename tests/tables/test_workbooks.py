"""Workbooks, XLSX and ODS, are read as CSV files are; faults name tab and cell."""

import hashlib
import json
import zipfile
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests._stage import JOB, batches, held, table
from tests.conftest import Yard, slow_beyond
from tests.tables._workbooks import Broken, Formula, Percent, Rows, ods, xlsx

HOUR = 3_600_000
KINDS: dict[str, Callable[..., Path]] = {"xlsx": xlsx, "ods": ods}
CREW = ("worker_id", "name", "trade", "grade", "active_from")
SHEET = ("worker_id", "date", "hours", "booking_code", "note")
PROGRESS = ("work_package", "date", "percent")
ADA: Rows = [CREW, ("Z1", "Ada Brunt", "joiner", "lead", date(2026, 1, 5))]


@pytest.fixture(params=KINDS)
def made(request: pytest.FixtureRequest, stage: Yard) -> Callable[..., Path]:
    """Write a workbook of each kind into the yard's folder."""
    suffix = request.param

    def make(tabs: Mapping[str, Any], name: str = "book", hidden: Sequence[str] = ()) -> Path:
        return KINDS[suffix](stage.folder / f"{name}.{suffix}", tabs, hidden)

    return make


def refused(stage: Yard, thing: str, path: Path, *words: str) -> str:
    """Return what is said when a workbook is refused; no batch is added."""
    before = batches(stage)
    said = stage.run("load", thing, *words, path, ok=False).stderr

    assert batches(stage) == before
    return said.replace(path.name, "BOOK")


def entries(stage: Yard) -> list[tuple[str, str, int]]:
    return sorted((row["worker_id"], row["day"], int(row["ms"])) for row in table(stage, "entry"))


def loaded(stage: Yard, path: Path) -> dict[str, int]:
    return stage.json("load", "sheets", "--job", JOB, path)["files"][0]


# A cell, and the time that its hours come to.
HOURS = [
    (Decimal("7.3"), 73 * HOUR // 10),
    (8, 8 * HOUR),
    ("7.5", 15 * HOUR // 2),  # a number kept as text
    ("7:30", 15 * HOUR // 2),
    (time(7, 30), 15 * HOUR // 2),
    (timedelta(hours=24), 24 * HOUR),
    (timedelta(hours=1, minutes=0, seconds=30), HOUR + 30_000),
    (Formula("3+4", result=7), 7 * HOUR),
    (Decimal("0.1") + Decimal("0.2"), 3 * HOUR // 10),
]


@pytest.mark.parametrize(("cell", "ms"), slow_beyond(6, HOURS))
def test_hours_of_a_cell_are_booked_as_they_are_shown(
    stage: Yard, made: Callable[..., Path], cell: Any, ms: int
) -> None:
    """Numbers, texts, times of day, durations and results of formulas are hours."""
    loaded(stage, made({"Week": [SHEET, ("A1", date(2026, 3, 2), cell, "DECK", None)]}))

    assert entries(stage) == [("A1", "2026-03-02", ms)]


# A cell that establishes no day or duration, under its column, and the text that is kept of it.
NO_LINE = [
    ("hours", timedelta(hours=26, minutes=30), "over_24_hours", "26:30"),
    ("hours", Percent("0.5"), "hours_unreadable", "50%"),
    ("hours", Broken("#REF!"), "hours_unreadable", "#REF!"),
    ("hours", Formula("3+4"), "hours_unreadable", "=3+4"),
    ("hours", True, "hours_unreadable", "yes"),
    ("hours", None, "hours_missing", None),
    ("date", datetime.fromisoformat("2026-03-02T07:30"), "date_unreadable", "2026-03-02 07:30"),
    ("date", Broken("#N/A"), "date_unreadable", "#N/A"),
    ("worker_id", None, "worker_missing", None),
]


@pytest.mark.parametrize(("column", "cell", "reason", "text"), slow_beyond(6, NO_LINE))
def test_a_cell_that_establishes_nothing_holds_its_line(
    stage: Yard, made: Callable[..., Path], column: str, cell: Any, reason: str, text: str | None
) -> None:
    """A line held names its row; what is kept of it says tab, row and the cells as text."""
    good = dict(zip(SHEET, ("A1", date(2026, 3, 2), 8, "DECK", "wet"), strict=True))
    tabs = {"Week 10": [SHEET, tuple({**good, column: cell}.values())]}
    counts = loaded(stage, made(tabs))
    (line,) = held(stage)
    raw = json.loads(line["raw"])

    assert (counts["lines_read"], counts["booked"], counts["held"]) == (1, 0, 1)
    assert (line["line"], line["reason"]) == ("2", reason)
    assert (raw["tab"], raw["row"], raw["cells"][column]) == ("Week 10", 2, text)


def test_a_line_held_from_a_workbook_is_booked_with_the_crew(
    stage: Yard, made: Callable[..., Path]
) -> None:
    """What waits for its worker only is read again from what is kept, and booked once."""
    path = made({"Week": [SHEET, ("Z1", date(2026, 3, 2), time(7, 30), "DECK", None)]})
    loaded(stage, path)
    stage.run("load", "crew", made({"Crew": ADA}, "crew"))

    assert entries(stage) == [("Z1", "2026-03-02", 15 * HOUR // 2)]
    assert loaded(stage, path)["already_booked"] == 1


def test_every_tab_with_the_columns_is_read(stage: Yard, made: Callable[..., Path]) -> None:
    """A tab a week is read, tabs without the columns or hidden ones are left out and named."""
    line = ("A1", date(2026, 3, 2), 8, "DECK", None)
    other = ("B2", date(2026, 3, 9), 4, "FRAME", None)
    tabs = {
        "Week 10": [SHEET, line, (None,) * 5, line],
        "Notes": [("rain on Tuesday",)],
        "Week 11": [("Week 11", None, None), (), SHEET, other],
        "Old": [SHEET, other],
        "Blank": [],
    }
    path = made(tabs, hidden=["Old"])
    said = stage.run("load", "sheets", "--job", JOB, path, "--format", "json").stderr
    counts = loaded(stage, path)

    # Three lines; left out are one blank row, one title and the blank row below it.
    assert (counts["lines_read"], counts["already_booked"], counts["left_out"]) == (3, 3, 3)
    assert f"{path.name}: tabs left out: Notes, Old (hidden)" in said.splitlines()
    assert len(entries(stage)) == 3


def test_equal_lines_on_two_tabs_are_two_lines(stage: Yard, made: Callable[..., Path]) -> None:
    """The how-manieth of equal lines is counted over the file, not over the tab."""
    line = ("A1", date(2026, 3, 2), 2, "DECK", None)
    loaded(stage, made({"One": [SHEET, line], "Two": [SHEET, line]}))

    assert entries(stage) == [("A1", "2026-03-02", 2 * HOUR)] * 2


def test_rows_and_columns_that_only_look_used_are_no_lines(
    stage: Yard, made: Callable[..., Path]
) -> None:
    """Blank rows and columns at the end are neither lines nor left out."""
    line = ("A1", date(2026, 3, 2), 2, "DECK", None, " ", None)
    counts = loaded(stage, made({"Week": [(*SHEET, None, ""), line, (), ("", " "), ()]}))

    assert (counts["lines_read"], counts["left_out"]) == (1, 0)


def test_percent_cells_are_percents(stage: Yard, made: Callable[..., Path]) -> None:
    """A cell that shows 25 % is 25 percent, and a plain 62.5 is too."""
    first, second = date(2026, 3, 6), date(2026, 3, 13)
    rows = [PROGRESS, ("FRAME", first, Percent("0.25")), ("FRAME", second, Decimal("62.5"))]
    stage.run("load", "progress", "--job", JOB, made({"Progress": rows}))

    assert [Decimal(row["percent"]) for row in table(stage, "progress")] == [25, Decimal("62.5")]


def test_a_small_file_is_read_below_titles_and_blank_rows(
    stage: Yard, made: Callable[..., Path]
) -> None:
    """The head stands where the needed columns are, below blank rows and a title."""
    path = made({"Crew": [(), ("Crew of the yard",), (), *ADA]})
    stage.run("load", "crew", path)

    assert "Z1" in {row["worker_id"] for row in table(stage, "crew")}


def test_the_one_tab_that_fits_is_read(stage: Yard, made: Callable[..., Path]) -> None:
    """Of several tabs the one with the needed columns is read, the others are named."""
    path = made({"Read me": [("Who is who",)], "Crew": ADA, "Prices": [("trade", "price")]})
    said = stage.run("load", "crew", path).stderr

    assert f"{path.name}: tabs left out: Read me, Prices" in said.splitlines()


REFUSED = {
    "no tab fits": (
        {"One": [("name",)], "Two": [("trade",)]},
        "BOOK: no tab has the columns worker_id, name, trade; the tabs are One, Two",
    ),
    "two tabs fit": (
        {"One": ADA, "Two": ADA},
        "BOOK: the tabs One, Two all have the required columns; keep one in the file",
    ),
    "column missing": (
        {"Crew": [(), ("worker_id", "name", "grade"), ("Z1", "Ada", "lead")]},
        "BOOK, Crew row 2: missing columns: trade; the head is worker_id, name, grade; "
        "name a layout (--layout), or let `fairhours guess layout` propose one",
    ),
    "column twice": (
        {"Crew": [(*CREW, "Name"), ("Z1", "Ada", "joiner", "lead", None, "Ada")]},
        "BOOK, Crew row 1: column name appears twice; rename one",
    ),
    "head only": ({"Crew": [CREW]}, "BOOK: has a head but no rows; nothing to load"),
    "blank": ({"Crew": [(), (" ",)]}, "BOOK: the workbook is empty; nothing to load"),
    "cells": (
        {
            "Crew": [
                CREW,
                ("Z1", Broken("#REF!"), "joiner", "lead", date(2026, 1, 5)),
                ("Z2", "Bo", None, "lead", Formula("TODAY()")),
                ("Z3", "Cy", "joiner", "lead", "5.1.2026"),
                ("Z4", "Di", "joiner", "lead", datetime.fromisoformat("2026-01-05T07:30")),
            ]
        },
        "BOOK, Crew!B2: name shows the error #REF!; correct the formula\n"
        "BOOK, Crew!C3: trade is blank; fill it in\n"
        "BOOK, Crew!E3: active_from holds the formula =TODAY() without its result; "
        "save it from a spreadsheet\n"
        'BOOK, Crew!E4:E5: active_from "5.1.2026" is not a date; write it as 2026-05-31 '
        '(likewise "2026-01-05 07:30")\n'
        "5 faults; nothing was loaded",
    ),
}


@pytest.mark.parametrize(("tabs", "message"), slow_beyond(6, REFUSED.values()), ids=REFUSED)
def test_a_workbook_that_does_not_fit_is_refused_with_tab_and_cell(
    stage: Yard, made: Callable[..., Path], tabs: dict[str, list[tuple[Any, ...]]], message: str
) -> None:
    """Faults of a workbook are all said, each with its tab and cell, and nothing is loaded."""
    assert refused(stage, "crew", made(tabs)) == f"{message}\n"


def test_a_fault_of_a_row_names_tab_and_row(stage: Yard, made: Callable[..., Path]) -> None:
    """A fault that is of no one cell names the row."""
    head = ("worker_id", "name", "trade", "grade", "active_from", "active_to")
    row = ("Z1", "Ada", "joiner", "lead", date(2026, 2, 1), date(2026, 1, 1))
    said = refused(stage, "crew", made({"Crew": [head, row]}))

    assert said == (
        "BOOK, Crew row 2: active_to 2026-01-01 is before active_from 2026-02-01\n"
        "1 fault; nothing was loaded\n"
    )


def test_a_hidden_tab_alone_is_refused(stage: Yard, made: Callable[..., Path]) -> None:
    """What nobody sees is not loaded."""
    path = made({"Crew": ADA, "Shown": []}, hidden=["Crew"])

    assert (
        refused(stage, "crew", path)
        == "BOOK: has only hidden tabs (Crew); unhide the one to load\n"
    )


def test_no_tab_with_sheet_columns_is_refused(stage: Yard, made: Callable[..., Path]) -> None:
    """A workbook without a tab of sheets names what is missing, and its tabs."""
    path = made(
        {"Week": [("worker_id", "date", "hours"), ("A1", date(2026, 3, 2), 8)], "X": [(1,)]}
    )

    assert refused(stage, "sheets", path) == (
        "BOOK: no tab has the columns worker_id, date, booking_code, hours (or start and finish); "
        "the tabs are Week, X\n"
    )


UNREADABLE = "BOOK: the workbook cannot be read; open it and save it again as XLSX, ODS or CSV\n"


@pytest.mark.parametrize("kept", [10, 200, -200, -1])
def test_a_workbook_cut_short_is_refused(stage: Yard, made: Callable[..., Path], kept: int) -> None:
    """Part of a workbook gives one message, and no error of ours."""
    path = made({"Crew": ADA})
    path.write_bytes(path.read_bytes()[:kept])

    assert refused(stage, "crew", path) == UNREADABLE


def test_an_archive_that_is_no_workbook_is_refused(stage: Yard) -> None:
    """A ZIP file of something else is told from a workbook."""
    path = stage.folder / "crew.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("crew.csv", "worker_id,name,trade,grade")

    assert refused(stage, "crew", path) == (
        "BOOK: this archive is not a known workbook format; save it as XLSX, ODS or CSV\n"
    )


def test_a_workbook_is_told_by_its_bytes(stage: Yard) -> None:
    """A workbook under a CSV's name is read as the workbook it is, and kept by its own digest."""
    path = xlsx(stage.folder / "crew.xlsx", {"Crew": ADA}).rename(stage.folder / "crew.csv")
    stage.run("load", "crew", path)
    kept = [row for row in table(stage, "file") if row["encoding"] == "workbook"]

    assert [row["sha256"] for row in kept] == [hashlib.sha256(path.read_bytes()).hexdigest()]


def test_a_workbook_of_settings_is_refused(stage: Yard) -> None:
    """Settings are TOML; a workbook of them is named as such."""
    path = xlsx(stage.folder / "settings.xlsx", {"Crew": ADA})

    assert refused(stage, "settings", path) == (
        "BOOK: this is a workbook, not TOML; write the settings as text\n"
    )
