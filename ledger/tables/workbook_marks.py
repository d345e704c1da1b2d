"""What a cell of a workbook says beside its value: percent, an error, a formula without a result.

The library that reads the values gives an error as a blank and a percent as a share.
"""

import io
import re
import zipfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from posixpath import join, normpath
from typing import IO, Any, TypeVar
from xml.etree import ElementTree

from ledger.tables.tabs import Place

_RELATED = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_QUOTED = re.compile(r'"[^"]*"|\\.|\[[^\]]*\]')
_REFERENCE = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_ERROR = re.compile(r"#[A-Z0-9/]+[!?]|#N/A|Err:[0-9]+")
_BUILT_IN_PERCENT = {9, 10}
# No more cells than this are marked: a repeated cell of an ODS file may reach to the last column.
_FURTHEST = 16_384
_LAST_ROW = 1_048_576
MOST_MARKS = 1_000_000
Marked = TypeVar("Marked")


class TooManyMarks(Exception):
    """More cells are percents, errors or formulas without a result than are kept in mind."""


@dataclass(frozen=True)
class CellMark:
    """What is to be known of a cell: its kind, and the text to show where it has no value."""

    kind: str
    text: str = ""

    @property
    def fault(self) -> str:
        if self.kind == "error":
            return f"shows the error {self.text}; correct the formula"
        return f"holds the formula {self.text} without its result; save it from a spreadsheet"


def marks_of(data: bytes, kind: str) -> dict[str, dict[Place, CellMark]]:
    """Return the marks of each tab by its name: row and column, both from 0.

    Raises: ElementTree.ParseError (a SyntaxError) and KeyError when the parts do not fit;
    TooManyMarks.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if kind == "ods":
            with archive.open("content.xml") as part:
                return _marks_of_ods(part)
        return _marks_of_xlsx(archive)


def _local(element: Any) -> str:
    return str(element.tag).rpartition("}")[2]


def _marks_of_xlsx(archive: zipfile.ZipFile) -> dict[str, dict[Place, CellMark]]:
    percents = _percent_styles(archive)
    return {
        name: _marks_of_sheet(archive, part, percents)
        for name, part in _sheet_parts(archive)
        if part in archive.namelist()
    }


def _sheet_parts(archive: zipfile.ZipFile) -> Iterator[tuple[str, str]]:
    main = _main_part(archive)
    folder, _, file = main.rpartition("/")
    relations = ElementTree.fromstring(archive.read(f"{folder}/_rels/{file}.rels"))
    targets = {each.get("Id"): each.get("Target", "") for each in relations}
    for element in ElementTree.fromstring(archive.read(main)).iter():
        if _local(element) == "sheet":
            related = next((v for k, v in element.items() if k.endswith("}id")), None)
            target = targets.get(related, "")
            part = target.lstrip("/") if target.startswith("/") else normpath(join(folder, target))
            yield element.get("name", ""), part


def _main_part(archive: zipfile.ZipFile) -> str:
    for each in ElementTree.fromstring(archive.read("_rels/.rels")):
        if each.get("Type", "").endswith("/officeDocument"):
            return each.get("Target", "").lstrip("/")
    return "xl/workbook.xml"


def _percent_styles(archive: zipfile.ZipFile) -> set[int]:
    """Return the places of the cell formats that show a percent."""
    name = _main_part(archive).rpartition("/")[0] + "/styles.xml"
    if name not in archive.namelist():
        return set()
    root = ElementTree.fromstring(archive.read(name))
    formats = set(_BUILT_IN_PERCENT)
    cells: list[Any] = []
    for element in root.iter():
        if _local(element) == "numFmt":
            number, code = int(element.get("numFmtId", "0")), element.get("formatCode", "")
            (formats.add if "%" in _QUOTED.sub("", code) else formats.discard)(number)
        elif _local(element) == "cellXfs":
            cells = list(element)
    return {at for at, each in enumerate(cells) if int(each.get("numFmtId", "0")) in formats}


def _marks_of_sheet(
    archive: zipfile.ZipFile, part: str, percents: set[int]
) -> dict[Place, CellMark]:
    """Return the marks of a sheet's part; the part is gone through only when it may have some."""
    styles = "|".join(map(str, sorted(percents)))
    may_have = rb"""[\s]t=["']e["']|<(?:\w+:)?f[\s>/]"""
    if percents:
        may_have += rf"""|\ss=["'](?:{styles})["']""".encode()
    with archive.open(part) as opened:
        if not _has(opened, re.compile(may_have)):
            return {}
    with archive.open(part) as opened:
        return dict(_kept(_cell_marks(opened, percents)))


def _has(part: IO[bytes], pattern: re.Pattern[bytes]) -> bool:
    """Return whether a pattern of few bytes stands anywhere in a part."""
    tail = b""
    while piece := part.read(1_000_000):
        if pattern.search(tail + piece):
            return True
        tail = piece[-100:]
    return False


def _kept(marks: Iterable[Marked]) -> Iterator[Marked]:
    """Yield the marks. Raises: TooManyMarks when there are more than any sheet of a yard has."""
    for count, each in enumerate(marks):
        if count >= MOST_MARKS:
            raise TooManyMarks
        yield each


def _cell_marks(part: IO[bytes], percents: set[int]) -> Iterator[tuple[Place, CellMark]]:
    row = column = -1
    sheet = None
    for event, element in ElementTree.iterparse(part, ("start", "end")):
        tag = _local(element)
        if tag == "sheetData" and event == "start":
            sheet = element
        elif tag == "row" and event == "start":
            row = int(element.get("r", row + 2)) - 1
            column = -1
        elif tag == "row":
            (element if sheet is None else sheet).clear()
        elif tag == "c" and event == "end":
            place = _place(element.get("r", ""), (row, column + 1))
            column = place[1]
            if mark := _mark_of_cell(element, percents):
                yield place, mark


def _place(reference: str, otherwise: Place) -> Place:
    match = _REFERENCE.fullmatch(reference)
    if not match:
        return otherwise
    column = 0
    for letter in match[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(match[2]) - 1, column - 1


def _mark_of_cell(cell: Any, percents: set[int]) -> CellMark | None:
    children = {_local(each): each.text or "" for each in cell}
    value = children.get("v", "")
    if cell.get("t") == "e":
        return CellMark("error", value or "#N/A")
    if "f" in children and not value and cell.get("t") not in {"str", "inlineStr"}:
        return CellMark("formula", f"={children['f']}")
    if value and cell.get("t", "n") == "n" and int(cell.get("s", "0")) in percents:
        return CellMark("percent")
    return None


def _marks_of_ods(part: IO[bytes]) -> dict[str, dict[Place, CellMark]]:
    marks: dict[str, dict[Place, CellMark]] = defaultdict(dict)
    for name, (place, mark) in _kept(_ods_marks(part)):
        marks[name][place] = mark
    return dict(marks)


def _ods_marks(part: IO[bytes]) -> Iterator[tuple[str, tuple[Place, CellMark]]]:
    name, row, column = "", 0, 0
    of_row: dict[int, CellMark] = {}
    for event, element in ElementTree.iterparse(part, ("start", "end")):
        tag = _local(element)
        if event == "start" and tag == "table":
            name, row = _attribute(element, "name"), 0
        elif event == "start" and tag == "table-row":
            column, of_row = 0, {}
        elif event == "end" and tag == "table-row":
            after = min(row + _repeated(element, "rows"), _LAST_ROW)
            for each in range(row, after) if of_row else ():
                for at, repeated in of_row.items():
                    yield name, ((each, at), repeated)
            row = after
            element.clear()
        elif event == "end" and tag in {"table-cell", "covered-table-cell"}:
            after = min(column + _repeated(element, "columns"), _FURTHEST)
            if mark := _mark_of_ods_cell(element):
                of_row.update(dict.fromkeys(range(column, after), mark))
            column = after


def _attribute(element: Any, local: str) -> str:
    """Return an attribute by its name without namespace, "" when it has none."""
    return next((value for key, value in element.items() if key.endswith("}" + local)), "")


def _repeated(element: Any, what: str) -> int:
    return int(_attribute(element, f"number-{what}-repeated") or 1)


def _mark_of_ods_cell(cell: Any) -> CellMark | None:
    kinds = {value for key, value in cell.items() if key.endswith("}value-type")}
    text = "".join(cell.itertext()).strip()
    if "error" in kinds or _ERROR.fullmatch(text):
        return CellMark("error", text or "#N/A")
    if _attribute(cell, "formula") and not kinds:
        return CellMark("formula", _attribute(cell, "formula").partition(":")[2])
    return CellMark("percent") if "percentage" in kinds else None
