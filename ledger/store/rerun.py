"""A book in memory of the small facts that stand, each in its place, to run what follows again."""

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import duckdb

from ledger.store import definitions
from ledger.store.book import Book
from ledger.store.persons import handles_of
from ledger.store.schema import TABLES

Columns = dict[str, list[Any]]


@dataclass(frozen=True)
class PlacedFact:
    """A fact that stands: its place in the recorded order, its own batch and row, its columns."""

    table: str
    place_batch: int
    place_row: int
    batch: int
    row: int
    values: dict[str, Any]

    @property
    def named(self) -> str:
        """Return its id."""
        return f"{self.table}:{self.batch}.{self.row}"


@contextlib.contextmanager
def empty_rerun(book: Book) -> Iterator[Book]:
    """Give a book in memory without facts, which nothing refuses to change."""
    with contextlib.closing(duckdb.connect()) as connection:
        rerun = Book(connection, book.path)
        for statement in definitions.statements():
            if not statement.startswith("CREATE TRIGGER"):
                rerun.execute(statement)
        yield rerun


def standing(book: Book, table: str) -> list[PlacedFact]:
    """Return the facts of a withdrawable table that stand, in the recorded order."""
    names = list(TABLES[table].columns)
    cursor = book.execute(
        f"SELECT place_batch, place_row, batch, row, {', '.join(names)}"
        f" FROM standing_{table}($upto) ORDER BY place_batch, place_row, batch, row",
        {"upto": book.upto},
    )
    return [
        PlacedFact(table, row[0], row[1], row[2], row[3], dict(zip(names, row[4:], strict=True)))
        for row in cursor.fetchall()
    ]


def put(rerun: Book, table: str, rows: Sequence[PlacedFact]) -> None:
    """Add facts to the book in memory, each as a row of the batch in whose place it stands."""
    columns = TABLES[table].columns
    by_column: Columns = {"batch": [], "row": []}
    for each in rows:
        by_column["batch"].append(each.place_batch)
        by_column["row"].append(each.place_row)
    for name in columns:
        by_column[name] = [each.values[name] for each in rows]
    for name in TABLES[table].persons:
        handles = handles_of(rerun, {each for each in by_column[name] if each}).by_name
        by_column[name] = [handles.get(each) for each in by_column[name]]
    _insert(rerun, table, by_column)


def put_persons(rerun: Book, book: Book) -> None:
    """Add the names of persons by their handles, before the facts that hold these."""
    rows = book.execute(
        "SELECT row_number() OVER (ORDER BY batch, row), handle, name"
        " FROM stored_person_name($upto) ORDER BY ALL",
        {"upto": book.upto},
    ).fetchall()
    columns: Columns = {"batch": [0 for _ in rows]}
    columns |= {name: [row[i] for row in rows] for i, name in enumerate(("row", "handle", "name"))}
    _insert(rerun, "person_name", columns)


def put_documents(rerun: Book, book: Book) -> None:
    """Add the documents with their lines, each as the row that it is."""
    for table in ("document", "document_line"):
        names = list(TABLES[table].columns)
        cursor = book.execute(
            f"SELECT batch, row, {', '.join(names)} FROM known_{table}($upto) ORDER BY batch, row",
            {"upto": book.upto},
        )
        rows = [
            PlacedFact(
                table, row[0], row[1], row[0], row[1], dict(zip(names, row[2:], strict=True))
            )
            for row in cursor.fetchall()
        ]
        put(rerun, table, rows)


def put_days(rerun: Book, book: Book) -> None:
    """Add the calendars as they were written out."""
    names = ("batch", "row", "job", "day", "weight")
    rows = book.execute(
        "SELECT batch, row, job, day, weight FROM known_job_day($upto) ORDER BY batch, row",
        {"upto": book.upto},
    ).fetchall()
    _insert(rerun, "job_day", {n: [row[i] for row in rows] for i, n in enumerate(names)})


def _insert(rerun: Book, table: str, columns: Columns) -> None:
    if not columns["batch"]:
        return
    kinds = {"batch": "BIGINT", "row": "BIGINT", **TABLES[table].columns}
    listed = ", ".join(f"unnest(${name}::{kinds[name]}[]) AS {name}" for name in columns)
    rerun.execute(f"INSERT INTO {table} BY NAME SELECT {listed}", columns)


def stage_postings(book: Book, rerun: Book, table: str) -> None:
    """Stage the postings that came of the book in memory, beside those of the book itself."""
    kinds = TABLES[table].columns
    cursor = rerun.execute(f"SELECT {', '.join(kinds)} FROM {table}")
    rows = cursor.fetchall()
    columns = {name: [row[i] for row in rows] for i, name in enumerate(kinds)}
    listed = ", ".join(f"unnest(${name}::{kind}[]) AS {name}" for name, kind in kinds.items())
    book.execute(f"CREATE OR REPLACE TEMP TABLE staged_{table} AS SELECT {listed}", columns)


def fact(book: Book, table: str, batch: int, row: int) -> tuple[PlacedFact | None, int | None]:
    """Return a fact by its id, and the batch that withdrew it; None where there is none."""
    matching = [each for each in standing(book, table) if (each.batch, each.row) == (batch, row)]
    if matching:
        return matching[0], None
    inputs = {"upto": book.upto, "batch": batch, "row": row}
    there = book.execute(
        f"SELECT f.*, w.batch AS withdrawn_in FROM known_{table}($upto) AS f"
        f" LEFT JOIN known_withdrawal($upto) AS w ON w.table_name = '{table}'"
        " AND w.fact_batch = f.batch AND w.fact_row = f.row"
        " WHERE f.batch = $batch AND f.row = $row",
        inputs,
    ).fetchall()
    if not there:
        return None, None
    names = list(TABLES[table].columns)
    values = dict(zip(names, there[0][2:-1], strict=True))
    return PlacedFact(table, batch, row, batch, row, values), there[0][-1]
