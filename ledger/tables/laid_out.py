"""Small files read by a layout: their rows under our own names, and the rows that are none."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace

from ledger.domain.codes import word_of
from ledger.errors import Refused
from ledger.store.book import Book
from ledger.tables.file_tables import FileTable, constants_of, records_of, tables_in_file
from ledger.tables.heads import CORRECT_LAYOUT, Missing, check_head, head_of, left_out
from ledger.tables.layouts import Layout
from ledger.tables.near_miss import with_near_miss
from ledger.tables.readings import dates_of, is_wanted
from ledger.tables.row_totals import TotalRow, check_totals
from ledger.tables.small_tables import (
    FileColumn,
    ReadTable,
    RowNumber,
    RowsLeftOut,
    add_line,
    check_rows,
)
from ledger.tables.tabs import Tab
from ledger.tables.whole_files import TextFile
from ledger.tables.workbooks import POINTED
from ledger.tables.written_values import month_of, written_values

BLANK, HEAD, TOTAL, MARKED, TITLE, NOTE, EMPTY = WHYS = (
    "blank",
    "head again",
    "total",
    "as the layout says",
    "title",
    "note",
    "nothing under its heads",
)


@dataclass(frozen=True)
class _Row:
    """A row that is a line: its number, which has its columns, and its texts by our names."""

    number: RowNumber
    texts: dict[str, str]


@dataclass(frozen=True)
class _Places:
    """Where a found table has what: our columns, the heads laid across, and its other heads.

    `across` has the place of each such head with what the head stands for, `numbers` the places of
    hours and numbers.
    """

    columns: Mapping[str, int]
    across: Mapping[int, str]
    constants: Mapping[str, str]
    head: Sequence[str]
    numbers: Set[int]

    def named(self, heads: Sequence[str]) -> set[int]:
        return {self.head.index(head) for head in heads if head in self.head}


@dataclass
class _Body:
    """The rows below a head on their way: those that are lines, totals, and those left out."""

    file_table: FileTable
    layout: Layout
    places: _Places
    of_many: bool
    rows: list[_Row] = field(default_factory=list)
    totals: list[TotalRow] = field(default_factory=list)
    out: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    titles: dict[str, str] = field(default_factory=dict)
    above: dict[int, str] = field(default_factory=dict)


def read_laid_out(
    book: Book, file: TextFile, layout: Layout, columns: Sequence[FileColumn]
) -> ReadTable:
    """Return a file's rows as the layout has them, parsed.

    Raises: Refused when no table has the heads. Faults of rows are kept: call `settle`.
    """
    used = [column for column in columns if not column.unused]

    def missing(head: Sequence[str]) -> list[str]:
        return _missing(book, layout, used, head)

    check_rows(file)
    table = ReadTable(file)
    tables = tables_in_file(file, layout, missing)
    bodies = []
    for file_table in tables:
        _check_heads(file_table, missing)
        body = _body(book, layout, used, file_table, of_many=len(tables) > 1)
        _fill(table, body)
        bodies.append(body)
        table.unknown_columns += _unknown(body, used)
    table.tabs_left_out = left_out(file, [each.tab for each in tables if each.tab])
    table.unknown_columns = list(dict.fromkeys(table.unknown_columns))
    _parse(book, table, bodies, used)
    for body in bodies:
        name = body.file_table.name if body.of_many else ""
        table.rows_left_out += [
            RowsLeftOut(why, tuple(body.out[why]), name) for why in WHYS if why in body.out
        ]
    if not table.lines and not table.faults:
        raise Refused("rows_missing", file=file.name)
    return table


def _check_heads(file_table: FileTable, missing: Missing) -> None:
    """Raises: Refused for the only tab of a workbook when it has not the heads."""
    if names := missing(file_table.head):
        head = tuple(filter(None, file_table.head))
        raise Refused(
            "columns_missing",
            where=file_table.where,
            columns=tuple(names),
            head=head,
            remedy=CORRECT_LAYOUT,
        )


def _missing(
    book: Book, layout: Layout, columns: Sequence[FileColumn], head: Sequence[str]
) -> list[str]:
    """Return what a head lacks: heads that the layout names, then columns without a source."""
    named = [*layout.columns.values(), *layout.evidence, *layout.left_out, *layout.titles.values()]
    named += [*layout.fill_down, *layout.heads]
    named += [layout.total[0]] if layout.total else []
    missing = [each for each in dict.fromkeys(named) if each not in head]
    sources = {*_columns_of(layout, columns, head), *layout.constants, *layout.block}
    sources |= {*layout.tab, *layout.titles, *(layout.across or ())}
    missing += [each.name for each in columns if each.needed and each.name not in sources]
    if layout.date_heads and layout.across and not _date_heads(book, layout, head):
        missing.append("dates as heads")
    return missing


def _columns_of(
    layout: Layout, columns: Sequence[FileColumn], head: Sequence[str]
) -> dict[str, str]:
    """Return the head of each column: the layout's, else its own name if it is a head."""
    taken = {*layout.columns.values(), *layout.evidence, *layout.heads}
    own = {each.name: each.name for each in columns if each.name in head}
    return {**{name: head for name, head in own.items() if head not in taken}, **layout.columns}


def _date_heads(book: Book, layout: Layout, head: Sequence[str]) -> dict[str, str]:
    """Return the heads that are days or months, each with the text to be read as a date."""
    others = {*layout.columns.values(), *layout.evidence}
    heads = [each for each in head if each and each not in others]
    days = zip(heads, dates_of(book, heads, layout.date_order), strict=True)
    return {each: each for each, day in days if day or month_of(each, layout.year)}


def _body(
    book: Book,
    layout: Layout,
    columns: Sequence[FileColumn],
    file_table: FileTable,
    *,
    of_many: bool,
) -> _Body:
    head = file_table.head
    heads = _columns_of(layout, columns, head)
    across = dict(layout.heads)
    if layout.date_heads and layout.across:
        across |= _date_heads(book, layout, head)
    _refuse_whole(layout, columns, file_table, heads)
    used = {*heads.values(), *across}
    twice = [each if each in used else "" for each in head]
    check_head(file_table.where, twice, lambda _: [], CORRECT_LAYOUT)
    at = {name: head.index(each) for name, each in heads.items()}
    under = {head.index(each): text for each, text in across.items()}
    counted = {each.name for each in columns if each.read_as in ("hours", "number")}
    numbers = {place for name, place in at.items() if name in counted} | under.keys()
    places = _Places(at, under, constants_of(file_table, layout), head, numbers)
    return _Body(file_table, layout, places, of_many)


def _refuse_whole(
    layout: Layout, columns: Sequence[FileColumn], file_table: FileTable, heads: Mapping[str, str]
) -> None:
    """Raises: Refused when an amount of the row would count for each of the heads laid across."""
    amounts = [each.name for each in columns if each.adds_up and each.name in heads]
    whole = [heads[name] for name in amounts if layout.across and name not in layout.across]
    if whole:
        raise Refused("amount_beside_across", where=file_table.where, head=whole[0])


def _unknown(body: _Body, columns: Sequence[FileColumn]) -> list[str]:
    """Return the heads that nothing reads, with the column that each may be meant for."""
    layout, places = body.layout, body.places
    named = [*layout.evidence, *layout.left_out, *layout.titles.values()]
    named += [layout.total[0]] if layout.total else []
    used = {*places.columns.values(), *places.across, *places.named(named)}
    known = [column.name for column in columns if column.name not in places.columns]
    return [
        with_near_miss(cell, known)
        for at, cell in enumerate(places.head)
        if cell and at not in used
    ]


def _cells(table: ReadTable, body: _Body) -> Iterator[tuple[int, list[str]]]:
    """Yield the rows below the head, each with its number in the file."""
    file_table = body.file_table
    if file_table.tab:
        for at, cells in enumerate(
            file_table.tab.rows[file_table.at + 1 :], start=file_table.at + 1
        ):
            yield at + 1, _as_marked(body, file_table.tab, at, cells)
        return
    below = records_of(replace(table.file, text=file_table.text), body.layout.delimiter)
    next(below)
    for line, cells in below:
        yield line + file_table.at - 1, [cell.strip() for cell in cells]


def _as_marked(body: _Body, tab: Tab, row: int, cells: Sequence[str]) -> list[str]:
    """Return the cells of a tab, numbers with the decimal mark that the layout's texts have."""
    marked = [cell.strip() for cell in cells]
    if body.layout.decimal_mark != ".":
        for at in body.places.numbers:
            if POINTED.fullmatch(marked[at]) and (row, at) not in tab.typed:
                marked[at] = marked[at].replace(".", body.layout.decimal_mark)
    return marked


def _fill(table: ReadTable, body: _Body) -> None:
    """Tell the lines of a table from its titles, totals, notes and blank rows."""
    width = len(body.file_table.head)
    for number, cells in _cells(table, body):
        filled = [at for at, cell in enumerate(cells) if cell]
        if not filled:
            body.out[BLANK].append(number)
        elif head_of(cells) == body.file_table.lower:
            body.out[HEAD].append(number)
        elif len(filled) == 1 and (why := _alone(body, filled[0], cells[filled[0]])):
            body.out[why].append(number)
        elif len(cells) != width:
            what = f"has {len(cells)} cells, the head has {width}; correct the row"
            table.fault(RowNumber.at(number, body.file_table.tab, {}), what)
        else:
            _take(body, number, cells)


def _alone(body: _Body, at: int, text: str) -> str:
    """Return why a row with one filled cell is no line, "" when it may be one."""
    layout, head = body.layout, body.file_table.head
    under = head[at] if at < len(head) else ""
    if layout.total and under == layout.total[0] and _is_any(text, layout.total[1]):
        return TOTAL
    if _is_any(text, layout.left_out.get(under, ())):
        return MARKED
    named = [name for name, each in layout.titles.items() if each == under]
    if named:
        body.titles.update(dict.fromkeys(named, text))
        body.above.clear()
        return TITLE
    return NOTE if layout.notes else ""


def _is_any(text: str, wanted: Sequence[str]) -> bool:
    return any(is_wanted(text, each) for each in wanted)


def _take(body: _Body, number: int, cells: list[str]) -> None:
    """Take a filled row as a line, or lines, or leave it out."""
    layout, head = body.layout, body.file_table.head
    texts = dict(zip(head, cells, strict=True))
    if layout.total and _is_any(texts[layout.total[0]], layout.total[1]):
        row = RowNumber.at(number, body.file_table.tab, body.places.columns, of_many=body.of_many)
        body.totals.append(TotalRow(row, len(body.rows), cells))
        body.out[TOTAL].append(number)
        body.above.clear()
        return
    if any(_is_any(texts[at], wanted) for at, wanted in layout.left_out.items()):
        body.out[MARKED].append(number)
        return
    for each in layout.fill_down:
        at = head.index(each)
        cells[at] = cells[at] or body.above.get(at, "")
        body.above[at] = cells[at]
    rows = list(_lines(body, number, cells))
    body.rows += rows
    if not rows:
        body.out[EMPTY].append(number)


def _lines(body: _Body, number: int, cells: Sequence[str]) -> Iterator[_Row]:
    """Yield the line of a row, or of each filled cell under the heads laid across."""
    places, layout = body.places, body.layout
    blanks = {word_of(each) for each in layout.blanks}
    filled = {
        name: cells[at]
        for name, at in places.columns.items()
        if cells[at] and word_of(cells[at]) not in blanks
    }
    texts = {**places.constants, **body.titles, **filled}
    if layout.across is None:
        number = RowNumber.at(number, body.file_table.tab, places.columns, of_many=body.of_many)
        if filled:
            yield _Row(number, texts)
        return
    field_, value = layout.across
    for at, text in places.across.items():
        if cells[at] and word_of(cells[at]) not in blanks:
            where = {**places.columns, value: at}
            row = RowNumber.at(number, body.file_table.tab, where, of_many=body.of_many)
            yield _Row(row, {**texts, field_: text, value: cells[at]})


def _parse(
    book: Book, table: ReadTable, bodies: Sequence[_Body], columns: Sequence[FileColumn]
) -> None:
    """Parse the texts of all rows, and check the totals against them."""
    texts: dict[str, list[str]] = {kind: [] for kind in ("date", "hours", "clock")}
    kinds = {each.name: each.read_as for each in columns if each.read_as in texts}
    for body in bodies:
        for row in body.rows:
            for name, text in row.texts.items():
                if name in kinds:
                    texts[kinds[name]].append(text)
        for total in body.totals:
            texts["hours"] += [cell for cell in total.cells if cell]
    layout = bodies[0].layout
    values = written_values(book, layout, texts, is_tab=table.file.is_workbook)
    heads = _columns_of(layout, columns, bodies[0].file_table.head)
    read = [values.column(each, heads.get(each.name, "")) for each in columns]
    for body in bodies:
        first = len(table.lines)
        for row in body.rows:
            add_line(table, read, row.number, row.texts)
        check_totals(table, read, body.totals, table.lines[first:])
