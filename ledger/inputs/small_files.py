"""Adding small facts: what is new, what supersedes, what is there already."""

from collections.abc import Mapping, Sequence
from typing import Any

from ledger.inputs.outcomes import FieldChange, RowChange, RowsLoaded
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.schema import TABLES

Row = dict[str, Any]


def columns_of(rows: Sequence[Row]) -> dict[str, list[Any]]:
    """Return rows as columns."""
    return {name: [row[name] for row in rows] for name in rows[0]} if rows else {}


def supersede(book: Book, batch: Batch, table: str, rows: Sequence[Row]) -> RowsLoaded:
    """Append the rows that are new or have other values than those that count; return which.

    Rows of one key given twice: the last counts.
    """
    fresh, loaded = fresh_rows(book, table, rows)
    batch.append(table, columns_of(fresh))
    return loaded


def fresh_rows(book: Book, table: str, rows: Sequence[Row]) -> tuple[list[Row], RowsLoaded]:
    """Return the rows that `supersede` appends, and what comes of all."""
    key = TABLES[table].key
    known = {tuple(row[name] for name in key): row for row in book.current(table)}
    incoming = {tuple(row[name] for name in key): row for row in rows}
    fresh, changed = [], []
    for identity, row in incoming.items():
        before = known.get(identity)
        if before is None:
            fresh.append(row)
        elif differences := _differences(before, row):
            fresh.append(row)
            changed.append(RowChange(identity, differences))
    new, as_before = len(fresh) - len(changed), len(incoming) - len(fresh)
    return fresh, RowsLoaded(table, new, tuple(changed), as_before)


def _differences(before: Row, after: Row) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(name, before[name], value)
        for name, value in after.items()
        if before[name] != value
    )


def _value_text(value: object) -> str:
    return "blank" if value is None else str(value)


def replace_whole(
    book: Book, batch: Batch, table: str, rows: Sequence[Row], chosen: dict[str, Any]
) -> bool:
    """Append rows as a new whole unless the one that counts is the same; return whether it was.

    `chosen` names the whole by its columns, for example {"job": "FERRY"}.
    """
    known = [
        row
        for row in book.current(table)
        if all(row[name] == value for name, value in chosen.items())
    ]
    if sorted(map(_comparable, known)) == sorted(map(_comparable, rows)):
        return False
    batch.append(table, columns_of(rows))
    return True


def replace_wholes(
    book: Book, batch: Batch, table: str, wholes: Mapping[str, Sequence[Row]], name: str
) -> int:
    """Append the wholes, by the column that names them, that differ; return how many.

    All at once: a statement each took longer than all else, of many.
    """
    known: dict[str, list[str]] = {}
    for row in book.current(table):
        known.setdefault(row[name], []).append(_comparable(row))
    fresh = [rows for key, rows in wholes.items() if sorted(known.get(key, [])) != _compared(rows)]
    batch.append(table, columns_of([row for rows in fresh for row in rows]))
    return len(fresh)


def _compared(rows: Sequence[Row]) -> list[str]:
    return sorted(map(_comparable, rows))


def _comparable(row: Row) -> str:
    return repr([(name, _value_text(_normal(row[name]))) for name in sorted(row)])


def _normal(value: Any) -> Any:
    return value.normalize() if hasattr(value, "normalize") else value
