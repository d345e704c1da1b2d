"""The progress form as a workbook: what was last is locked, what is to be measured is open."""

from typing import TYPE_CHECKING

from ledger.reports.foremen.progress_form_page import HEAD, NOT_HERE
from ledger.reports.tables import Page, Print, Table

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

HEAD_ROW = 4
WIDTHS = {"title": 34, "technique": 19, "last": 20, "note": 34, "milestone": 16, "reached": 9}
OPEN, CLOSED = "FFF7E0", "E4E8EB"
DATES = ("date", "started", "finished")
NUMBERS = ("percent", "quantity_done", "quantity_at_completion", "estimate_to_complete_hours")
LOAD_AS = "progress"  # What the form is loaded as.


def progress_workbook(page: Page, out: Print) -> bytes:
    """Return the form as XLSX; the same page and instant give the same bytes."""
    from openpyxl import Workbook

    from ledger.reports.workbook import dated, set_up_print

    book = Workbook()
    sheet = book.active
    sheet.title = "Progress"
    fill_form(sheet, page)
    fill_how_to(book, page, out.load(LOAD_AS))
    for each in book.worksheets:
        set_up_print(each, page, out.paper)
    sheet.print_title_rows = f"{HEAD_ROW}:{HEAD_ROW}"
    book.properties.creator = page.letterhead[0]
    book.properties.title = f"{page.title}: {page.subject}"
    return dated(book, out.instant.replace(tzinfo=None))


def fill_form(sheet: "Worksheet", page: Page) -> None:
    """Write what the form is, who measured, the heads, and the rows with their open cells."""
    from openpyxl.styles import PatternFill, Protection

    from ledger.reports.workbook import put, top

    table = page.sections[1].table
    for number, text in enumerate((table.caption, page.banner), start=1):
        put(sheet.cell(number, 1), text, strong=True).alignment = top(wrap=False)
    put(sheet.cell(HEAD_ROW - 1, 1), "Measured by, date").alignment = top(wrap=False)
    signed = sheet.cell(HEAD_ROW - 1, 3)
    signed.fill, signed.protection = PatternFill("solid", fgColor=OPEN), Protection(locked=False)
    for place, name in enumerate(HEAD, start=1):
        cell = put(sheet.cell(HEAD_ROW, place), name, strong=True)
        sheet.column_dimensions[cell.column_letter].width = WIDTHS.get(name, 13)
    for number, row in enumerate(table.rows, start=HEAD_ROW + 1):
        for place, (name, value) in enumerate(zip(HEAD, row.cells, strict=True), start=1):
            cell = put(sheet.cell(number, place), value if value != NOT_HERE else None)
            if value is None or name == "date":
                cell.fill = PatternFill("solid", fgColor=OPEN)
                cell.protection = Protection(locked=False)
                cell.number_format = "yyyy-mm-dd" if name in DATES else "General"
            elif name in HEAD[HEAD.index("date") :]:
                cell.fill = PatternFill("solid", fgColor=CLOSED)
    check_cells(sheet, table)
    sheet.freeze_panes = sheet.cell(HEAD_ROW + 1, HEAD.index("title") + 2)
    sheet.protection.sheet = True
    sheet.protection.formatColumns = False


def check_cells(sheet: "Worksheet", table: Table) -> None:
    """Let a spreadsheet take only what the load takes: numbers, dates, yes."""
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    kinds = {
        "percent": DataValidation("decimal", operator="between", formula1="0", formula2="100"),
        "reached": DataValidation("list", formula1='"yes"'),
        **{
            name: DataValidation("decimal", operator="greaterThanOrEqual", formula1="0")
            for name in NUMBERS[1:]
        },
        **{
            name: DataValidation("date", operator="greaterThan", formula1="DATE(1990,1,1)")
            for name in DATES
        },
    }
    for name, check in kinds.items():
        check.allow_blank, check.showErrorMessage = True, True
        check.error = f"This is not a value for {name}."
        letter = get_column_letter(HEAD.index(name) + 1)
        check.add(f"{letter}{HEAD_ROW + 1}:{letter}{HEAD_ROW + max(len(table.rows), 1)}")
        sheet.add_data_validation(check)


def fill_how_to(book: "Workbook", page: Page, load: str) -> None:
    """Write how the form is filled in, what is not on it, and by which command it is loaded."""
    from ledger.reports.workbook import put

    sheet = book.create_sheet(page.cover)
    sheet.column_dimensions["A"].width = 26
    sheet.column_dimensions["B"].width = 96
    lines = [
        *((("", page.banner),) if page.banner else ()),
        ("", f"{page.title}, {page.subject}"),
        *((fact.label, fact.value) for fact in page.facts),
        *(("Fill in", text) for text in page.how_to_read),
        ("Fill in", "Yellow cells only. Grey cells do not measure their row."),
        *((("Load it", load),) if load else ()),
        *((f"Not on the form: {fact.label}", fact.value) for fact in page.figures),
        *((fact.label, fact.value) for fact in page.proof),
    ]
    for number, (label, value) in enumerate(lines, start=1):
        put(sheet.cell(number, 1), label, strong=True)
        put(sheet.cell(number, 2), value, strong=not label)
