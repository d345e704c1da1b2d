"""The tables of a file of sheets: where each begins, its columns, and what holds for all rows."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.domain.calendar import WEEKDAYS
from ledger.store.book import Book
from ledger.tables.file_tables import FileTable, constants_of, tables_in_file
from ledger.tables.heads import CORRECT_LAYOUT, GUESS_LAYOUT, check_head
from ledger.tables.layouts import FIELDS, MAPPED, OWN_NAMES, PLAIN, Layout
from ledger.tables.readings import DayColumn, Reading, dates_of
from ledger.tables.tabs import Tab
from ledger.tables.whole_files import TextFile

NEEDED = ("worker_id", "date", "booking_code")
OF_A_DAY = ("date", "hours", "start", "finish", "break_minutes", "weekday")
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

    def missing(head: Sequence[str]) -> list[str]:
        return missing_heads(book, fitting(book, layout, head), head)

    return [_sheet_table(book, layout, each) for each in tables_in_file(file, layout, missing)]


def _sheet_table(book: Book, layout: Layout, table: FileTable) -> SheetTable:
    named, layout = layout, fitting(book, layout, table.head)
    where = f"{table.where} row {table.at + 1}" if table.tab else f"{table.where}:1"
    helps = GUESS_LAYOUT if named is PLAIN else CORRECT_LAYOUT
    check_head(where, table.head, lambda each: missing_heads(book, layout, each), helps)
    constants = constants_of(table, layout)
    reading = _reading(book, layout, table.head, constants, is_tab=table.tab is not None)
    above = len(table.above)
    return SheetTable(layout, table.head, reading, above, table.at, table.tab, table.text)


def fitting(book: Book, layout: Layout, head: Sequence[str]) -> Layout:
    """Return the layout; where none is named, the one of our own names that a head has."""
    if layout is not PLAIN:
        return layout
    return next((each for each in OWN_NAMES if not missing_heads(book, each, head)), layout)


def missing_heads(book: Book, layout: Layout, head: Sequence[str]) -> list[str]:
    """Return what a head lacks: heads that the layout names, then fields without a source."""
    named = [*layout.columns.values(), *layout.evidence, *layout.left_out]
    named += [layout.total[0]] if layout.total else []
    missing = [each for each in dict.fromkeys(named) if each not in head]
    sources = {*columns_of(layout, head), *layout.columns, *layout.constants, *layout.block}
    sources |= {*layout.tab}
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


def unknown_columns(table: SheetTable) -> list[str]:
    """Return the heads that are neither fields, days nor evidence."""
    layout = table.layout
    used = {*table.reading.columns.values(), *layout.evidence, *layout.left_out}
    used |= {day.head for day in table.reading.days}
    if layout is PLAIN:
        used = set(FIELDS)
    return [name for name in table.head if name and name not in used]
