"""A table as a workbook, made of text that the database puts together: no number becomes binary.

Source: ECMA-376, part 1, 18.3.1 (cells), 22.9.2.19 (escaped characters of texts).
"""

import zipfile
from collections.abc import Mapping
from pathlib import Path

from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.queries import quoted
from ledger.store.table import BIGINT, BOOLEAN, DATE, VARCHAR

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OF_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
HEADER = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
# What a sheet takes at most, its head included, and a cell; rows fetched together.
ROWS, CELL, TOGETHER = 1_048_576, 32_767, 5_000
# A spreadsheet keeps this many digits of a number.
DIGITS = 15
# What XML cannot hold, and a carriage return, which it would make a line feed.
_CONTROL = [*range(1, 9), 11, 12, 13, *range(14, 32), 0xFFFE, 0xFFFF]
STYLES = (
    f'{HEADER}<styleSheet xmlns="{MAIN}"><numFmts count="1"><numFmt numFmtId="164"'
    ' formatCode="yyyy\\-mm\\-dd"/></numFmts><fonts count="1"><font/></fonts><fills count="2">'
    '<fill><patternFill patternType="none"/></fill>'
    '<fill><patternFill patternType="gray125"/></fill></fills>'
    '<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/>'
    '</cellStyleXfs><cellXfs count="2"><xf xfId="0"/><xf numFmtId="164" xfId="0"'
    ' applyNumberFormat="1"/></cellXfs><cellStyles count="1"><cellStyle name="Normal" xfId="0"'
    ' builtinId="0"/></cellStyles></styleSheet>'
)
BEGIN = (
    f'{HEADER}<worksheet xmlns="{MAIN}"><sheetViews><sheetView workbookViewId="0">'
    '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/></sheetView>'
    "</sheetViews><sheetData>"
)
END = "</sheetData></worksheet>"


def write_workbook(
    book: Book, path: Path, name: str, types: Mapping[str, str], select: str
) -> None:
    """Write the rows of a SELECT as a workbook, with a head of the columns' names.

    `types` are those of the columns. Raises: Refused for a text too long for a cell.
    """
    _refuse_long(book, types, select)
    cells = " || ".join(_cell(column, kind) for column, kind in types.items())
    cursor = book.execute(f"SELECT '<row>' || {cells} || '</row>' FROM ({select})")
    head = "".join(f'<c t="inlineStr"><is><t>{column}</t></is></c>' for column in types)
    sheets = 0
    with zipfile.ZipFile(path, "x", zipfile.ZIP_DEFLATED) as archive:
        rows = cursor.fetchmany(TOGETHER)
        while rows or not sheets:
            sheets += 1
            left = ROWS - 1
            with archive.open(f"xl/worksheets/sheet{sheets}.xml", "w", force_zip64=True) as sheet:
                sheet.write(f"{BEGIN}<row>{head}</row>".encode())
                while rows and left:
                    now, rows = rows[:left], rows[left:]
                    sheet.write("".join(row for (row,) in now).encode())
                    left -= len(now)
                    rows = rows or cursor.fetchmany(TOGETHER)
                sheet.write(END.encode())
        for part, text in _parts(name, sheets).items():
            archive.writestr(part, text)


def _refuse_long(book: Book, types: Mapping[str, str], select: str) -> None:
    texts = [column for column, kind in types.items() if kind == VARCHAR]
    longest = f"greatest({', '.join(f'coalesce(length({each}), 0)' for each in texts)})"
    sql = f"SELECT {texts[0]} FROM ({select}) WHERE {longest} > {CELL} ORDER BY ALL LIMIT 1"
    if row := book.execute(sql).fetchone():
        raise Refused("cell_too_long", row=str(row[0]), most=CELL)


def _cell(column: str, kind: str) -> str:
    """Return SQL of a cell; it stands there empty where there is no value."""
    return f"CASE WHEN {column} IS NULL THEN '<c/>' ELSE {_filled(column, kind)} END"


def _filled(column: str, kind: str) -> str:
    if kind == VARCHAR:
        return _text(_escaped(column))
    if kind == BOOLEAN:
        return f"'<c t=\"b\"><v>' || {column}::INTEGER || '</v></c>'"
    if kind == DATE:
        number = f"'<c s=\"1\"><v>' || ({column} - DATE '1899-12-30') || '</v></c>'"
        is_day = f"{column} BETWEEN DATE '1900-03-01' AND DATE '9999-12-31'"
        return f"CASE WHEN {is_day} THEN {number} ELSE {_text(f'{column}::VARCHAR')} END"
    if kind == BIGINT or kind.startswith("DECIMAL"):
        scale = 0 if kind == BIGINT else int(kind.rstrip(")").partition(",")[2])
        most = "1" + "0" * (DIGITS - scale)
        number = f"'<c><v>' || {column} || '</v></c>'"
        is_kept = f"{column} > -{most} AND {column} < {most}"
        return f"CASE WHEN {is_kept} THEN {number} ELSE {_text(f'{column}::VARCHAR')} END"
    return _text(f"strftime({column}, '%Y-%m-%dT%H:%M:%S.%f')")


def _text(sql: str) -> str:
    begin = '<c t="inlineStr"><is><t xml:space="preserve">'
    return f"'{begin}' || {sql} || '</t></is></c>'"


def _escaped(column: str) -> str:
    """Return SQL of a text as XML; what XML cannot hold is escaped by its number."""
    odd = "".join(map(chr, _CONTROL))
    coded = column
    for each in _CONTROL:
        coded = f"replace({coded}, chr({each}), '_x{each:04X}_')"
    kept = f"regexp_replace({column}, '_(x[0-9A-Fa-f]{{4}}_)', '_x005F_\\1', 'g')"
    coded = coded.replace(f"({column},", f"({kept},", 1)
    sql = (
        f"CASE WHEN translate({column}, {quoted(odd)}, '') <> {column} THEN {coded} ELSE {kept} END"
    )
    for char, entity in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;")):
        sql = f"replace({sql}, '{char}', '{entity}')"
    return sql


def _parts(name: str, sheets: int) -> dict[str, str]:
    """Return the parts of the package but its sheets, by their names."""
    numbers = range(1, sheets + 1)
    types = "".join(
        f'<Override PartName="/xl/{part}.xml" ContentType="application/'
        f'vnd.openxmlformats-officedocument.spreadsheetml.{kind}+xml"/>'
        for part, kind in (
            ("workbook", "sheet.main"),
            ("styles", "styles"),
            *((f"worksheets/sheet{number}", "worksheet") for number in numbers),
        )
    )
    listed = "".join(
        f'<sheet name="{_title(name, number)}" sheetId="{number}" r:id="rId{number}"/>'
        for number in numbers
    )
    sheet_relations = "".join(
        _relation(number, "worksheet", f"worksheets/sheet{number}.xml") for number in numbers
    )
    relations = f'{HEADER}<Relationships xmlns="{PACKAGE}/relationships">'
    return {
        "[Content_Types].xml": (
            f'{HEADER}<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels"'
            f' ContentType="application/vnd.openxmlformats-package.relationships+xml"/>{types}'
            "</Types>"
        ),
        "_rels/.rels": (
            f"{relations}{_relation(1, 'officeDocument', 'xl/workbook.xml')}</Relationships>"
        ),
        "xl/workbook.xml": (
            f'{HEADER}<workbook xmlns="{MAIN}" xmlns:r="{OF_OFFICE}"><sheets>{listed}</sheets>'
            "</workbook>"
        ),
        "xl/_rels/workbook.xml.rels": (
            f"{relations}{sheet_relations}{_relation(sheets + 1, 'styles', 'styles.xml')}"
            "</Relationships>"
        ),
        "xl/styles.xml": STYLES,
    }


def _title(name: str, number: int) -> str:
    return name if number == 1 else f"{name} {number}"


def _relation(number: int, kind: str, target: str) -> str:
    return f'<Relationship Id="rId{number}" Type="{OF_OFFICE}/{kind}" Target="{target}"/>'
