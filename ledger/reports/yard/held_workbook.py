"""The held lines as a workbook, with an empty column for the correction of each."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from ledger.tables.layouts import FIELDS

HEAD = ("held_line", "file", "line", "message", "correction", "why", *FIELDS)
WIDTHS = {"message": 60, "correction": 30, "why": 30, "file": 24, "note": 30}
GUIDE = (
    "How to correct held lines",
    "Write the correction in the column correction and your reason in why. The line of a blank"
    " row stays held. Do not change other columns.",
    "A single value (7.5, 2026-05-31, W12) replaces the one that the message names.",
    "Several fields: worker_id=W12; hours=7.5. A field with nothing after = becomes blank.",
    "release books the line as it is, if worker, day and hours can be read.",
    "reject closes the line; it is not booked.",
    "Then: {load}. All faults are reported at once, and nothing is changed until there are none.",
)


def held_workbook(rows: Sequence[Mapping[str, Any]], instant: datetime, load: str) -> bytes:
    """Return the held lines as XLSX; the same lines and instant give the same bytes.

    `load` is the command that loads it again.
    """
    from openpyxl import Workbook
    from openpyxl.styles import PatternFill

    from ledger.reports.workbook import dated, put

    book = Workbook()
    sheet = book.active
    sheet.title = "Held"
    for place, name in enumerate(HEAD, start=1):
        cell = put(sheet.cell(1, place), name, strong=True)
        sheet.column_dimensions[cell.column_letter].width = WIDTHS.get(name, 14)
    open_fill = PatternFill("solid", fgColor="FFF7E0")
    for number, row in enumerate(rows, start=2):
        for place, name in enumerate(HEAD, start=1):
            cell = put(sheet.cell(number, place), row.get(name))
            if name in ("correction", "why"):
                cell.fill = open_fill
                cell.number_format = "@"
    sheet.freeze_panes = "B2"
    guide = book.create_sheet("How to")
    guide.column_dimensions["A"].width = 110
    for number, text in enumerate(GUIDE, start=1):
        put(guide.cell(number, 1), text.replace("{load}", load), strong=number == 1)
    book.properties.creator = "fairhours"
    book.properties.title = "Held lines"
    return dated(book, instant.replace(tzinfo=None))
