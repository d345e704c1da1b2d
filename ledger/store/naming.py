"""Rows of the book in which a name stands: in texts that can be erased, and in sealed columns."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ledger.domain.name_patterns import re2_of_names
from ledger.store.book import Book
from ledger.store.erasing import TextPlace
from ledger.store.schema import ERASABLE_OF_BATCH, TABLES
from ledger.store.table import VARCHAR, FactTable


@dataclass(frozen=True)
class Sealed:
    """A value of a column that is sealed as it is, in which a name stands, and the rows it is in.

    Digests and handles are no text.
    """

    table: str
    column: str
    value: str
    ids: tuple[str, ...]


def texts_naming(book: Book, names: Iterable[str]) -> list[TextPlace]:
    """Return the rows with a text, not erased, in which one of the names stands."""
    pattern = re2_of_names(names)
    if not pattern:
        return []
    selects = [
        _select(table.name, "batch", "row", table.stored_macro, _erasable_texts(table))
        for table in _filled(book)
        if _erasable_texts(table)
    ]
    selects.append(_select("batch", "sequence", "0", "stored_batch", ERASABLE_OF_BATCH))
    sql = f"{' UNION ALL '.join(selects)} ORDER BY table_name, batch, row"
    rows = book.execute(sql, {"upto": book.upto, "names": pattern}).fetchall()
    return [TextPlace(*row) for row in rows]


def sealed_naming(book: Book, names: Iterable[str]) -> list[Sealed]:
    """Return the values of sealed columns in which one of the names stands: sheets and codes."""
    pattern = re2_of_names(names)
    selects = [
        _select_each(table, texts) for table in _filled(book) if (texts := _sealed_texts(table))
    ]
    if not pattern or not selects:
        return []
    sql = (
        "SELECT table_name, column_name, value,"
        " list(table_name || ':' || batch || '.' || row ORDER BY batch, row) AS ids"
        f" FROM ({' UNION ALL '.join(selects)}) WHERE {_holds('value')}"
        " GROUP BY table_name, column_name, value ORDER BY table_name, column_name, value"
    )
    rows = book.execute(sql, {"upto": book.upto, "names": pattern}).fetchall()
    return [Sealed(table, column, value, tuple(ids)) for table, column, value, ids in rows]


def rows_of_worker(book: Book, worker: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each fact table that has rows of a worker, and their ids in order."""
    for table in _filled(book):
        if "worker_id" not in table.columns:
            continue
        rows = book.execute(
            f"SELECT '{table.name}:' || batch || '.' || row FROM {table.stored_macro}($upto)"
            " WHERE worker_id = $worker ORDER BY batch, row",
            {"upto": book.upto, "worker": worker},
        ).fetchall()
        if rows:
            yield table.name, tuple(each for (each,) in rows)


def _erasable_texts(table: FactTable) -> list[str]:
    return [name for name in table.erasable if table.columns[name] == VARCHAR]


def _sealed_texts(table: FactTable) -> list[str]:
    apart = {*table.erasable, *table.persons}
    return [name for name in table.texts if name not in apart]


def _filled(book: Book) -> list[FactTable]:
    """Return the tables that have rows, so that no query is planned over the others."""
    rows = book.execute("SELECT DISTINCT table_name FROM batch_table").fetchall()
    names = {name for (name,) in rows}
    return [table for table in TABLES.values() if table.name in names or table.is_viewed]


def _select_each(table: FactTable, columns: Sequence[str]) -> str:
    """Return the query of each text of the rows in which, as a whole, a name stands."""
    names = ", ".join(f"'{column}'" for column in columns)
    return (
        f"SELECT '{table.name}' AS table_name, unnest([{names}]) AS column_name,"
        f" unnest([{', '.join(columns)}]) AS value, batch, row FROM {table.stored_macro}($upto)"
        f" WHERE {_holds(f'concat_ws(chr(10), {chr(44).join(columns)})')}"
    )


def _select(name: str, batch: str, row: str, macro: str, columns: Iterable[str]) -> str:
    texts = f"concat_ws(chr(10), {', '.join(columns)})"
    return (
        f"SELECT '{name}' AS table_name, {batch} AS batch, {row} AS row"
        f" FROM {macro}($upto) WHERE {_holds(texts)}"
    )


def _holds(text: str) -> str:
    return f"regexp_matches(nfc_normalize({text}), $names, 'i')"
