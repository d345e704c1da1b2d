"""The entries left to tag as a workbook: evidence locked, places to be chosen from a list."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from ledger.domain.allocation import hours_of

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

TO_FILL_IN = ("place", "cause", "rework", "why")
HEAD = (
    *("entry", "day", "worker_id", "hours", "booking_code", "note", "booked_to", "left_as"),
    *TO_FILL_IN,
    *("sheet", "file", "line", "suggested"),
)
WIDTHS = {
    "note": 36,
    "left_as": 28,
    "place": 26,
    "why": 36,
    "file": 24,
    "booked_to": 22,
    "suggested": 26,
}
GUIDE = (
    "How to tag these entries",
    "Choose in the column place where the hours belong, and write your reason in why. A row"
    " without a place stays as it is. The other columns are locked.",
    "The last column has the likeliest place, with its points of 100. Nobody has said so: look"
    " before you choose it.",
    "Lost time, overhead and absence: choose their code. Without one, write non_productive,"
    " overhead or absence in place, and the cause beside it.",
    "Work done again: choose its cause in rework; none takes a mark off.",
    "Then: {load}. All faults are reported at once, by cell, and nothing is changed until there"
    " are none.",
)
ASTRAY = "This is not in the list. Choose from it, or clear the cell."


@dataclass(frozen=True)
class TagChoices:
    """What can be chosen: places, and causes of rework."""

    places: Sequence[str]
    rework: Sequence[str]


def untagged_workbook(
    rows: Sequence[Mapping[str, Any]], choices: TagChoices, instant: datetime, load: str
) -> bytes:
    """Return the entries as XLSX; the same entries and instant give the same bytes.

    `load` is the command that loads it again.
    """
    from openpyxl import Workbook

    from ledger.reports.workbook import dated, put

    book = Workbook()
    sheet = book.active
    sheet.title = "Untagged"
    _fill(sheet, rows)
    lists = book.create_sheet("Choices")
    for column, texts in enumerate((choices.places, choices.rework), start=1):
        for number, text in enumerate(texts, start=1):
            put(lists.cell(number, column), text)
    _offer(sheet, "place", f"Choices!$A$1:$A${max(len(choices.places), 1)}")
    _offer(sheet, "rework", f"Choices!$B$1:$B${max(len(choices.rework), 1)}")
    guide = book.create_sheet("How to")
    guide.column_dimensions["A"].width = 110
    for number, text in enumerate(GUIDE, start=1):
        put(guide.cell(number, 1), text.replace("{load}", load), strong=number == 1)
    book.properties.creator = "fairhours"
    book.properties.title = "Entries left to tag"
    return dated(book, instant.replace(tzinfo=None))


def _fill(sheet: "Worksheet", rows: Sequence[Mapping[str, Any]]) -> None:
    """Write the rows; what is to be filled in is open and coloured, all else locked."""
    from openpyxl.styles import PatternFill, Protection

    from ledger.reports.workbook import put

    for place, name in enumerate(HEAD, start=1):
        cell = put(sheet.cell(1, place), name, strong=True)
        sheet.column_dimensions[cell.column_letter].width = WIDTHS.get(name, 14)
    open_fill = PatternFill("solid", fgColor="FFF7E0")
    for number, row in enumerate(rows, start=2):
        values = {**row, "hours": hours_of(row["ms"], 4)}
        for place, name in enumerate(HEAD, start=1):
            cell = put(sheet.cell(number, place), values.get(name))
            if name in TO_FILL_IN:
                cell.fill = open_fill
                cell.number_format = "@"
                cell.protection = Protection(locked=False)
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.protection.sheet = True
    sheet.protection.autoFilter = False
    sheet.protection.formatColumns = False


def _offer(sheet: "Worksheet", column: str, texts: str) -> None:
    """Offer a list in a column; a spreadsheet takes nothing else."""
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    offered = DataValidation("list", formula1=texts, allow_blank=True, showErrorMessage=True)
    offered.error = ASTRAY
    letter = get_column_letter(HEAD.index(column) + 1)
    offered.add(f"{letter}2:{letter}{max(sheet.max_row, 2)}")
    sheet.add_data_validation(offered)
