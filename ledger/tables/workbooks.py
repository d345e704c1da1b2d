"""Workbooks (XLSX, ODS) as rows of text: each tab a table of cells, as a CSV file would hold them.

A number is taken at 15 significant digits, a time at the nearest second, a date as ISO 8601.
"""

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Iterator, Mapping, Set
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from typing import Any
from xml.etree import ElementTree
from xml.parsers.expat import ExpatError

from ledger.errors import Refused
from ledger.tables.tabs import Place, Tab
from ledger.tables.workbook_marks import MOST_MARKS, CellMark, TooManyMarks, marks_of
from ledger.tables.workbook_parts import Workbook, checked

# A number as a cell of numbers is written here.
POINTED = re.compile(r"-?[0-9]+[.][0-9]+%?")
_ISO_DURATION = re.compile(r"(-?)PT([0-9]+)H([0-9]+)M([0-9]+)(?:[.,]([0-9]+))?S")
# What the readers of archives and their parts raise on one that is broken or protected.
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    ElementTree.ParseError,
    ExpatError,
    ArithmeticError,
    EOFError,
    LookupError,
    OSError,
    RuntimeError,
    ValueError,
)


def read_tabs(name: str, data: bytes) -> tuple[Tab, ...]:
    """Return the tabs of a workbook in its own order.

    Raises: Refused, naming the file, when it cannot be read.
    """
    from python_calamine import CalamineError

    try:
        return _tabs(checked(name, data))
    except TooManyMarks:
        raise Refused("workbook_unusable", file=name, most=MOST_MARKS) from None
    except (CalamineError, *_BROKEN):
        raise Refused("workbook_broken", file=name) from None


def _tabs(book: Workbook) -> tuple[Tab, ...]:
    from python_calamine import SheetTypeEnum, load_workbook

    marks = marks_of(book.archive, book.kind)
    with load_workbook(io.BytesIO(book.archive)) as workbook:
        return tuple(
            _tab(workbook, each, marks.get(each.name, {}))
            for each in workbook.sheets_metadata
            if each.typ == SheetTypeEnum.WorkSheet
        )


def _tab(workbook: Any, described: Any, marks: Mapping[Place, CellMark]) -> Tab:
    from python_calamine import SheetVisibleEnum

    hidden = described.visible != SheetVisibleEnum.Visible
    sheet = workbook.get_sheet_by_name(described.name)
    if sheet.start is None and not marks:
        return Tab(described.name, [], hidden)
    percents = {place for place, mark in marks.items() if mark.kind == "percent"}
    typed: set[Place] = set()
    rows = list(_rows(sheet, percents, typed)) if sheet.start is not None else []
    unusable = {}
    for place, mark in marks.items():
        if place not in percents:
            _reach(rows, place)
            row, column = place
            rows[row][column] = mark.text
            unusable[place] = mark.fault
    return Tab(described.name, _trimmed(rows), hidden, unusable, typed)


def _rows(sheet: Any, percents: Set[Place], typed: set[Place]) -> Iterator[list[str]]:
    """Yield the rows as text, each text of them kept once however many cells have it.

    The places of texts that read like numbers with a point go into `typed`.
    """
    before = [""] * sheet.start[1]
    kept: dict[str, str] = {}
    for row, values in enumerate(sheet.iter_rows()):
        texts = [_text(value) for value in values]
        if percents:
            for at, value in enumerate(values):
                if (row, at + len(before)) in percents:
                    texts[at] = _percent(value)
        typed |= {
            (row, at + len(before))
            for at, value in enumerate(values)
            if isinstance(value, str) and POINTED.fullmatch(value.strip())
        }
        yield [*before, *(kept.setdefault(text, text) for text in texts)]


def _reach(rows: list[list[str]], place: Place) -> None:
    """Make the rows long and many enough to hold a cell."""
    row, column = place
    while len(rows) <= row:
        rows.append([])
    rows[row] += [""] * (column + 1 - len(rows[row]))


def _percent(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return _text(value)
    return f"{_plain(Decimal(format(value, '.15g')) * 100)}%"


def _trimmed(rows: list[list[str]]) -> list[list[str]]:
    """Return the rows without blank ones and blank columns at the end, all of one width."""
    width = max((_width(row) for row in rows), default=0)
    while rows and not _width(rows[-1]):
        rows.pop()
    for row in rows:
        row[width:] = [""] * max(0, width - len(row))
    return rows


def _width(row: list[str]) -> int:
    return max((place for place, cell in enumerate(row, start=1) if cell.strip()), default=0)


def _text(value: Any) -> str:
    """Return a cell's value as the text that a CSV file would hold."""
    if isinstance(value, str):
        return _iso_duration(value.replace("\r\n", "\n").replace("\r", "\n"))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, datetime):
        return _instant(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        seconds = value.hour * 3600 + value.minute * 60 + value.second
        return _clock(timedelta(seconds=seconds, microseconds=value.microsecond))
    if isinstance(value, timedelta):
        return _clock(value)
    return str(value)


def _number(value: Any) -> str:
    decimal = Decimal(format(value, ".15g"))
    return _plain(decimal) if decimal.is_finite() else str(value)


def _plain(decimal: Decimal) -> str:
    text = f"{decimal:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"-0", ""} else text


def _instant(value: datetime) -> str:
    nearest = (value + timedelta(microseconds=500_000)).replace(microsecond=0)
    if nearest.time() == time(0):
        return nearest.date().isoformat()
    text = nearest.isoformat(sep=" ")
    return text.removesuffix(":00")


def _clock(value: timedelta) -> str:
    """Return a duration or time of day as hh:mm, with seconds where there are any."""
    sign = "-" if value < timedelta(0) else ""
    seconds = (abs(value) + timedelta(microseconds=500_000)) // timedelta(seconds=1)
    hours, rest = divmod(seconds, 3600)
    minutes, rest = divmod(rest, 60)
    return f"{sign}{hours:02}:{minutes:02}" + (f":{rest:02}" if rest else "")


def _iso_duration(text: str) -> str:
    match = _ISO_DURATION.fullmatch(text)
    if not match:
        return text
    sign, hours, minutes, seconds, part = match.groups()
    micro = int((part or "").ljust(6, "0")[:6])
    span = timedelta(0, int(hours) * 3600 + int(minutes) * 60 + int(seconds), micro)
    return _clock(-span if sign else span)
