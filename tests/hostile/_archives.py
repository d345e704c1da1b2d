"""Workbooks written part by part, sound ones and ones that no spreadsheet would save."""

import struct
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path

from tests.tables._workbooks import MANIFEST, MIMETYPE

TYPES = (
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" '
    'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/></Types>'
)
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
RELATIONS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">{}'
    "</Relationships>"
)
RELATION = '<Relationship Id="{0}" Type="' + OFFICE + '/{1}" Target="{2}"/>'
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
BOOK = (
    f'<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}">'
    '<sheets><sheet name="Week" sheetId="1" r:id="a"/></sheets></workbook>'
)
HEAD = ("worker_id", "date", "hours", "booking_code")
LINE = ("A1", "2026-03-02", "8", "DECK")
OASIS = "urn:oasis:names:tc:opendocument:xmlns"
ODS = (
    f'<office:document-content xmlns:office="{OASIS}:office:1.0" xmlns:table="{OASIS}:table:1.0"'
    f' xmlns:text="{OASIS}:text:1.0"><office:body><office:spreadsheet><table:table'
    ' table:name="Week">{}</table:table></office:spreadsheet></office:body>'
    "</office:document-content>"
)


def archive(path: Path, parts: Mapping[str, str | bytes]) -> Path:
    """Write an archive of parts."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        for name, part in parts.items():
            made.writestr(name, part)
    return path


def rows_of(*rows: tuple[str, ...]) -> str:
    """Return rows of a sheet, their cells without a place, as a bare writer leaves them."""
    return "".join(
        "<row>" + "".join(f'<c t="inlineStr"><is><t>{c}</t></is></c>' for c in row) + "</row>"
        for row in rows
    )


def xlsx_parts(
    rows: str, *, before: str = "", shared: str = "", sheet: str = "worksheets/sheet1.xml"
) -> dict[str, str | bytes]:
    """Return the parts of a workbook of one sheet with these rows."""
    related = RELATION.format("a", "worksheet", sheet)
    related += RELATION.format("b", "sharedStrings", "sharedStrings.xml") if shared else ""
    parts: dict[str, str | bytes] = {
        "[Content_Types].xml": TYPES,
        "_rels/.rels": RELATIONS.format(RELATION.format("m", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": BOOK,
        "xl/_rels/workbook.xml.rels": RELATIONS.format(related),
        f"xl/{sheet}": (
            f'{before}<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>'
        ),
    }
    if shared:
        parts["xl/sharedStrings.xml"] = f'<sst xmlns="{MAIN}">{shared}</sst>'
    return parts


def ods_cell(text: str, more: str = "") -> str:
    kind = 'office:value-type="string"'
    return f"<table:table-cell {kind}{more}><text:p>{text}</text:p></table:table-cell>"


def ods_parts(rows: str) -> dict[str, str | bytes]:
    """Return the parts of an ODS workbook of one sheet: the sound line, and these rows below it."""
    sound = "".join(
        f"<table:table-row>{''.join(map(ods_cell, row))}</table:table-row>" for row in (HEAD, LINE)
    )
    return {
        "mimetype": MIMETYPE,
        "META-INF/manifest.xml": MANIFEST,
        "content.xml": ODS.format(sound + rows),
    }


def understated(path: Path, parts: Mapping[str, str | bytes], name: str, length: int) -> Path:
    """Write an archive that says a part is only `length` bytes long, with the checksum of those."""
    archive(path, parts)
    with zipfile.ZipFile(path) as made:
        part = made.getinfo(name)
        begun = made.read(name)[:length]
    data = bytearray(path.read_bytes())
    for mark, at in ((b"PK\x03\x04", 14), (b"PK\x01\x02", 16)):
        place = data.index(name.encode(), data.index(mark)) - (30 if at == 14 else 46)
        while data[place : place + 4] != mark:
            place = data.index(name.encode(), place + 47) - (30 if at == 14 else 46)
        struct.pack_into("<3L", data, place + at, zlib.crc32(begun), part.compress_size, length)
    path.write_bytes(data)
    return path


def blanks(path: Path, millions: int) -> Path:
    """Write a small archive with a part that unpacks to so many million blanks."""
    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    # Flushed in full, a block of the packed stream depends on none before it.
    block = packer.compress(b" " * 1_000_000) + packer.flush(zlib.Z_FULL_FLUSH)
    packed = block * millions + packer.flush()
    name, length = "xl/worksheets/sheet2.xml", millions * 1_000_000
    archive(path, xlsx_parts(rows_of(HEAD, LINE)) | {name: b""})
    data = path.read_bytes()
    at, listed = data.rindex(b"PK\x03\x04"), data.index(b"PK\x01\x02")
    local = bytearray(data[at : at + 30 + len(name)])
    central = bytearray(data[listed : data.rindex(b"PK\x05\x06")])
    entry = central.rindex(b"PK\x01\x02")
    for head, place in ((local, 14), (central, entry + 16)):
        struct.pack_into("<H", head, place - 6, zipfile.ZIP_DEFLATED)
        struct.pack_into("<3L", head, place, 0, len(packed), length)
    made = data[:at] + local + packed
    end = bytearray(data[data.rindex(b"PK\x05\x06") :])
    struct.pack_into("<L", end, 16, len(made))
    path.write_bytes(made + central + end)
    return path
