"""Rows of totals of a small table, compared with the rows that they are of."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from ledger.domain.allocation import hours_of
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable, RowNumber, TotalUnchecked

Amount = int | Decimal


@dataclass(frozen=True)
class TotalRow:
    """A row of totals: its number, how many lines stand above it in its table, and its cells."""

    number: RowNumber
    after: int
    cells: Sequence[str]


def check_totals(
    table: ReadTable,
    columns: Sequence[FileColumn],
    totals: Sequence[TotalRow],
    lines: Sequence[FileRow],
) -> None:
    """Note a fault for each total that its rows do not add up to; keep what cannot be compared.

    A total is of all rows above it, or of those since the total before it.
    """
    sums = _by_place(table, [each for each in columns if each.adds_up], lines)
    before = 0
    for total in totals:
        for at, (column, amounts) in sums.items():
            if at < len(total.cells) and total.cells[at]:
                above = _sum(amounts[: total.after])
                part = _sum(amounts[before : total.after])
                _check(table, column, _Total(total, at, above, part))
        before = total.after


@dataclass(frozen=True)
class _Total:
    """A cell of a row of totals, and what the rows come to: None where one of them is unread."""

    row: TotalRow
    at: int
    above: Amount | None
    part: Amount | None


def _by_place(
    table: ReadTable, columns: Sequence[FileColumn], lines: Sequence[FileRow]
) -> dict[int, tuple[FileColumn, list[Amount | None]]]:
    """Return what the lines have in each place of the file, a column that adds up: one a line."""
    by_place: dict[int, tuple[FileColumn, list[Amount | None]]] = {}
    for position, line in enumerate(lines):
        for column in columns:
            if (at := table.place_of(line.number, column.name)) is not None:
                kept = by_place.setdefault(at, (column, [0] * len(lines)))[1]
                unread = column.target in line.unread
                kept[position] = None if unread else (line[column.target] or 0)
    return by_place


def _check(table: ReadTable, column: FileColumn, total: _Total) -> None:
    text, row = total.row.cells[total.at], total.row.number
    number = RowNumber.at(row, row.tab, {column.name: total.at})
    try:
        stated = column.parse(text)
    except ValueError:
        where = str(table.fault_at(number, "", column.name)).removesuffix(": ")
        table.totals_unchecked.append(TotalUnchecked(where, text))
        return
    # A row that cannot be read has its own fault, and then nothing is loaded.
    if total.above is None or stated in (total.above, total.part):
        return
    sums = f"the rows above it add up to {_shown(column, total.above)}"
    if total.part not in (None, total.above):
        sums += f", those since the total before it to {_shown(column, total.part)}"
    what = f"the total is {_shown(column, stated)}, {sums}; correct it, or remove [total]"
    table.fault(number, f"{column.heading}: {what} from the layout", column.name)


def _sum(amounts: Sequence[Amount | None]) -> Amount | None:
    known = [each for each in amounts if each is not None]
    return sum(known) if len(known) == len(amounts) else None


def _shown(column: FileColumn, amount: Amount | None) -> str:
    return f"{hours_of(int(amount or 0))} h" if column.read_as == "hours" else f"{amount}"
