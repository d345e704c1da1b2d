"""Rows of one key in a file, added up exactly into one line; which rows they were is kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.inputs.outcomes import RowsAddedUp, SumOfRows
from ledger.inputs.small_files import Row
from ledger.tables.small_tables import FileRow, ReadTable


@dataclass(frozen=True)
class SummedLine:
    """A line of a key, its amounts those of its rows together."""

    values: Row
    rows: tuple[FileRow, ...]


def add_up(
    lines: Sequence[FileRow], key: Sequence[str], amounts: Sequence[str]
) -> list[SummedLine]:
    """Return a line for each key, in the order of their first rows; blank amounts add nothing.

    An amount that all rows leave blank stays blank.
    """
    by_key: dict[tuple[Any, ...], list[FileRow]] = {}
    for line in lines:
        by_key.setdefault(tuple(line[name] for name in key), []).append(line)
    return [
        SummedLine({**rows[0].values, **{each: _sum(rows, each) for each in amounts}}, tuple(rows))
        for rows in by_key.values()
    ]


def _sum(rows: Sequence[FileRow], amount: str) -> Any:
    filled = [row[amount] for row in rows if row[amount] is not None]
    return sum(filled[1:], filled[0]) if filled else None


def rows_of_sums(table: ReadTable, sums: Sequence[SummedLine], fresh: Sequence[Row]) -> list[Row]:
    """Return the rows that sums are of, as the book keeps them, of those sums that it took."""
    taken = {id(row) for row in fresh}
    return [
        {**row.values, "file_tab": _tab_number(table, row), "file_line": int(row.number)}
        for each in sums
        if id(each.values) in taken
        for row in each.rows
    ]


def _tab_number(table: ReadTable, row: FileRow) -> int | None:
    """Return the number of a row's tab in its workbook, from 1; None of a text file."""
    tab = table.tab_of(row.number)
    names = [each.name for each in table.file.tabs]
    return 1 + names.index(tab.name) if tab else None


def added_up(sums: Sequence[SummedLine], key: Sequence[str]) -> list[RowsAddedUp]:
    """Return which rows of a file were added up, where any were."""
    named = tuple(
        SumOfRows(
            tuple(each.values[name] for name in key),
            tuple(f"{row.number}" for row in each.rows),
            each.values["ms"],
        )
        for each in sums
    )
    return [RowsAddedUp(named)] if named else []
