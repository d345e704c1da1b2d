"""The sheets of a week: the codes a worker needs, room to write, and read back as filled in."""

import io
import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import WrongUsage
from ledger.reports.foremen.week_sheets import Code, WeekSheets, WorkerSheet
from ledger.reports.foremen.week_sheets_build import MOST_ROWS
from ledger.reports.foremen.week_sheets_page import ROWS, week_sheets_page
from ledger.reports.rendering import render
from tests.conftest import Yard, slow_beyond, slow_case
from tests.reports._again import made_again
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import text_of
from tests.reports._yard_pages import LONG, SHEETS, codes, conforms, laid_out, sheets, worker
from tests.test_small_sample import SAMPLE, build

AGAIN = """
import sys
from ledger.reports.rendering import render
from tests.reports._landing import RECORDED_AT
from tests.reports._yard_pages import SHEETS
sys.stdout.buffer.write(render(SHEETS, sys.argv[1], recorded_at=RECORDED_AT))
"""
FULL = sheets(worker(MOST_ROWS, 38))
VIEWS = {
    "usual": SHEETS,
    "full": FULL,
    "no codes": sheets(worker((), 0, codes=())),
    "long names": sheets(
        worker((Code("P" * 60, LONG, "L" * 60),), name=LONG, trade=LONG, codes=codes(9, title=LONG))
    ),
    "more than a page": sheets(worker(MOST_ROWS, 150)),
    "rehearsal": replace(SHEETS, rehearsal=True),
}
WEEK = "2026-03-23"
MILLIMETRE = 96 / 25.4  # CSS pixels.


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


@pytest.fixture
def yard_of_one(yard: Yard) -> Yard:
    """A yard with the sample's job and one carpenter, weeks beginning on Sunday."""
    text = (SAMPLE / "settings.toml").read_text(encoding="utf-8")
    yard.run("load", "settings", yard.write("s.toml", text.replace('"monday"', '"sunday"')))
    yard.run("load", "job", SAMPLE / "job.toml")
    yard.run("load", "crew", SAMPLE / "crew.csv")
    yard.run("load", "estimate", "--job", "STAGE", SAMPLE / "estimate.csv")
    return yard


def made(yard: Yard, name: str = "sheet.json", *words: str, week: str = WEEK) -> Path:
    out = yard.folder / name
    yard.run("report", "sheet", "--week", week, *words, "--out", out)
    return out


def told(yard: Yard, *words: str, week: str = WEEK) -> Any:
    return json.loads(made(yard, "sheet.json", *words, week=week).read_bytes())


def refused(yard: Yard, *words: object) -> str:
    return yard.run("report", "sheet", *words, ok=False).stderr.strip()


def test_rows_are_the_codes_of_the_last_four_weeks(built: Yard) -> None:
    """Each worker's rows are where their hours of four weeks stand; finished work is left out."""
    actual = {
        sheet["worker_id"]: [row["code"] for row in sheet["rows"]]
        for sheet in told(built)["sheets"]
    }
    # FRAME is finished; B2 alone worked on the bench, CR2.
    expected = {
        "A1": ["DECK", "RAIL", "CR1", "RAIN"],
        "B2": ["DECK", "RAIL", "CR1", "CR2", "RAIN"],
        "C3": ["DECK", "CR1", "RAIN"],
    }

    assert actual == expected


def test_what_is_five_weeks_old_is_no_row(built: Yard) -> None:
    """Codes booked more than four weeks before are not on the sheet."""
    actual = [sheet["rows"] for sheet in told(built, week="2026-04-20")["sheets"]]

    assert actual == [[], [], []]


def test_a_wrong_code_does_not_come_back(yard_of_one: Yard) -> None:
    """A row is where the hours stand, not what was written: a rule that mends a code mends it."""
    yard = yard_of_one
    yard.run(
        *("load", "rules"),
        yard.write("rules.csv", "rule,priority,booked_to,booking_code\nmend,1,DECK,DKE\n"),
    )
    lines = "worker_id,date,hours,booking_code\nA1,2026-03-16,8,DKE\nA1,2026-03-17,8,NONE\n"
    yard.run("load", "sheets", "--job", "STAGE", yard.write("w.csv", lines))
    sheet = told(yard, "--worker", "A1")["sheets"][0]

    assert [row["code"] for row in sheet["rows"]] == ["DECK"]


def test_listed_are_the_codes_of_the_trade(built: Yard) -> None:
    """It has the packages of the trade and those on the worker's rows, all changes and causes."""
    labourer = told(built, "--worker", "C3")["sheets"][0]

    assert labourer["trade"] == "labourer"
    assert [row["code"] for row in labourer["codes"]] == ["DECK", "CR1", "CR2", "RAIN"]


def test_a_row_more_than_fit_goes_to_the_list(yard_of_one: Yard) -> None:
    """Of more codes than a sheet has rows those with the most hours are rows."""
    head = "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish"
    packages = "".join(
        f"K{number:02d},Work,structure,carpenter,10,2026-03-02,2026-03-27,percent_complete\n"
        for number in range(15)
    )
    yard = yard_of_one
    estimate = yard.write("e.csv", f"{head},technique\n{packages}")
    yard.run("load", "estimate", "--job", "STAGE", estimate)
    # K00 gets 1 hour, K01 2 and so on.
    lines = "".join(f"A1,2026-03-{2 + n:02d},{1 + n},K{n:02d}\n" for n in range(15))
    week = yard.write("w.csv", f"worker_id,date,hours,booking_code\n{lines}")
    yard.run("load", "sheets", "--job", "STAGE", week)
    sheet = told(yard, "--worker", "A1")["sheets"][0]

    assert [row["code"] for row in sheet["rows"]] == [f"K{number:02d}" for number in range(4, 15)]
    assert len(sheet["codes"]) == 16  # With RAIN.


def test_days_without_work_are_marked(yard: Yard) -> None:
    """A listed day off is a holiday, a weekday that is never worked is off."""
    job = (SAMPLE / "job.toml").read_text(encoding="utf-8")
    holiday = job.replace("days_off = []", "days_off = [2026-03-25]")
    yard.run("load", "job", yard.write("job.toml", holiday))
    yard.run("load", "crew", SAMPLE / "crew.csv")
    actual = [day["mark"] for day in told(yard)["days"]]

    assert actual == ["", "", "holiday", "", "", "off", "off"]


def test_the_week_begins_as_the_yards_does(yard_of_one: Yard) -> None:
    """Any day names its week, which begins on the yard's own first day."""
    days = told(yard_of_one, week="2026-03-25")["days"]

    assert (days[0]["day"], days[-1]["day"]) == ("2026-03-22", "2026-03-28")


@pytest.mark.parametrize("week_start", ["monday", slow_case("sunday")])
def test_a_filled_workbook_is_read_back(yard: Yard, week_start: str) -> None:
    """What is written into the printed cells comes back as the same entries, and nothing else."""
    build(yard)
    text = (SAMPLE / "settings.toml").read_text(encoding="utf-8")
    begins = yard.write("s.toml", text.replace('"monday"', f'"{week_start}"'))
    yard.run("load", "settings", begins)
    path = made(yard, "sheet.xlsx", week="2026-03-25")
    book = openpyxl.load_workbook(path)
    write(book["A1"], {("DECK", "Wed"): 7.5, ("DECK", "Sun"): "1:15", ("RAIN", "Thu"): 0.25})
    write(book["C3"], {("", "Fri"): 8}, code="CR2", remark="bench planed")
    book.save(path)
    outcome = yard.run("load", "sheets", "--layout", "printed-week", path)
    sunday = {"monday": "2026-03-29", "sunday": "2026-03-22"}[week_start]
    entries = yard.json("entries")
    actual = {
        (each["worker_id"], each["day"], f"{each['hours']:.2f}", each["booked_to"])
        for each in (entries if isinstance(entries, list) else entries["entries"])
        if each["file"] == "sheet.xlsx"
    }
    expected = {
        ("A1", "2026-03-25", "7.50", "STAGE DECK"),
        ("A1", sunday, "1.25", "STAGE DECK"),
        ("A1", "2026-03-26", "0.25", "STAGE non_productive"),
        ("C3", "2026-03-27", "8.00", "STAGE CR2"),
    }

    assert actual == expected
    assert "held" not in outcome.stderr
    assert outcome.stderr.splitlines()[0] == "sheet.xlsx: tabs left out: About"


def write(tab: Any, cells: dict[tuple[str, str], Any], code: str = "", remark: str = "") -> None:
    """Fill in a tab as a foreman does: by the code of the row and the head of the day.

    With a code, the first empty row gets it.
    """
    rows = {str(row[0].value or ""): row for row in reversed(list(tab.iter_rows(min_row=6)))}
    heads = {cell.value: place for place, cell in enumerate(rows["Code"])}
    empty = next(row for row in tab.iter_rows(min_row=7) if row[0].value is None)
    for (name, day), value in cells.items():
        row = rows[name] if name else empty
        row[heads[day]].value = value
    if code:
        empty[heads["Code"]].value = code
        empty[heads["Remark"]].value = remark


def test_an_untouched_workbook_has_no_lines(built: Yard, tmp_path: Path) -> None:
    """Printed rows without hours are no lines: nothing is booked and nothing held."""
    path = made(built, "untouched.xlsx")
    yard = Yard(tmp_path)
    yard.book.write_bytes(built.book.read_bytes())
    outcome = yard.json("load", "sheets", "--layout", "printed-week", path)
    counts = outcome["files"][0]

    assert (counts["lines_read"], counts["booked"], counts["held"]) == (0, 0, 0)


def test_texts_of_the_book_are_no_formulas() -> None:
    """A name that begins like a formula stays a text; the totals alone are formulas."""
    hostile = worker((Code("=1+1", "=2+2"),), name="=3+3", worker_id="a/b[c]:d*e?f")
    view = sheets(hostile, worker(worker_id="A/B[C]:D*E?F"))
    book = openpyxl.load_workbook(io.BytesIO(render(view, "xlsx", recorded_at=RECORDED_AT)))
    tab = book.worksheets[0]
    formulas = {cell.coordinate for row in tab for cell in row if cell.data_type == "f"}
    totals = {f"K{number}" for number in range(7, 7 + ROWS + 1)}

    assert book.sheetnames == ["a-b-c--d-e-f", "A-B-C--D-E-F 2", "About"]
    assert (tab["B2"].value, tab["A7"].value, tab["E2"].value) == ("a/b[c]:d*e?f", "=1+1", "=3+3")
    assert formulas == totals | {f"{letter}{7 + ROWS}" for letter in "DEFGHIJ"}


@pytest.mark.parametrize("name", slow_beyond(1, VIEWS))
def test_the_pdf_can_be_read_aloud(name: str) -> None:
    """Every sheet conforms to PDF/UA-1 (ISO 14289-1)."""
    made_pdf = render(VIEWS[name], "pdf", recorded_at=RECORDED_AT)

    assert conforms(made_pdf) == []


@pytest.mark.slow
@pytest.mark.parametrize("kind", [slow_case("pdf"), "xlsx", "json"])
def test_same_sheets_same_bytes(kind: str) -> None:
    """Two makings in two processes with other hashes and clocks give one file."""
    here = render(SHEETS, kind, recorded_at=RECORDED_AT)
    there = made_again(AGAIN, kind)

    assert there == here


@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 297, 210), ("Letter", 279.4, 215.9)])
def test_a_sheet_is_one_page_lying(paper: str, width: float, height: float) -> None:
    """A sheet with all rows taken and forty codes is one page, on either paper, lying."""
    laid = laid_out(FULL, paper)
    first = laid[0].box

    assert {part.page for part in laid} == {1}
    assert first.margin_width() / MILLIMETRE == pytest.approx(width, abs=0.01)
    assert first.margin_height() / MILLIMETRE == pytest.approx(height, abs=0.01)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_cells_are_large_enough_to_write_in(paper: str) -> None:
    """Every day has a column at least 16 mm wide over all rows, each at least 7 mm high."""
    laid = [part.box for part in laid_out(FULL, paper) if part.box.element is not None]
    classes = [(box, (box.element.get("class") or "").split()) for box in laid]
    rows = [
        box for box, names in classes if "open" in names and type(box).__name__ == "TableCellBox"
    ]
    columns = [box for box, names in classes if "column" in names and {"day", "off"} & {*names}]
    top, bottom = rows[0].position_y, rows[-1].position_y + rows[-1].margin_height()

    assert len(rows) == ROWS + 1  # With the totals.
    assert {box.border_height() / MILLIMETRE >= 7 for box in rows} == {True}
    assert len(columns) == 7
    assert {box.border_width() / MILLIMETRE >= 16 for box in columns} == {True}
    assert all(box.position_y <= top for box in columns)
    assert all(box.position_y + box.margin_height() >= bottom - 1 for box in columns)


@pytest.mark.parametrize("name", slow_beyond(2, VIEWS))
def test_nothing_stands_outside_the_paper(name: str) -> None:
    """No word of any sheet is beyond the edge of the paper."""
    for part in laid_out(VIEWS[name]):
        if part.text and "…" not in part.text:
            assert 0 <= part.box.position_x < 297 * MILLIMETRE


def test_every_worker_begins_a_page() -> None:
    """Each worker has their own sheet, with all three rows to sign on."""
    laid = laid_out(SHEETS)

    assert [part.page for part in laid if part.text == "Total"] == [1, 1, 2, 2]
    assert all("Worker, date Foreman, date" in text_of(laid, number) for number in (1, 2))


def test_what_is_on_a_sheet() -> None:
    """Who, which week, which days are off, the codes once each, and what proves the page."""
    text = text_of(laid_out(SHEETS), 1)

    assert "Tobin Haskell" in text
    assert "Hand 107 shipwright Week from 29 June 2026 to 5 July 2026" in text
    assert "Wed 2026-07-01 holiday" in text
    assert "Time lost WX weather On no job CLEAN clean up Away SICK sick" in text
    assert f"Record stamp 57 · {SHEETS.known_at.head}" in text
    assert SHEETS.remade_by in text


def test_empty_rows_fill_the_sheet() -> None:
    """A sheet has the same number of rows however many are filled in, and some always empty."""
    grids = [each.tables[0] for each in week_sheets_page(SHEETS).sheets]
    blank = [sum(row.kind == "blank" for row in grid.rows) for grid in grids]

    assert [len(grid.rows) for grid in grids] == [ROWS, ROWS]
    assert blank == [ROWS - 5, ROWS]
    assert ROWS - MOST_ROWS == 3


def test_a_yard_without_codes_is_told() -> None:
    """A list without codes is a sentence."""
    assert "No code takes hours this week." in text_of(laid_out(VIEWS["no codes"]))


def test_a_rehearsal_says_so_on_every_page() -> None:
    """Nobody can take a sheet of a trial record for a real one."""
    laid = laid_out(VIEWS["rehearsal"])

    assert {part.page for part in laid if "Rehearsal" in part.text} == {1, 2}
    assert "Rehearsal" not in text_of(laid_out(SHEETS))


def test_a_sheet_has_no_money() -> None:
    """The sheets have no field for cost, charge or pay."""
    fields = {*WeekSheets.__dataclass_fields__, *WorkerSheet.__dataclass_fields__}
    money = ("cost", "rate", "price", "charge", "pay", "sum")

    assert not [name for name in fields if any(word in name for word in money)]


def test_a_sheet_is_no_web_page() -> None:
    """A sheet is for paper or a workbook; other kinds are wrong usage."""
    with pytest.raises(WrongUsage) as caught:
        render(SHEETS, "html", recorded_at=RECORDED_AT)

    assert worded(caught.value) == 'unknown report format "html"; use one of pdf, xlsx, json'


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (
            ("--worker", "Z9"),
            f"worker Z9 is not active in the week of {WEEK}; `fairhours show crew` lists all",
        ),
        (("--job", "PIER"), "there is no job PIER; `fairhours show jobs` lists them"),
    ],
)
def test_strangers_are_refused(built: Yard, words: tuple[str, ...], expected: str) -> None:
    """A worker who is not there in that week, or a job the book has not, is refused by name."""
    out = built.folder / "refused.pdf"

    assert refused(built, "--week", WEEK, *words, "--out", out) == expected
    assert not out.exists()


def test_a_week_before_anybody_came_is_refused(built: Yard) -> None:
    """A week in which nobody is active has no sheets."""
    out = built.folder / "refused.pdf"
    expected = "nobody is active in the week of 2024-12-30; load the crew"

    assert refused(built, "--week", "2025-01-01", "--out", out) == expected


def test_days_of_a_view_are_one_week() -> None:
    """A view with other days than seven in a row cannot be made."""
    with pytest.raises(AssertionError, match="a week has seven days"):
        replace(SHEETS, days=(SHEETS.days[0], *SHEETS.days[2:], SHEETS.days[1]))
    assert SHEETS.days[0].day == date(2026, 6, 29)
