"""The tables of a file of sheets: where each begins, its columns, and what holds for all rows."""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from ledger.domain.parsing import each_line
from ledger.errors import Refused
from ledger.sheets.readings import WEEKDAYS, DayColumn, Reading
from ledger.sheets.staging import dates_of
from ledger.store.book import Book
from ledger.tables.heads import (
    TITLE_ROWS,
    check_head,
    check_width,
    head_of,
    head_row,
    only_tab,
    shown_tabs,
)
from ledger.tables.layouts import FIELDS, MAPPED, OWN_NAMES, PLAIN, Layout
from ledger.tables.preflight import TextFile
from ledger.tables.workbooks import Tab

NEEDED = ("worker_id", "date", "booking_code")
OF_A_DAY = ("date", "hours", "start", "finish", "break_minutes", "weekday")
_ISO_WEEK = re.compile(r"([0-9]{4})-?[Ww]([0-9]{1,2})")
_FULL = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


@dataclass(frozen=True)
class SheetTable:
    """A table: its head, how it is read, and where it stands.

    Of a tab `at` is the head's row from 0; of a text the head's line from 1, and `text` begins with
    it. `above` counts the rows over the head.
    """

    layout: Layout
    head: list[str]
    reading: Reading
    above: int
    at: int
    tab: Tab | None = None
    text: str = ""


def sheet_tables(book: Book, file: TextFile, layout: Layout) -> list[SheetTable]:
    """Return the tables of a file: of a workbook every tab that has the heads of the layout.

    Raises: Refused when there is none.
    """
    if not file.is_workbook:
        return [_text_table(book, file, layout)]

    def missing(head: Sequence[str]) -> list[str]:
        return missing_heads(book, fitting(book, layout, head), head)

    found = [(tab, at) for tab in shown_tabs(file) if (at := head_row(tab, missing)) is not None]
    found = found or [only_tab(file, missing)]
    return [_tab_table(book, file, layout, tab, at) for tab, at in found]


def _tab_table(book: Book, file: TextFile, layout: Layout, tab: Tab, at: int) -> SheetTable:
    where = f"{file.name}, {tab.name}"
    head = head_of(tab.rows[at])
    layout = fitting(book, layout, head)
    check_head(f"{where} row {at + 1}", head, lambda each: missing_heads(book, layout, each))
    constants = _constants((where, tab.name), layout, tab.rows[:at])
    return SheetTable(
        layout, head, _reading(book, layout, head, constants, is_tab=True), at, at, tab
    )


def fitting(book: Book, layout: Layout, head: Sequence[str]) -> Layout:
    """Return the layout; where none is named, the one of our own names that a head has."""
    if layout is not PLAIN:
        return layout
    return next((each for each in OWN_NAMES if not missing_heads(book, each, head)), layout)


def _text_table(book: Book, file: TextFile, layout: Layout) -> SheetTable:
    rows: list[list[str]] = []
    for line, cells in _records(file, layout):
        check_width(f"{file.name}:{line}", cells)
        head = head_of(cells)
        fit = fitting(book, layout, head)
        if (layout is PLAIN and any(head)) or not missing_heads(book, fit, head):
            return _table_under(book, file, fit, rows, _Head(line, head))
        rows.append(cells)
        if len(rows) >= TITLE_ROWS:
            break
    filled = [head_of(row) for row in rows if any(map(str.strip, row))]
    if not filled:
        raise Refused("head_blank", file=file.name)
    head = min(filled, key=lambda each: len(missing_heads(book, layout, each)))
    raise Refused(
        "heads_missing",
        file=file.name,
        layout=layout.name,
        missing=tuple(missing_heads(book, layout, head)),
        head=tuple(filter(None, head)),
    )


@dataclass(frozen=True)
class _Head:
    """The head of a table in a text, and the line that it stands on."""

    line: int
    cells: list[str]


def _table_under(
    book: Book, file: TextFile, layout: Layout, above: Sequence[Sequence[str]], head: _Head
) -> SheetTable:
    """Return the table under a head, which stands below the rows above it."""
    check_head(f"{file.name}:1", head.cells, lambda each: missing_heads(book, layout, each))
    name = file.name.rpartition("/")[2].rpartition(".")[0]
    constants = _constants((file.name, name), layout, above)
    reading = _reading(book, layout, head.cells, constants, is_tab=False)
    text = _from_line(file.text, head.line)
    return SheetTable(layout, head.cells, reading, len(above), head.line, text=text)


def _records(file: TextFile, layout: Layout) -> Iterator[tuple[int, list[str]]]:
    """Yield the records of a text with the line each begins on."""
    reader = csv.reader(each_line(file.text), strict=True, delimiter=layout.delimiter)
    first = 1
    try:
        for cells in reader:
            yield first, cells
            first = reader.line_num + 1
    except csv.Error as error:
        said, line = str(error), reader.line_num
        raise Refused("quotes_astray", file=file.name, line=line, said=said) from None


def _from_line(text: str, line: int) -> str:
    place = 0
    for _ in range(line - 1):
        place = text.index("\n", place) + 1
    return text[place:]


def missing_heads(book: Book, layout: Layout, head: Sequence[str]) -> list[str]:
    """Return what a head lacks: heads that the layout names, then fields without a source."""
    named = [*layout.columns.values(), *layout.evidence, *layout.left_out]
    named += [layout.total[0]] if layout.total else []
    missing = [each for each in dict.fromkeys(named) if each not in head]
    sources = {*columns_of(layout, head), *layout.columns, *layout.constants, *layout.block}
    sources |= {layout.tab} if layout.tab else set()
    week = {"week_starting", "week_ending"} & sources
    if layout.shape == "grid":
        days = days_of(book, layout, head)
        missing += [] if days else ["days (mon to sun, or dates)"]
        dated = bool(week) or layout.date_heads
        needed = ["worker_id", "booking_code"] + ([] if dated else ["week_starting"])
    else:
        dated = bool(week) and "weekday" in sources
        needed = [name for name in NEEDED if name != "date" or not dated]
    if "worker_name" in sources:
        needed.remove("worker_id")
    missing += [name for name in needed if name not in sources]
    if layout.shape == "long" and "hours" not in sources and not {"start", "finish"} <= sources:
        missing.append("hours (or start and finish)")
    return missing


def columns_of(layout: Layout, head: Sequence[str]) -> dict[str, str]:
    """Return the head of each field: the layout's, else the field's own name if it is a head."""
    own = [name for name in MAPPED if layout.shape == "long" or name not in OF_A_DAY]
    taken = set(layout.columns.values())
    columns = {name: name for name in own if name in head and name not in taken}
    return {**columns, **layout.columns}


def days_of(book: Book, layout: Layout, head: Sequence[str]) -> tuple[DayColumn, ...]:
    """Return the columns of a grid that are days: by weekday, or by the dates that are heads."""
    if layout.shape != "grid":
        return ()
    if layout.date_heads:
        others = {*layout.columns.values(), *layout.evidence}
        heads = [each for each in head if each and each not in others]
        days = dates_of(book, heads, layout.date_order)
        return tuple(
            DayColumn(each, date=day) for each, day in zip(heads, days, strict=True) if day
        )
    names = layout.weekdays or {
        name: at for at, names in enumerate(zip(WEEKDAYS, _FULL, strict=True)) for name in names
    }
    return tuple(DayColumn(each, names[each]) for each in head if each in names)


def _reading(
    book: Book, layout: Layout, head: list[str], constants: dict[str, str], *, is_tab: bool
) -> Reading:
    return Reading(
        columns=columns_of(layout, head),
        constants=constants,
        days=days_of(book, layout, head),
        decimal_mark=layout.decimal_mark,
        date_order=layout.date_order,
        duration=layout.duration,
        left_out=layout.left_out,
        blanks=layout.blanks,
        total=layout.total,
        weekdays=layout.weekdays,
        numbers=is_tab,
        as_written=layout is PLAIN,
    )


def _constants(
    names: tuple[str, str], layout: Layout, above: Sequence[Sequence[str]]
) -> dict[str, str]:
    """Return what holds for all rows: constants, the block above the head, the tab's name."""
    where, tab = names
    constants = dict(layout.constants)
    for name, label in layout.block.items():
        value = beside(label, above, tuple(layout.block.values()))
        if value is None:
            raise Refused("label_missing", where=where, label=label, field=name)
        if value:
            constants[name] = value
    if layout.tab:
        constants[layout.tab] = tab
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


def unknown_columns(table: SheetTable) -> list[str]:
    """Return the heads that are neither fields, days nor evidence."""
    layout = table.layout
    used = {*table.reading.columns.values(), *layout.evidence, *layout.left_out}
    used |= {day.head for day in table.reading.days}
    if layout is PLAIN:
        used = set(FIELDS)
    return [name for name in table.head if name and name not in used]
