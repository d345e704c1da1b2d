"""The accountant's report: it adds up, what is open comes first, and it can be signed."""

import io
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

import openpyxl
import pytest

from ledger.reports.dates import written
from ledger.reports.rendering import render
from ledger.reports.tables import Table
from ledger.reports.yard.reconciliation import Reconciliation
from ledger.reports.yard.reconciliation_page import reconciliation_page
from ledger.reports.yard.reconciliation_shown import shown_rows
from tests.conftest import Yard
from tests.payroll.test_payday import ASKED, build
from tests.reports._landing import RECORDED_AT
from tests.reports._paper import html_of
from tests.reports._reconciliation import SIGNED, USUAL, VIEWS, report, row
from tests.reports._yard_pages import HOUR, conforms, laid_out


def tables(view: Reconciliation) -> dict[str, Table]:
    return {each.table.name: each.table for each in reconciliation_page(view).sections}


def cells(table: Table, kind: str) -> list[tuple[Any, ...]]:
    return [each.cells for each in table.rows if each.kind == kind]


def test_every_table_adds_up_as_shown() -> None:
    """Rows, kinds and reasons to two places add up to totals that are the command's own."""
    shown = shown_rows(USUAL.rows)
    made = tables(USUAL)
    kinds = cells(made["Totals by kind"], "plain")
    whole = cells(made["Totals by kind"], "total")[0]
    reasons = cells(made["Totals by reason"], "plain")

    # 8 x 20 min + 40 + 40:20 + 6 + 38 = 127 h; 8 x 20 min + 39:40 + 44 + 8 + 40 = 134:20
    assert whole[2:4] == (Decimal("127.00"), Decimal("134.33"))
    assert [sum(column) for column in zip(*(each[2:7] for each in kinds), strict=True)] == [
        *whole[2:7]
    ]
    assert sum(each[2] for each in reasons) == whole[4] == Decimal("-7.33")
    assert sum(each.paid for each in shown) == whole[2]
    assert all(not each.difference for each in shown[:8])
    for each in shown:
        assert each.difference == sum(hours for _, hours in each.reasons) + each.unexplained


def test_what_is_unexplained_comes_first() -> None:
    """Workers with hours unexplained stand before those whose reason is known and open."""
    open_rows = tables(USUAL)["Not settled"]
    groups = [each.cells[0] for each in open_rows.rows if each.kind == "group"]

    assert groups == ["111 · Worker 11", "112 · Worker 12"]
    assert [each.remark for each in open_rows.rows if each.kind == "plain"] == [
        "Open: 0.33 h unexplained",
        "Open: 8.00 h booked and not paid",
    ]
    assert next(each.cells[0] for each in tables(USUAL)["Waived"].rows) == "113 · Worker 13"
    assert "8 rows agree and are not listed." in html_of(USUAL)


def test_a_row_that_does_not_add_up_cannot_be_made() -> None:
    """Reasons beside the difference are our bug and never a page."""
    with pytest.raises(AssertionError, match="a row does not add up"):
        replace(row(1, HOUR, 0), unexplained_ms=0)


def test_it_can_be_signed_on_paper_and_shows_who_signed_in_the_record() -> None:
    """Signatures of the record by person and day, then empty lines to be signed."""
    assert [each.cells[:3] for each in tables(USUAL)["Sign-off"].rows] == [
        ("Signed off", "pm", "1 row signed off in the record, 1 waived with a reason"),
        ("Signed off", "pm (Oda Finch)", "1 row signed off in the record"),
        ("Prepared by", "", ""),
        ("Reviewed by", "", ""),
    ]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "paper"), [*((name, "A4") for name in VIEWS), ("usual", "Letter")]
)
def test_the_pdf_can_be_read_aloud(name: str, paper: str) -> None:
    """Every report conforms to PDF/UA-1 (ISO 14289-1), and no word leaves the paper."""
    if paper == "A4":
        assert conforms(render(VIEWS[name], "pdf", recorded_at=RECORDED_AT)) == []
    for part in laid_out(VIEWS[name], paper):
        if part.text:
            right = part.box.position_x + part.box.width
            assert 0 <= part.box.position_x <= right <= {"A4": 794, "Letter": 816}[paper]


@pytest.mark.slow
def test_the_workbook_explains_every_column() -> None:
    """Rows, reasons and the sign-off are sheets, and one dictionary has every column of all."""
    book = openpyxl.load_workbook(io.BytesIO(render(USUAL, "xlsx", recorded_at=RECORDED_AT)))
    explained = {(line[0].value, line[1].value) for line in list(book["Data dictionary"].rows)[1:]}
    columns = {
        (sheet.title, re.sub(r" \(h\)$", "", str(cell.value)))
        for sheet in book.worksheets[1:-1]
        for cell in sheet[1]
        if cell.value not in (None, "Remark")
    }

    assert columns == explained
    assert {"Rows", "Reasons", "Sign-off"} <= {*book.sheetnames}
    assert [line[0].value for line in book["Sign-off"].rows][-2:] == ["Prepared by", "Reviewed by"]


@pytest.mark.slow
def test_it_agrees_with_reconciliation(yard: Yard) -> None:
    """Of the sample its rows and reasons are those of the command, and so are its totals."""
    yard.copy_made_by(build)
    out = yard.folder / "paid.xlsx"
    said = yard.run("report", "reconciliation", *ASKED, "--out", out).stderr
    found = yard.json("reconciliation", *ASKED)
    book = openpyxl.load_workbook(out)
    rows = [[cell.value for cell in line] for line in list(book["Rows"].rows)[1:]]
    reasons = [line[6].value for line in list(book["Reasons"].rows)[1:]]
    total = [cell.value for cell in list(book["Totals by kind"].rows)[-1]]

    assert said == f"{out}: from {ASKED[1]} to {ASKED[3]}, record stamp 9\n"
    names = ("paid_hours", "booked_hours", "difference_hours")
    assert [line[7:10] for line in rows] == [
        [float(each[name]) for name in names] for each in found["rows"]
    ]
    assert [line[14] == "yes" for line in rows] == [each["settled"] for each in found["rows"]]
    assert reasons == [float(why["hours"]) for each in found["rows"] for why in each["reasons"]]
    assert total[2:5] == [round(float(found[name]), 2) for name in names]


SIDES = ((39 * HOUR, "payroll"), (0, "supplier"))


def test_rows_of_one_worker_say_what_they_stand_against() -> None:
    """Of a worker with rows against payroll and a supplier each names its side, else none does."""
    two = [row(1, 40 * HOUR, booked, against=side) for booked, side in SIDES]
    made = tables(report(*two, row(2, 8 * HOUR, 0)))["Not settled"]

    assert [each[0] for each in cells(made, "plain")] == [
        *("Worked, payroll", "Worked, supplier's hours", "Worked")
    ]


def test_a_signature_that_does_not_hold_is_worded_so() -> None:
    """Open again with who signed; what waits for pay says so; of closed periods likewise."""
    signed = {"signed": SIGNED, "is_signed": False}
    late = ("late_sheet", -2 * HOUR)
    open_row = row(1, 38 * HOUR, 40 * HOUR, late, owed_ms=-2 * HOUR, is_settled=False, **signed)
    waiting = row(2, 38 * HOUR, 40 * HOUR, late, waiting_ms=-2 * HOUR)
    made = tables(report(open_row, waiting, changed=(open_row,)))
    on = written(SIGNED.on)
    again = f"Open again, signed off by pm (Oda Finch) on {on}: 2.00 h booked and not paid"

    assert [each.remark for each in made["Not settled"].rows if each.remark] == [again]
    assert [each.remark for each in made["Explained"].rows if each.remark] == [
        "2.00 h waiting for pay"
    ]
    assert cells(made["Changed since closed"], "plain")[0][-1] == again
