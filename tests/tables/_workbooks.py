"""Workbooks made for a test: XLSX by a library, ODS by hand."""

import io
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape, quoteattr

import openpyxl

NAMESPACES = " ".join(
    f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{full}:1.0"'
    for short, full in {
        "office": "office",
        "table": "table",
        "text": "text",
        "style": "style",
    }.items()
)
MIMETYPE = "application/vnd.oasis.opendocument.spreadsheet"
HIDDEN = (
    '<style:style style:name="gone" style:family="table">'
    '<style:table-properties table:display="false"/></style:style>'
)
MANIFEST = (
    '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
    f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{MIMETYPE}"/>'
    "</manifest:manifest>"
)


@dataclass(frozen=True)
class Percent:
    """A cell that shows a share as a percent: Percent("0.25") shows 25 %."""

    share: str


@dataclass(frozen=True)
class Broken:
    """A cell whose formula came to an error."""

    error: str


@dataclass(frozen=True)
class Formula:
    """A cell with a formula, its result stored beside it or missing."""

    text: str
    result: int | None = None


Rows = Sequence[Sequence[Any]]


def xlsx(path: Path, tabs: Mapping[str, Rows], hidden: Sequence[str] = ()) -> Path:
    """Write a workbook with the tabs in this order."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in tabs.items():
        sheet = book.create_sheet(name)
        sheet.sheet_state = "hidden" if name in hidden else "visible"
        for row, values in enumerate(rows, start=1):
            for column, value in enumerate(values, start=1):
                _put(sheet.cell(row, column), value)
    book.save(path)
    results = {
        value: value.result
        for rows in tabs.values()
        for row in rows
        for value in row
        if isinstance(value, Formula) and value.result is not None
    }
    if results:
        _store_results(path, results)
    return path


def _put(cell: Any, value: Any) -> None:
    if isinstance(value, Percent):
        cell.value, cell.number_format = Decimal(value.share), "0.0%"
    elif isinstance(value, Broken):
        cell.value, cell.data_type = value.error, "e"
    elif isinstance(value, Formula):
        cell.value = f"={value.text}"
    elif isinstance(value, timedelta):
        cell.value, cell.number_format = value, "[h]:mm:ss"
    elif isinstance(value, str):
        cell.value, cell.data_type = value, "s"
    else:
        cell.value = value


def _store_results(path: Path, results: Mapping[Formula, int | None]) -> None:
    """Put the results of formulas beside them, as a spreadsheet does on saving."""
    with zipfile.ZipFile(path) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    for formula, result in results.items():
        bare = f"<f>{escape(formula.text)}</f><v></v>".encode()
        short = f"<f>{escape(formula.text)}</f><v />".encode()
        full = f"<f>{escape(formula.text)}</f><v>{result}</v>".encode()
        parts = {
            name: each.replace(bare, full).replace(short, full) for name, each in parts.items()
        }
    with zipfile.ZipFile(path, "w") as archive:
        for name, each in parts.items():
            archive.writestr(name, each)


def ods(path: Path, tabs: Mapping[str, Rows], hidden: Sequence[str] = ()) -> Path:
    """Write an ODS file with the tabs in this order."""
    tables = "".join(
        f"<table:table table:name={quoteattr(name)}"
        + (' table:style-name="gone">' if name in hidden else ">")
        + "".join(
            f"<table:table-row>{''.join(map(_ods_cell, row))}</table:table-row>" for row in rows
        )
        + "</table:table>"
        for name, rows in tabs.items()
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {NAMESPACES}'
        f' office:version="1.3"><office:automatic-styles>{HIDDEN}</office:automatic-styles>'
        f"<office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("mimetype", MIMETYPE)
        archive.writestr("META-INF/manifest.xml", MANIFEST)
        archive.writestr("content.xml", content)
    return path


def _ods_cell(value: Any) -> str:
    if value is None:
        return "<table:table-cell/>"
    attributes, shown = _ods_value(value)
    return f"<table:table-cell {attributes}>{shown}</table:table-cell>"


def _ods_value(value: Any) -> tuple[str, str]:
    kind = 'office:value-type="{}" '
    if isinstance(value, Percent):
        return f'{kind.format("percentage")}office:value="{value.share}"', ""
    if isinstance(value, Broken):
        formula = 'table:formula="of:=1/0" '
        shown = f"<text:p>{value.error}</text:p>"
        return f'{formula}{kind.format("string")}office:string-value=""', shown
    if isinstance(value, Formula):
        result = (
            "" if value.result is None else f'{kind.format("float")}office:value="{value.result}"'
        )
        return f'table:formula="of:={escape(value.text)}" {result}', ""
    if isinstance(value, bool):
        return f'{kind.format("boolean")}office:boolean-value="{str(value).lower()}"', ""
    if isinstance(value, int | Decimal):
        return f'{kind.format("float")}office:value="{value}"', ""
    if isinstance(value, datetime | date):
        return f'{kind.format("date")}office:date-value="{value.isoformat()}"', ""
    if isinstance(value, time | timedelta):
        return f'{kind.format("time")}office:time-value="{_iso(value)}"', ""
    return kind.format("string"), "".join(_paragraphs(str(value)))


def _paragraphs(text: str) -> Iterator[str]:
    for line in text.split("\n"):
        yield f"<text:p>{escape(line)}</text:p>"


def _iso(value: time | timedelta) -> str:
    if isinstance(value, time):
        value = timedelta(hours=value.hour, minutes=value.minute, seconds=value.second)
    seconds = value // timedelta(seconds=1)
    return f"PT{seconds // 3600:02}H{seconds // 60 % 60:02}M{seconds % 60:02}S"


def csv_text(rows: Rows) -> str:
    """Return rows of plain texts as CSV."""
    import csv

    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()
