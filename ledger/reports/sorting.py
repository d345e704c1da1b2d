"""What a table is sorted by in a browser: of each cell its place in its column, told beforehand."""

from collections.abc import Iterator, Sequence

from ledger.domain.codes import word_of
from ledger.reports.tables import Cell, Table


def ranks(table: Table) -> list[tuple[str, ...]]:
    """Return for each row the ranks of its cells, from 1; "" where there is no value.

    Equal values have one rank. Nothing is rounded or read again from its words.
    """
    columns = list(zip(*(row.cells for row in table.rows), strict=True))
    return list(zip(*(tuple(_ranked(column)) for column in columns), strict=True))


def _ranked(column: Sequence[Cell]) -> Iterator[str]:
    values = {cell for cell in column if cell is not None}
    order = {value: number for number, value in enumerate(sorted(values, key=_key), start=1)}
    for cell in column:
        yield "" if cell is None else str(order[cell])


def _key(cell: Cell) -> tuple[bool, Cell]:
    """Return what a cell is sorted by: texts after numbers and dates, without regard to case."""
    return (True, word_of(cell)) if isinstance(cell, str) else (False, cell)
