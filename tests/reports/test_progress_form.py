"""The progress form: what is open and where it was last, without hours, out and back."""

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from ledger.reports.foremen.progress_form import FormRow, NotListed, ProgressForm
from ledger.reports.rendering import render
from tests.conftest import Yard, slow_beyond
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import text_of
from tests.reports._yard_pages import DAY, HARBOUR, LONG, STAMP, conforms, laid_out
from tests.test_small_sample import build

HEAD_ROW = 4


def form_row(number: int, **facts: Any) -> FormRow:
    given: dict[str, Any] = {
        "code": f"P{number:02d}",
        "title": f"Work {number}",
        "account": f"part {number // 10}",
        "trade": "",
        "technique": "percent_complete",
        "planned_start": DAY,
        "planned_finish": DAY,
        "last_measured": DAY,
        "percent": Decimal(40),
    }
    return FormRow(**(given | facts))


def form(*rows: FormRow, **facts: Any) -> ProgressForm:
    given: dict[str, Any] = {
        "yard": HARBOUR,
        "job": "LANDING",
        "title": "Timber landing",
        "status_date": DAY,
        "known_at": STAMP,
        "remade_by": "fairhours --known-at 57 report progress-form --job LANDING",
        "rehearsal": False,
        "rows": rows,
        "not_listed": (NotListed("G01", "Foreman", "level_of_effort"),),
    }
    return ProgressForm(**(given | facts))


VIEWS = {
    "long": form(*(form_row(number, title=LONG) for number in range(1, 41))),
    "empty": form(),
    "rehearsal": replace(form(form_row(1, account="")), rehearsal=True),
}


def made(yard: Yard, ending: str = "xlsx") -> Path:
    out = yard.folder / f"form.{ending}"
    yard.run("report", "progress-form", "--job", "STAGE", "--out", out)
    return out


def filled_in(path: Path, cells: dict[tuple[str, str], object]) -> Path:
    """Write into a form's cells, named by package and column, as a spreadsheet would."""
    book = openpyxl.load_workbook(path)
    sheet: Worksheet = book["Progress"]
    heads = {cell.value: cell.column for cell in sheet[HEAD_ROW]}
    rows = {
        sheet.cell(number, heads["work_package"]).value: number
        for number in range(HEAD_ROW + 1, sheet.max_row + 1)
    }
    for (part, name), value in cells.items():
        sheet.cell(rows[part], heads[name]).value = value
    book.save(path)
    return path


def test_the_form_goes_out_and_comes_back(tmp_path: Path) -> None:
    """Filled in, it loads as it is; blank rows add nothing, the same figure again is measured."""
    yard = build(Yard(tmp_path))
    path = made(yard)
    blank = yard.run("load", "progress", "--job", "STAGE", path).stderr
    filled_in(path, {("DECK", "quantity_done"): 30, ("CR1", "percent"): "50 %"})
    done = yard.run("load", "progress", "--job", "STAGE", path).stderr
    rows = yard.rows(yard.run("show", "progress", "--format", "csv").stdout)
    measured = {row["work_package"]: row for row in rows if row["day"] == "2026-03-22"}

    assert "progress: 0 new, 0 changed, 0 unchanged" in blank
    assert "progress form: 4 rows left blank, nothing added" in blank
    assert "progress: 2 new, 0 changed, 0 unchanged" in done
    assert Decimal(measured["DECK"]["quantity_done"]) == 30
    assert Decimal(measured["CR1"]["percent"]) == 50
    assert set(measured) == {"DECK", "CR1"}


@pytest.mark.slow
def test_what_is_open_stands_with_its_last_measure(tmp_path: Path) -> None:
    """Open packages and changes are on it, finished ones are not; each with what was measured."""
    yard = build(Yard(tmp_path))
    view = json.loads(made(yard, "json").read_bytes())
    actual = {
        row["code"]: (row["technique"], row["last_measured"], row["trade"]) for row in view["rows"]
    }

    assert view["status_date"] == "2026-03-22"
    assert actual == {
        "RAIL": ("fixed_formula", "2026-03-19", "carpenter"),
        "DECK": ("units_complete", "2026-03-20", ""),
        "CR1": ("percent_complete", "2026-03-20", ""),
        "CR2": ("percent_complete", None, ""),
    }


@pytest.mark.slow
def test_a_milestone_counts_where_it_is_reached(tmp_path: Path) -> None:
    """Each milestone left has a row; only one marked as reached is a measurement."""
    yard = build(Yard(tmp_path))
    out = tmp_path / "early.xlsx"
    day = ("--status-date", "2026-03-08")
    yard.run("report", "progress-form", "--job", "STAGE", *day, "--out", out)
    sheet = openpyxl.load_workbook(out)["Progress"]
    heads = {cell.value: cell.column for cell in sheet[HEAD_ROW]}
    left = [
        sheet.cell(number, heads["milestone"]).value
        for number in range(HEAD_ROW + 1, sheet.max_row + 1)
        if sheet.cell(number, heads["work_package"]).value == "FRAME"
    ]
    filled_in(out, {("FRAME", "reached"): "Yes", ("FRAME", "date"): date(2026, 3, 7)})
    said = yard.run("load", "progress", "--job", "STAGE", out).stderr

    assert left == ["beams", "bracing"]
    assert "progress: 1 new" in said


@pytest.mark.slow
@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ({("DECK", "percent"): 60}, "percent does not measure DECK (units_complete); fill in"),
        ({("CR1", "percent"): 101}, '"101" is not between 0 and 100 percent'),
        ({("CR1", "note"): "wait"}, "measures nothing; give a percent, quantity, milestone"),
        ({("CR1", "job"): "PIER"}, "this form is for job PIER, not STAGE"),
        ({("CR1", "reached"): "yes"}, "reached needs a milestone in its row"),
    ],
)
def test_what_does_not_fit_is_refused(
    tmp_path: Path, cells: dict[tuple[str, str], object], expected: str
) -> None:
    """A form with a cell that does not fit changes nothing, and the message names the cell."""
    yard = build(Yard(tmp_path))
    path = filled_in(made(yard), cells)
    said = yard.run("load", "progress", "--job", "STAGE", path, ok=False).stderr

    assert expected in said
    assert "Progress!" in said or "Progress row" in said


def test_the_form_shows_no_hours_and_no_money() -> None:
    """A percent cannot be worked out from hours, for there are none on it."""
    names = {*ProgressForm.__dataclass_fields__, *FormRow.__dataclass_fields__}
    words = ("hours", "ms", "budget", "booked", "cost", "price", "rate", "pay", "worker")

    assert not [name for name in names if any(word in name.split("_") for word in words)]


@pytest.mark.parametrize("name", slow_beyond(0, VIEWS))
def test_the_pdf_can_be_read_aloud(name: str) -> None:
    """Every form conforms to PDF/UA-1 (ISO 14289-1), and no word leaves the paper."""
    view = VIEWS[name]

    assert conforms(render(view, "pdf", recorded_at=RECORDED_AT)) == []
    for part in laid_out(view):
        if part.text:
            assert part.box.position_x + part.box.width <= 1123


@pytest.mark.slow
def test_what_is_not_listed_is_said() -> None:
    """What the plan measures is named under the form, so that nobody looks for it."""
    text = text_of(laid_out(VIEWS["empty"]))

    assert "Nothing is open to be measured." in text
    # The name stands in a box of its own, so that a blank follows it here.
    assert "G01 Foreman , measured by the plan alone (level of effort)." in text
