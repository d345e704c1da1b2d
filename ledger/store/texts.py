"""Texts: what none of them may hold, and those that can be erased."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.schema import ERASABLE_OF_BATCH, TABLES
from ledger.store.table import VARCHAR, FactTable

# The characters that stand between rows, for null and between columns in a sealed text.
MARKS = "\x1d\x1e\x1f"
_MARK = re.compile(f"[{MARKS}]")
OF_BATCH = FactTable("batch", dict.fromkeys(ERASABLE_OF_BATCH, VARCHAR), erasable=ERASABLE_OF_BATCH)


def salted(table: FactTable, columns: Iterable[str]) -> str:
    """Return SQL of salt and digest for each erasable column among those that are appended.

    Each salt is drawn from `$secret`, which is thrown away.
    """
    return "".join(
        f", CASE WHEN {name} IS NOT NULL THEN unhex(left(sha256(concat($secret::VARCHAR,"
        f" ':{name}:', row)), 32)) END AS {name}_salt"
        + ("" if table.is_digested_late else f", {table.digest(name)} AS {name}_hash")
        for name in columns
        if name in table.erasable
    )


@dataclass(frozen=True)
class Erasure:
    """What was erased: a row's texts, of a batch itself its actor and command (row 0)."""

    table: str
    batch: int
    row: int
    erased_in: int
    erased_row: int
    reason: str

    @property
    def id(self) -> str:
        """Return the fact's id."""
        return f"{self.table}:{self.batch}" + (f".{self.row}" if self.row else "")


def erasures(book: Book) -> list[Erasure]:
    """Return what was erased, in the order of erasing."""
    return [Erasure(*row) for row in book.rows("store/erasures_known")]


def wrong_texts(book: Book, tables: Iterable[str]) -> list[tuple[str, int, int, str, bool]]:
    """Return table, batch, row and column of each text that is not the one sealed, or is gone.

    The last of the five says whether it is gone; of a row the first such column is named.
    """
    selects = [_wrong_in(OF_BATCH, "sequence", "0", "stored_batch")]
    selects += [
        _wrong_in(TABLES[name], "batch", "row", TABLES[name].stored_macro)
        for name in tables
        if TABLES[name].erasable
    ]
    sql = (
        "SELECT table_name, batch, row, wrong[2:] AS column_name, wrong[1] = '-' AS is_gone"
        f" FROM ({' UNION ALL '.join(selects)}) WHERE wrong IS NOT NULL"
        " ORDER BY batch, table_name, row"
    )
    return book.execute(sql, {"upto": book.upto}).fetchall()


def _wrong_in(table: FactTable, batch: str, row: str, macro: str) -> str:
    changed = [
        f"WHEN {name} IS NOT NULL AND {name}_hash IS DISTINCT FROM {table.digest(name)}"
        f" THEN '+{name}'"
        # One that is digested where it is read differs from its seal instead.
        for name in (() if table.is_digested_late else table.erasable)
    ]
    # An erasure leaves none of a row's texts and salts.
    all_gone = " AND ".join(f"{name} IS NULL AND {name}_salt IS NULL" for name in table.erasable)
    gone = [
        f"WHEN {name} IS NULL AND ({name}_hash IS NOT NULL OR {name}_salt IS NOT NULL)"
        f" THEN CASE WHEN {all_gone} THEN '-{name}' ELSE '+{name}' END"
        for name in table.erasable
    ]
    return (
        f"SELECT '{table.name}' AS table_name, {batch} AS batch, {row} AS row,"
        f" CASE {' '.join(changed + gone)} END AS wrong FROM {macro}($upto)"
    )


def refuse_marked_values(table: str, columns: Mapping[str, Sequence[object]]) -> None:
    """Refuse texts that hold what no sealed text may, before they are appended. Raises: Refused."""
    for name in TABLES[table].texts:
        texts = [value for value in columns.get(name, ()) if isinstance(value, str)]
        if _MARK.search("".join(texts)):
            raise _holds_a_mark(table, name, next(filter(_MARK.search, texts)))


def refuse_marks(book: Book, tables: Iterable[str], since: int) -> None:
    """Refuse texts of a batch's rows that hold what no sealed text may. Raises: Refused."""
    if place := marked(book, tables, since):
        table, batch, row = place
        texts = ", ".join(TABLES[table].texts)
        sql = f"SELECT {texts} FROM {table} WHERE batch = $batch AND row = $row"
        there = book.execute(sql, {"batch": batch, "row": row}).fetchall()[0]
        named = zip(TABLES[table].texts, there, strict=True)
        raise _holds_a_mark(table, *next(each for each in named if _MARK.search(each[1] or "")))


def _holds_a_mark(table: str, name: str, text: str) -> Refused:
    return Refused("text_with_mark", table=table, name=name, shown=_MARK.sub("?", text))


def marked(book: Book, tables: Iterable[str], since: int = 0) -> tuple[str, int, int] | None:
    """Return table, batch and row of the first text that holds a mark, None without any."""
    selects = [_marked_in(TABLES[name]) for name in tables if TABLES[name].texts]
    if not selects:
        return None
    sql = f"{' UNION ALL '.join(selects)} ORDER BY batch, table_name, row LIMIT 1"
    return book.execute(sql, {"since": since, "upto": book.upto}).fetchone()


def _marked_in(table: FactTable) -> str:
    # Looking for one character after the other is many times as fast as for any of them, and in
    # one column after the other each text is looked at once, however many rows have it.
    holds = " OR ".join(
        f"contains({name}, chr({ord(mark)}))" for name in table.texts for mark in MARKS
    )
    return (
        f"SELECT '{table.name}' AS table_name, batch, row"
        f" FROM {table.stored_macro}($upto) WHERE batch >= $since"
        f" AND ({holds})"
    )
