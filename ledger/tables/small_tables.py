"""Small files, CSV or a tab of a workbook: their columns, read whole, every fault at once."""

import csv
import functools
import inspect
import io
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Self

from ledger.domain import parsing as p
from ledger.domain.spreadsheets import column_letters
from ledger.errors import Fault, Faults, Refused, Remedy
from ledger.tables.heads import CORRECT_HEAD, check_head, check_width, head_of, left_out, only_tab
from ledger.tables.near_miss import with_near_miss
from ledger.tables.tabs import Tab
from ledger.tables.whole_files import TextFile

Parser = Callable[[str], Any]
UNUSED = "is not used by this version yet; leave it blank"
# A plan of a thousand days for 300 packages; sheets, which may have more, are not read here.
MOST_ROWS = 300_000


# What a text is read as before it is parsed, where a layout says how it is written.
KINDS: Mapping[Parser, str] = {
    p.parse_date: "date",
    p.parse_hours: "hours",
    p.parse_time_of_day: "clock",
    **dict.fromkeys(
        (
            p.parse_decimal,
            p.parse_quantity,
            p.parse_money,
            p.parse_sum,
            p.parse_rate,
            p.parse_percent,
            p.parse_share,
            p.parse_whole,
        ),
        "number",
    ),
}
ADDED_UP = (p.parse_hours, p.parse_sum)


@dataclass(frozen=True)
class FileColumn:
    """One column of an input file.

    `kind` is what a layout reads it as where its parser does not tell; `ends` says that a month in
    it is the month's last day, not its first; `adds` that a row of totals has its sum, as of hours;
    `label` is how a message names it.
    """

    name: str
    parse: Parser = str
    needed: bool = False
    stored_as: str = ""
    unused: bool = False
    kind: str = ""
    ends: bool = False
    adds: bool = False
    label: str = ""

    @property
    def target(self) -> str:
        return self.stored_as or self.name

    @property
    def heading(self) -> str:
        return self.label or self.name

    @property
    def read_as(self) -> str:
        """What a layout reads the column as: date, hours, clock, number or text."""
        return self.kind or KINDS.get(inspect.unwrap(self.parse), "text")

    @property
    def adds_up(self) -> bool:
        """Whether a row of totals has the sum of the column."""
        return self.adds or inspect.unwrap(self.parse) in ADDED_UP


class RowNumber(int):
    """The number of a row of a table that a layout found: it knows its tab and its columns."""

    tab: Tab | None
    columns: Mapping[str, int]
    of_many: bool

    @classmethod
    def at(
        cls, number: int, tab: Tab | None, columns: Mapping[str, int], *, of_many: bool = False
    ) -> Self:
        """Return a row's number; `of_many` when rows of several tabs have it."""
        row = cls(number)
        row.tab, row.columns, row.of_many = tab, columns, of_many
        return row

    def __format__(self, form: str) -> str:
        """Return the number as a message names it beside another row."""
        named = format(int(self), form)
        return f"{named} of tab {self.tab.name}" if self.of_many and self.tab else named


def choice(*words: str) -> Parser:
    """Return a parser that takes one of the words."""

    def parse(text: str) -> str:
        if text not in words:
            raise ValueError(f'"{text}" is unknown; use one of {", ".join(words)}')
        return text

    return parse


def unused(*names: str) -> Iterator[FileColumn]:
    """Yield columns that files may have and nothing uses yet: what is filled in is refused."""
    return (FileColumn(name, unused=True) for name in names)


@dataclass(frozen=True)
class FileRow:
    """One row of a file: its line number and parsed values by stored name; blank is None."""

    number: int
    values: dict[str, Any]
    unread: frozenset[str] = frozenset()

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def is_blank(self, name: str) -> bool:
        """Return whether nothing was given; a cell that cannot be read has its fault already."""
        return self.values[name] is None and name not in self.unread


@dataclass(frozen=True)
class RowsLeftOut:
    """Rows of a table that are no line of it: why, and their numbers; of which tab."""

    why: str
    rows: tuple[int, ...]
    tab: str = ""


@dataclass(frozen=True)
class TotalUnchecked:
    """A total that could not be compared with its rows: where it stands, and its text."""

    where: str
    text: str


@dataclass
class ReadTable:
    """A file's rows, and the faults found so far."""

    file: TextFile
    tab: Tab | None = None
    head: list[str] = field(default_factory=list)
    lines: list[FileRow] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    unknown_columns: list[str] = field(default_factory=list)
    tabs_left_out: list[str] = field(default_factory=list)
    rows_left_out: list[RowsLeftOut] = field(default_factory=list)
    totals_unchecked: list[TotalUnchecked] = field(default_factory=list)

    def fault_at(
        self,
        line: int,
        what: str,
        column: str = "",
        text: str = "",
        remedy: Remedy | None = None,
    ) -> Fault:
        """Return a fault of a row, or of its cell under a column, with its text."""
        tab, at, number = self.tab_of(line), self.place_of(line, column), int(line)
        place = ""
        if tab and at is not None:
            place = f", {tab.name}!{column_letters(at)}{number}"
        elif tab:
            place = f", {tab.name} row {number}"
        return Fault(self.file.name, number, what, place, text, remedy)

    def tab_of(self, line: int) -> Tab | None:
        return line.tab if isinstance(line, RowNumber) else self.tab

    def place_of(self, line: int, column: str) -> int | None:
        """Return where a column of a row stands, from 0; None when the file has none of it."""
        if isinstance(line, RowNumber):
            return line.columns.get(column)
        return self.head.index(column) if column in self.head else None

    def fault(
        self,
        line: int,
        what: str,
        column: str = "",
        text: str = "",
        remedy: Remedy | None = None,
    ) -> None:
        self.faults.append(self.fault_at(line, what, column, text, remedy))

    def settle(self) -> None:
        """Raises: Faults when there is any."""
        if self.faults:
            raise Faults(sorted(self.faults, key=lambda fault: fault.line))


def read_table(
    file: TextFile, columns: Sequence[FileColumn], helps: Remedy = CORRECT_HEAD
) -> ReadTable:
    """Return a file's rows parsed; `helps` is said where a column is missing.

    Raises: Refused when the head does not fit. Faults of rows are kept in the table: call `settle`.
    """
    table = ReadTable(file)
    for number, cells in _rows(table, columns):
        if not any(cell.strip() for cell in cells):
            continue
        if not table.head:
            _take_head(table, (number, cells), columns, helps)
        else:
            _read_row(table, columns, (number, cells))
    if not table.lines and not table.faults:
        raise Refused("rows_missing", file=file.name)
    return table


def typed_table(rows: Sequence[Mapping[str, str]], columns: Sequence[FileColumn]) -> ReadTable:
    """Return rows that were typed one by one, parsed as those of a file are; blank is left out.

    Faults of them name no file. Raises: Faults when a value cannot be read.
    """
    table = ReadTable(TextFile("", Path(), "", "", ""))
    table.head = [column.name for column in columns if not column.unused]
    for number, row in enumerate(rows, start=1):
        _read_row(table, columns, (number, [row.get(name) or "" for name in table.head]))
    table.settle()
    return table


def _rows(table: ReadTable, columns: Sequence[FileColumn]) -> Iterator[tuple[int, list[str]]]:
    """Yield each row with its number, from the head on."""
    check_rows(table.file)
    if not table.file.is_workbook:
        yield from _csv_rows(table.file)
        return
    table.tab, at = only_tab(table.file, lambda head: _missing(columns, head))
    table.tabs_left_out = left_out(table.file, [table.tab])
    yield from enumerate(table.tab.rows[at:], start=at + 1)


def check_rows(file: TextFile) -> None:
    """Raises: Refused when a file has more rows than any small table."""
    if max(file.text.count("\n"), *(len(tab.rows) for tab in file.tabs), 0) > MOST_ROWS:
        raise Refused("rows_too_many", file=file.name, most=MOST_ROWS)


def _csv_rows(file: TextFile) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(file.text), strict=True)
    try:
        for cells in reader:
            yield reader.line_num, cells
    except csv.Error as error:
        message, line = str(error), reader.line_num
        raise Refused("quotes_astray", file=file.name, line=line, said=message) from None


def _missing(columns: Sequence[FileColumn], head: Sequence[str]) -> list[str]:
    return [column.name for column in columns if column.needed and column.name not in head]


def _take_head(
    table: ReadTable, row: tuple[int, Sequence[str]], columns: Sequence[FileColumn], helps: Remedy
) -> None:
    number, cells = row
    check_width(table.file.name, cells)
    table.head = head_of(cells)
    where = str(table.fault_at(number if table.tab else 1, "")).removesuffix(": ")
    check_head(where, table.head, lambda head: _missing(columns, head), helps)
    known = [column.name for column in columns]
    table.unknown_columns = [
        with_near_miss(cell, known) for cell in table.head if cell and cell not in known
    ]


def _read_row(table: ReadTable, columns: Sequence[FileColumn], row: tuple[int, list[str]]) -> None:
    number, cells = row
    if len(cells) != len(table.head):
        table.fault(
            number, f"has {len(cells)} cells, the head has {len(table.head)}; correct the row"
        )
        return
    texts = {name: cell.strip() for name, cell in zip(table.head, cells, strict=True)}
    add_line(table, columns, number, texts)


def add_line(
    table: ReadTable, columns: Sequence[FileColumn], number: int, texts: Mapping[str, str]
) -> None:
    """Add a row to the table's lines, its texts parsed, and note what is wrong with them."""
    values: dict[str, Any] = {}
    unread: set[str] = set()
    for column in columns:
        text = texts.get(column.name, "")
        if column.unused:
            if text:
                table.fault(number, f"{column.heading} {UNUSED}", column.name)
            continue
        values[column.target] = None
        if unusable := _unusable(table, number, column.name):
            table.fault(number, f"{column.heading} {unusable}", column.name)
        elif text:
            _parse(table, column, (number, text), values)
        elif column.needed:
            table.fault(number, f"{column.heading} is blank; fill it in", column.name)
        if values[column.target] is None and (text or unusable):
            unread.add(column.target)
    table.lines.append(FileRow(number, values, frozenset(unread)))


def _unusable(table: ReadTable, number: int, name: str) -> str | None:
    tab, at = table.tab_of(number), table.place_of(number, name)
    return None if tab is None or at is None else tab.unusable.get((number - 1, at))


def _parse(
    table: ReadTable, column: FileColumn, cell: tuple[int, str], values: dict[str, Any]
) -> None:
    number, text = cell
    try:
        values[column.target] = column.parse(text)
    except ValueError as error:
        table.fault(number, f"{column.heading} {error}", column.name, text)


def not_below_zero(parse: Parser) -> Parser:
    """Return a parser that refuses negative amounts."""

    @functools.wraps(parse)
    def checked(text: str) -> Any:
        value = parse(text)
        if value < 0:
            raise ValueError(f'"{text}" is negative; use zero or more')
        return value

    return checked
