"""Where a layout finds its tables in a file: their heads, and what stands above these."""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.domain.parsing import each_line
from ledger.errors import Refused
from ledger.tables.heads import (
    TITLE_ROWS,
    Missing,
    check_width,
    head_of,
    head_of_rows,
    head_row,
    only_tab,
    visible_tabs,
)
from ledger.tables.layouts import PLAIN, Layout
from ledger.tables.tabs import Tab
from ledger.tables.whole_files import TextFile

_ISO_WEEK = re.compile(r"([0-9]{4})-?[Ww]([0-9]{1,2})")


@dataclass(frozen=True)
class FileTable:
    """A table: its head, the rows above it, and where it stands.

    Of a tab `at` is the head's last row from 0; of a text the line from 1 on which that row stands,
    and `text` begins with it; `lower` is that row. `name` is the tab's, or the file's without its
    ending.
    """

    where: str
    name: str
    head: list[str]
    lower: list[str]
    above: Sequence[Sequence[str]]
    at: int
    tab: Tab | None = None
    text: str = ""


def tables_in_file(file: TextFile, layout: Layout, missing: Missing) -> list[FileTable]:
    """Return the tables of a file: of a workbook every tab that has the needed heads.

    Raises: Refused when there is none.
    """
    if not file.is_workbook:
        return [_table_of_text(file, layout, missing)]
    rows = layout.head_rows
    visible = visible_tabs(file)
    headed = [(tab, at) for tab in visible if (at := head_row(tab, missing, rows)) is not None]
    headed = headed or [only_tab(file, missing, rows)]
    return [_table_of_tab(file, tab, at, rows) for tab, at in headed]


def _table_of_tab(file: TextFile, tab: Tab, at: int, rows: int) -> FileTable:
    first = max(0, at - rows + 1)
    head = head_of_rows(tab.rows[first : at + 1])
    where = f"{file.name}, {tab.name}"
    return FileTable(where, tab.name, head, head_of(tab.rows[at]), tab.rows[:first], at, tab)


def _table_of_text(file: TextFile, layout: Layout, missing: Missing) -> FileTable:
    rows: list[list[str]] = []
    for line, cells in records_of(file, layout.delimiter):
        check_width(f"{file.name}:{line}", cells)
        rows.append(cells)
        head = head_of_rows(rows[-layout.head_rows :])
        if (layout is PLAIN and any(head)) or not missing(head):
            name = file.name.rpartition("/")[2].rpartition(".")[0]
            above = rows[: -layout.head_rows]
            text = _from_line(file.text, line)
            return FileTable(file.name, name, head, head_of(cells), above, line, text=text)
        if len(rows) >= TITLE_ROWS:
            break
    raise _no_head(file, layout, rows, missing)


def _no_head(
    file: TextFile, layout: Layout, rows: Sequence[Sequence[str]], missing: Missing
) -> Refused:
    filled = [head_of(row) for row in rows if any(map(str.strip, row))]
    if not filled:
        return Refused("head_blank", file=file.name)
    head = min(filled, key=lambda each: len(missing(each)))
    return Refused(
        "heads_missing",
        file=file.name,
        layout=layout.name,
        missing=tuple(missing(head)),
        head=tuple(filter(None, head)),
    )


def records_of(file: TextFile, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the records of a text with the line each begins on.

    Raises: Refused when its quotes do not fit.
    """
    reader = csv.reader(each_line(file.text), strict=True, delimiter=delimiter)
    first = 1
    try:
        for cells in reader:
            yield first, cells
            first = reader.line_num + 1
    except csv.Error as error:
        message, line = str(error), reader.line_num
        raise Refused("quotes_astray", file=file.name, line=line, said=message) from None


def _from_line(text: str, line: int) -> str:
    place = 0
    for _ in range(line - 1):
        place = text.index("\n", place) + 1
    return text[place:]


def constants_of(table: FileTable, layout: Layout) -> dict[str, str]:
    """Return what holds for all rows: constants, the block above the head, the tab's name."""
    constants = dict(layout.constants)
    for name, label in layout.block.items():
        value = beside(label, table.above, tuple(layout.block.values()))
        if value is None:
            raise Refused("label_missing", where=table.where, label=label, field=name)
        if value:
            constants[name] = value
    constants |= dict.fromkeys(layout.tab, table.name)
    return {
        name: _monday(value) if name == "week_starting" else value
        for name, value in constants.items()
    }


def beside(label: str, rows: Sequence[Sequence[str]], labels: Sequence[str] = ()) -> str | None:
    """Return what stands right of a label, or after it in its cell; None without the label.

    Right of a label that is left blank the next label may stand: that is no value.
    """
    for row in rows:
        for place, cell in enumerate(row):
            text = " ".join(cell.split())
            if text.lower().rstrip(" :") == label:
                value = next((each.strip() for each in row[place + 1 :] if each.strip()), "")
                is_label = value.endswith(":") or value.lower().partition(":")[0] in labels
                return "" if is_label else value
            if text.lower().startswith(f"{label}:"):
                return text[len(label) + 1 :].strip()
    return None


def _monday(text: str) -> str:
    """Return the Monday of an ISO week (2026-W10) as a date; any other text as it is."""
    match = _ISO_WEEK.fullmatch(text.strip())
    if not match:
        return text
    try:
        return date.fromisocalendar(int(match[1]), int(match[2]), 1).isoformat()
    except ValueError:
        return text
