"""Books of the small sample for the tests of the store: built once, copied, and tampered with."""

import contextlib
import shutil
from collections.abc import Iterator
from pathlib import Path

import duckdb

from ledger.store.definitions import EVENTS, trigger_name, triggers
from tests._engine import let_go
from tests.conftest import Yard

SAMPLE = Path(__file__).resolve().parents[2] / "sample_data" / "small"


def copy_of(built: Yard, folder: Path) -> Yard:
    """Return a yard of its own with a copy of a prepared book."""
    copy = Yard(folder)
    shutil.copy(built.book, copy.book)
    return copy


@contextlib.contextmanager
def opened(book: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """Give a bare connection to the book's file, as one who goes round the program has it."""
    let_go()
    with contextlib.closing(duckdb.connect(str(book))) as connection:
        yield connection


def tamper(book: Path, table: str, *statements: str) -> None:
    """Run statements with the table's refusal triggers taken off, and put these back."""
    with opened(book) as connection:
        for event in EVENTS:
            connection.execute(f"DROP TRIGGER {trigger_name(table, event)} ON {table}")
        for statement in statements:
            connection.execute(statement)
        for statement in triggers():
            if f" ON {table} " in statement:
                connection.execute(statement)


def tables_of(book: Path) -> list[str]:
    """Return the tables that the book's triggers guard: the facts, the batches and their seals."""
    with opened(book) as connection:
        found = connection.execute(
            "SELECT table_name FROM duckdb_tables() WHERE table_name <> 'refusal' ORDER BY ALL"
        ).fetchall()
    return [row[0] for row in found]


def said(yard: Yard, *words: str) -> tuple[int, str]:
    """Return the exit code and the message of a check that must find something."""
    outcome = yard.run("check", *words, ok=False)
    return outcome.exit_code, outcome.stderr.strip()
