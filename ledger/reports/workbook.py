"""A report as a workbook: a sheet that says what it is, then one sheet a table."""

import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.domain.spreadsheets import begins_formula
from ledger.language import _
from ledger.reports.tables import Cell, Column, Page, Print, Row, Sheet, Table

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell as SheetCell
    from openpyxl.styles import Alignment
    from openpyxl.worksheet.worksheet import Worksheet

PAPER_NUMBERS = {"A4": 9, "Letter": 1}  # ECMA-376, part 1, 18.3.1.63, paperSize.
WIDTHS = {
    "code": 14,
    "text": 42,
    "trades": 26,
    "standing": 34,
    "basis": 22,
    "note": 64,
    "date": 14,
    "due": 30,
    "hours": 14,
    "money": 18,
    "days": 9,
    "unit": 10,
    "quantity": 12,
    "rate": 14,
}
CELL_LENGTH = 32_000  # A cell holds 32,767 characters.
ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
STRONG = {"subtotal", "total", "group"}


def workbook(page: Page, out: Print) -> bytes:
    """Return the report as XLSX; the same page and instant give the same bytes."""
    from openpyxl import Workbook

    book = Workbook()
    cover = book.active
    fill_cover(cover, page)
    for table in (*(section.table for section in page.sections), *of_all_sheets(page.sheets)):
        fill_table(book.create_sheet(sheet_name(table.name)), table)
    for sheet in book.worksheets:
        set_up_print(sheet, page, out.paper)
    book.properties.creator = page.letterhead[0]
    book.properties.title = page.title
    return dated(book, out.instant.replace(tzinfo=None))


def sheet_name(name: str) -> str:
    """Return a name in the language spoken, as long as a workbook allows."""
    return _(name)[:31]


def fill_cover(sheet: "Worksheet", page: Page) -> None:
    """Write what the report is, its headline, its figures, how to read it and its proof."""
    sheet.title = sheet_name(page.cover)
    sheet.column_dimensions["A"].width = 28
    sheet.column_dimensions["B"].width = 96
    lines = [
        *((("", page.banner),) if page.banner else ()),
        ("", page.title),
        ("", page.subject),
        (_("Yard"), ", ".join(page.letterhead)),
        *((fact.label, fact.value) for fact in page.facts),
        (_("Summary"), page.headline),
        *((fact.label, f"{fact.value} ({fact.remark})") for fact in page.figures),
        *((_("How to read it"), text) for text in page.how_to_read),
        *(((_("Caution"), page.caution),) if page.caution else ()),
        *((fact.label, fact.value) for fact in page.proof),
    ]
    for number, (label, value) in enumerate(lines, start=1):
        put(sheet.cell(number, 1), label, strong=True)
        put(sheet.cell(number, 2), value, strong=not label)


def of_all_sheets(sheets: Sequence[Sheet]) -> Iterator[Table]:
    """Yield the tables of the sheets, each kind as one with the code before every row."""
    if sheets:
        yield of_facts(sheets)
    for alike in zip(*(sheet.tables for sheet in sheets), strict=True):
        rows = [
            replace(row, cells=(sheet.code, *row.cells))
            for sheet, table in zip(sheets, alike, strict=True)
            for row in table.rows
            if row.kind == "plain"
        ]
        columns = (Column(_("Change"), "code"), *alike[0].columns)
        yield replace(alike[0], columns=columns, rows=tuple(rows))


def of_facts(sheets: Sequence[Sheet]) -> Table:
    """Return what is said of each sheet's thing above its tables."""
    columns = (
        Column(_("Change"), "code"),
        Column(_("What"), "standing"),
        Column(_("Said"), "note"),
    )
    rows = [
        (sheet.code, label, text)
        for sheet in sheets
        for label, text in (
            (_("Kind"), sheet.kind),
            (_("Title"), sheet.title),
            *((fact.label, fact.value) for fact in sheet.facts),
            *((_("Text"), text) for text in sheet.texts),
        )
    ]
    return Table("Change details", "Change details", columns, tuple(map(Row, rows)))


def fill_table(sheet: "Worksheet", table: Table) -> None:
    """Write the table as it is on the page, numbers as numbers and dates as dates."""
    columns = table.columns
    if any(row.remark for row in table.rows):
        columns = (*columns, Column(_("Remark"), "note"))
    for place, column in enumerate(columns, start=1):
        head = f"{column.head} ({column.unit})" if column.unit else column.head
        cell = put(sheet.cell(1, place), head, strong=True)
        sheet.column_dimensions[cell.column_letter].width = WIDTHS[column.kind]
    for number, row in enumerate(table.rows, start=2):
        fill_row(sheet, number, row, table.columns)
        if row.remark:
            put(sheet.cell(number, len(columns)), row.remark)
    if not table.rows:
        put(sheet.cell(2, 1), table.empty)
    sheet.freeze_panes = "B2"


def fill_row(sheet: "Worksheet", number: int, row: Row, columns: tuple[Column, ...]) -> None:
    places = [1, *range(row.span + 1, len(columns) + 1)]
    for place, value in zip(places, row.cells, strict=False):
        cell = put(sheet.cell(number, place), value, strong=row.kind in STRONG)
        if isinstance(value, int | Decimal):
            cell.number_format = number_format(value, signed=row.kind == "step")
        if row.span > 1 and place == 1:  # The label runs on over the empty cells beside it.
            cell.alignment = top(wrap=False)


def number_format(value: Decimal | int, *, signed: bool) -> str:
    """Return the cell format with the number's own decimals and a true minus sign."""
    exponent = value.as_tuple().exponent if isinstance(value, Decimal) else 0
    places = -exponent if isinstance(exponent, int) else 0
    digits = "#,##0" + ("." + "0" * places if places > 0 else "")
    return f'{"+" if signed else ""}{digits};"\N{MINUS SIGN}"{digits};{digits}'


def put(cell: "SheetCell", value: Cell, *, strong: bool = False) -> "SheetCell":
    """Write one value; a text stays a text, whatever it begins with."""
    from openpyxl.styles import Font

    if isinstance(value, str):
        cell.value = ESCAPED.sub("_x005F_", value[:CELL_LENGTH])
        cell.data_type = "s"
        # What a spreadsheet itself keeps of a text that was typed behind an apostrophe.
        cell.quotePrefix = begins_formula(value)
    else:
        cell.value = value
    if isinstance(value, date):
        cell.number_format = "yyyy-mm-dd"
    cell.alignment = top(wrap=True)
    cell.font = Font(name="Source Sans Pro", size=10, bold=strong)
    return cell


def top(*, wrap: bool) -> "Alignment":
    from openpyxl.styles import Alignment

    return Alignment(vertical="top", wrap_text=wrap)


def set_up_print(sheet: "Worksheet", page: Page, paper: str) -> None:
    """Fit the sheet to the paper's width, with heads and page numbers."""
    sheet.page_setup.paperSize = PAPER_NUMBERS[paper]
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    if sheet.title != sheet_name(page.cover):
        sheet.print_title_rows = "1:1"
    sheet.oddFooter.left.text = page.foot
    sheet.oddFooter.right.text = _("Page {page} of {pages}").format(page="&P", pages="&N")


def dated(book: "Workbook", instant: datetime) -> bytes:
    """Return the saved workbook with the record's instant in place of the clock's."""
    from openpyxl.xml.functions import tostring

    saved, made = io.BytesIO(), io.BytesIO()
    book.save(saved)
    book.properties.created = book.properties.modified = instant
    with zipfile.ZipFile(saved) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            part = old.read(name)
            if name == "docProps/core.xml":
                part = tostring(book.properties.to_tree())
            entry = zipfile.ZipInfo(name, instant.timetuple()[:6])
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, part)
    return made.getvalue()
