"""The sheets of a week as a workbook: a tab for each worker, in the shape of `printed-week`.

The labels and heads are those of the layout sample_data/layouts/printed-week.toml, so that a filled
workbook is loaded with it as it stands.
"""

from typing import TYPE_CHECKING

from ledger.reports.tables import Page, Print, Sheet, Table

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell as SheetCell
    from openpyxl.worksheet.worksheet import Worksheet

LAYOUT = "printed-week"
TOTAL = "Total"
WIDTHS = {"code": 11, "text": 30, "job": 10, "day": 11, "off": 11, "sum": 9, "note": 34}
HEAD_ROW = 6
TAB_LENGTH = 31
NOT_IN_A_NAME = str.maketrans(dict.fromkeys("[]:*?/\\'", "-"))
ROW_HEIGHT = 24
OFF, TINT = "E4E8EB", "F1F4F6"


def week_workbook(page: Page, out: Print) -> bytes:
    """Return the sheets as XLSX; the same page and instant give the same bytes."""
    from openpyxl import Workbook

    from ledger.reports.workbook import dated

    book = Workbook()
    book.remove(book.active)
    for sheet in page.sheets:
        fill_sheet(book.create_sheet(tab_name(book, sheet)), sheet, page)
    fill_about(book.create_sheet(page.cover), page, out.load(LAYOUT))
    for each in book.worksheets:
        set_up(each, page, out.paper)
    book.properties.creator = page.letterhead[0]
    book.properties.title = f"{page.title}: {page.subject}"
    return dated(book, out.instant.replace(tzinfo=None))


def tab_name(book: "Workbook", sheet: Sheet) -> str:
    """Return a name for the tab that no other has: the worker's number."""
    name = sheet.code.translate(NOT_IN_A_NAME)[:TAB_LENGTH] or "sheet"
    taken = {each.lower() for each in book.sheetnames}
    return name if name.lower() not in taken else f"{name[:20]} {len(taken) + 1}"


def first_day(grid: Table) -> str:
    """Return the first day of the week as the layout of a filled sheet reads it: ISO 8601."""
    days = (column.unit for column in grid.columns if column.kind in {"day", "off"})
    return next(days).split()[0]


def fill_sheet(sheet: "Worksheet", worker: Sheet, page: Page) -> None:
    """Write who and when above the grid, the grid, its totals, the signatures and the codes."""
    from ledger.reports.workbook import put

    grid, codes = worker.tables
    put(sheet["A1"], f"{page.title} · {page.letterhead[0]}", strong=True)
    if page.banner:
        put(sheet["H1"], page.banner, strong=True).alignment = plain()
    for at, fact in enumerate(worker.facts, start=2):
        put(sheet.cell(at, 1), fact.label)
        put(sheet.cell(at, 2), first_day(grid) if fact.remark else fact.value, strong=True)
    put(sheet["D2"], "Name")
    put(sheet["E2"], "" if worker.title == "Name:" else worker.title, strong=True)
    put(sheet["D3"], "Trade")
    put(sheet["E3"], worker.kind)
    for name in ("A1", "E2", "E3"):
        sheet[name].alignment = plain()
    last = fill_grid(sheet, grid)
    # Nothing but hours may stand under a day.
    for place, words in ((1, "Worker, date"), (len(grid.columns), "Foreman, date")):
        put(sheet.cell(last + 2, place), words).alignment = plain()
    fill_codes(sheet, codes, last + 4)
    sheet.freeze_panes = sheet.cell(HEAD_ROW + 1, 4)


def fill_grid(sheet: "Worksheet", grid: Table) -> int:
    """Write the dates, the heads, the rows and the totals; return the row of the totals."""
    from openpyxl.styles import PatternFill

    from ledger.reports.workbook import put

    last = HEAD_ROW + len(grid.rows) + 1
    for place, column in enumerate(grid.columns, start=1):
        head = put(sheet.cell(HEAD_ROW, place), column.head, strong=True)
        put(sheet.cell(HEAD_ROW - 1, place), column.unit)
        sheet.column_dimensions[head.column_letter].width = WIDTHS[column.kind]
        for number in range(HEAD_ROW, last + 1):
            cell = framed(sheet.cell(number, place))
            if column.kind == "off":
                cell.fill = PatternFill("solid", fgColor=OFF)
            if column.kind in ("day", "off", "sum"):
                cell.number_format = "0.00;-0.00;"
    for number, row in enumerate(grid.rows, start=HEAD_ROW + 1):
        sheet.row_dimensions[number].height = ROW_HEIGHT
        for place, value in enumerate(row.cells[:3], start=1):
            framed(put(sheet.cell(number, place), value or None, strong=place == 1))
    total(sheet, grid, last)
    return last


def total(sheet: "Worksheet", grid: Table, last: int) -> None:
    """Write the sums of rows and of days; the layout leaves the row of totals out."""
    from ledger.reports.workbook import put

    kinds = [column.kind for column in grid.columns]
    first_day, sums = 4, kinds.index("sum") + 1
    left, right = (sheet.cell(1, place).column_letter for place in (first_day, sums - 1))
    framed(put(sheet.cell(last, 1), TOTAL, strong=True))
    for number in range(HEAD_ROW + 1, last + 1):
        sheet.cell(number, sums).value = f"=SUM({left}{number}:{right}{number})"
    for place in range(first_day, sums):
        letter = sheet.cell(1, place).column_letter
        sheet.cell(last, place).value = f"=SUM({letter}{HEAD_ROW + 1}:{letter}{last - 1})"
    sheet.row_dimensions[last].height = ROW_HEIGHT


def fill_codes(sheet: "Worksheet", codes: Table, first: int) -> None:
    """Write the codes below the grid, and offer them in its cells for codes."""
    from openpyxl.worksheet.datavalidation import DataValidation

    from ledger.reports.workbook import put

    put(sheet.cell(first, 1), codes.caption, strong=True).alignment = plain()
    rows = [row for row in codes.rows if row.kind != "group"]
    for number, row in enumerate(rows, start=first + 1):
        for place, value in enumerate(row.cells, start=1):
            put(sheet.cell(number, place), value or None, strong=place == 1).alignment = plain()
    if not rows:
        put(sheet.cell(first + 1, 1), codes.empty).alignment = plain()
        return
    listed = f"$A${first + 1}:$A${first + len(rows)}"
    offered = DataValidation("list", formula1=listed, allow_blank=True, errorStyle="warning")
    offered.error = "This code is not on the list. Write in the remark what was done."
    offered.errorTitle = "Not on the list"
    offered.add(f"A{HEAD_ROW + 1}:A{first - 5}")
    sheet.add_data_validation(offered)


def framed(cell: "SheetCell") -> "SheetCell":
    from openpyxl.styles import Alignment, Border, Side

    line = Side("thin", color="8A949D")
    cell.border = Border(line, line, line, line)
    cell.alignment = Alignment(vertical="center", wrap_text=True)
    return cell


def plain() -> object:
    from openpyxl.styles import Alignment

    return Alignment(vertical="center", wrap_text=False)


def fill_about(sheet: "Worksheet", page: Page, load: str) -> None:
    """Write how the workbook is used, by which command it is loaded, and what proves it."""
    from ledger.reports.workbook import put

    sheet.column_dimensions["A"].width = 26
    sheet.column_dimensions["B"].width = 96
    lines = [
        *((("", page.banner),) if page.banner else ()),
        ("", f"{page.title}, {page.subject}"),
        ("Fill in", "Hours by code and day: 7.5 or 7:30. Leave a day without hours empty."),
        *((("Load it", load),) if load else ()),
        *((fact.label, fact.value) for fact in page.proof),
    ]
    for number, (label, value) in enumerate(lines, start=1):
        put(sheet.cell(number, 1), label, strong=True)
        put(sheet.cell(number, 2), value, strong=not label)


def set_up(sheet: "Worksheet", page: Page, paper: str) -> None:
    """Fit each sheet to one page of the paper, lying."""
    from ledger.reports.workbook import PAPER_NUMBERS

    sheet.page_setup.paperSize = PAPER_NUMBERS[paper]
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.left.text = page.foot
