"""Which tables each invariant starts from: `check` asks it only where one of them has rows."""

import random
from collections.abc import Callable

import duckdb

from ledger.store import definitions, queries
from ledger.store.checking import ALL_BATCHES, INVARIANTS
from ledger.store.schema import TABLES

ROWS = 25
# Words by which facts are told apart, and some that mean nothing.
WORDS = (
    *("held", "refused", "matched", "re_issue", "entry", "file", "batch", "correction", "undo"),
    *("claim", "invoice", "credit_note", "advance", "rate", "job", "contingency", "erased", "a"),
)
MADE: dict[str, Callable[[random.Random], str]] = {
    "BIGINT": lambda drawn: str(drawn.randint(1, 4)),
    "VARCHAR": lambda drawn: f"'{drawn.choice(WORDS)}'",
    "DATE": lambda drawn: f"DATE '2026-03-0{drawn.randint(1, 4)}'",
    "BOOLEAN": lambda drawn: drawn.choice(("true", "false")),
    "BLOB": lambda drawn: "'a'::BLOB",
}
# Facts are named by these; any other cell may be empty.
NAMING = {"batch", "row", "sha256"}


def cell(drawn: random.Random, column: str, kind: str) -> str:
    if column not in NAMING and drawn.random() < 0.25:
        return "NULL"
    return MADE.get(kind, lambda drawn: str(drawn.randint(-2, 3)))(drawn)


def book_of_anything(seed: int) -> duckdb.DuckDBPyConnection:
    """Return a book in memory of which every table has rows that were drawn at random."""
    drawn = random.Random(seed)
    book = duckdb.connect()
    book.execute("SET threads = 1")
    withdrawn = frozenset(TABLES) if seed % 2 else frozenset()
    for statement in (*definitions.tables(), *definitions.macros(withdrawn)):
        book.execute(statement)
    for name, table in TABLES.items():
        rows = (
            f"({', '.join(cell(drawn, *column) for column in table.stored.items())})"
            for _ in range(ROWS)
        )
        book.execute(f"INSERT INTO {name} VALUES {', '.join(rows)}")
    return book


def test_an_invariant_names_nothing_where_what_it_starts_from_is_empty() -> None:
    """Of books full of contradictions none is left once the tables that start it are empty."""
    broken = set()
    for seed in range(2):
        with book_of_anything(seed) as book:
            for query, tables in INVARIANTS.items():
                sql = queries.text(f"store/{query}")
                if book.execute(sql, {"upto": ALL_BATCHES}).fetchall():
                    broken.add(query)
                book.execute("BEGIN TRANSACTION")
                for table in tables:
                    book.execute(f"DELETE FROM {table}")
                left = book.execute(sql, {"upto": ALL_BATCHES}).fetchall()
                book.execute("ROLLBACK")

                assert left == [], query

    assert broken == set(INVARIANTS)
