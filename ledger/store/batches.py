"""Writing: one command, one transaction, one sealed batch."""

import contextlib
import os
import secrets
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from ledger import __version__
from ledger.domain.seals import FIRST_HEAD, BatchFacts, TableSeal, head, merkle_root
from ledger.errors import BookError, Refused, Remedy
from ledger.store import migrations, queries
from ledger.store.book import IN_MEMORY, Book, connect
from ledger.store.schema import TABLES, UNSEALED, VERSION

SEAL_VERSION = 1
# Above this many leaves the lower levels of the tree are hashed in the database.
LEAVES_IN_PYTHON = 20_000
MICROSECOND = timedelta(microseconds=1)


@dataclass
class Batch:
    """A batch being written at an instant: rows are appended, and sealed when it ends."""

    book: Book
    sequence: int
    recorded_at: datetime
    counts: dict[str, int] = field(default_factory=dict)
    recorded_empty: bool = False
    dry_run: bool = False

    def append(self, table: str, columns: Mapping[str, Sequence[object]]) -> None:
        """Append rows given as equally long columns, one list a column name."""
        if not columns or not next(iter(columns.values())):
            return
        kinds = {**TABLES[table].columns, **UNSEALED.get(table, {})}
        listed = ", ".join(f"unnest(${name}::{kinds[name]}[]) AS {name}" for name in columns)
        given = {name: list(values) for name, values in columns.items()}
        self._insert(table, f"(SELECT {listed})", given, numbered="row" in columns)

    def append_query(self, table: str, query: str, **inputs: object) -> int:
        """Append the rows of a query file and return how many there were.

        Rows are numbered by the column `row` if the query has one, else in the query's order.
        """
        before = self.counts.get(table, 0)
        given = self.book.inputs_of(query, inputs)
        numbered = "row" in queries.columns(query)
        source = queries.without_order(query) if numbered else queries.ordered(query)
        self._insert(table, source, given, numbered=numbered)
        return self.counts.get(table, 0) - before

    def _insert(
        self, table: str, source: str, inputs: Mapping[str, object], *, numbered: bool
    ) -> None:
        done = self.counts.get(table, 0)
        number = "" if numbered else f"{done} + row_number() OVER () AS row, "
        # A salt a row, drawn from a secret that is thrown away.
        salt = "unhex(left(sha256($secret || row::VARCHAR), 32))"
        result = self.book.execute(
            f"INSERT INTO {table} BY NAME SELECT {self.sequence} AS batch, {salt} AS salt, *"
            f" FROM (SELECT {number}source.* FROM {source} AS source)",
            {**inputs, "secret": secrets.token_hex(16)},
        )
        added = result.fetchone()
        self.counts[table] = done + (added[0] if added else 0)

    def last_row(self, table: str) -> int:
        """Return the row number last given out in a table by this batch."""
        return self.counts.get(table, 0)


@dataclass(frozen=True)
class Writing:
    """Who writes, by which command, and when (rehearsal books only)."""

    actor: str
    command: str
    recorded_at: datetime | None = None


@contextlib.contextmanager
def batch(book: Book, writing: Writing) -> Iterator[Batch]:
    """Give a batch to append to; seal and commit it, or leave nothing on any error.

    A batch that appended nothing is not recorded, nor is a dry run.
    """
    recorded_at = _instant(book, writing)
    book.execute("BEGIN TRANSACTION")
    try:
        open_batch = Batch(book, book.last_sequence() + 1, recorded_at)
        book.upto, book.written_on = open_batch.sequence, recorded_at.date()
        yield open_batch
        if open_batch.dry_run:
            book.execute("ROLLBACK")
            book.upto = open_batch.sequence - 1
            return
        if any(open_batch.counts.values()) or open_batch.recorded_empty:
            _seal(book, open_batch, writing)
        else:
            book.upto = open_batch.sequence - 1
    except BaseException:
        with contextlib.suppress(BookError):
            book.execute("ROLLBACK")
        raise
    book.execute("COMMIT")


def _instant(book: Book, writing: Writing) -> datetime:
    last = book.stamp().recorded_at if book.last_sequence() else None
    if writing.recorded_at is not None:
        if last and not book.rehearsal:
            raise Refused("instant_not_rehearsed", remedy=Remedy("new_rehearsal"))
        now = writing.recorded_at.astimezone(UTC)
    else:
        now = datetime.now(UTC)
    if last and now <= last:
        raise Refused("clock_behind", clock=now, last=last)
    return now


def _seal(book: Book, open_batch: Batch, writing: Writing) -> None:
    previous = book.stamp(open_batch.sequence - 1).head if open_batch.sequence > 1 else FIRST_HEAD
    seals = [
        TableSeal(table, SEAL_VERSION, count, root_of(book, table, open_batch.sequence, count))
        for table, count in sorted(open_batch.counts.items())
        if count
    ]
    facts = BatchFacts(
        open_batch.sequence,
        microseconds(open_batch.recorded_at),
        writing.actor,
        writing.command,
        __version__,
        VERSION,
        previous,
    )
    book.execute(
        "INSERT INTO batch VALUES ($sequence, make_timestamp($us), $actor, $command, $program,"
        " $schema, $previous, $head)",
        {
            "sequence": facts.sequence,
            "us": facts.recorded_us,
            "actor": facts.actor,
            "command": facts.command,
            "program": facts.program_version,
            "schema": facts.schema_version,
            "previous": previous,
            "head": head(facts, seals),
        },
    )
    for seal in seals:
        book.execute(
            "INSERT INTO batch_table VALUES ($sequence, $table, $version, $count, $root)",
            {
                "sequence": facts.sequence,
                "table": seal.table,
                "version": seal.version,
                "count": seal.row_count,
                "root": seal.root,
            },
        )


def microseconds(instant: datetime) -> int:
    """Return whole microseconds since 1970 UTC, exactly."""
    return (instant - datetime(1970, 1, 1, tzinfo=UTC)) // MICROSECOND


def root_of(book: Book, table: str, sequence: int, count: int, version: int = SEAL_VERSION) -> str:
    """Return the Merkle root over the `count` rows that a batch added to a table, in hex."""
    source = queries.without_order(f"seals/{table}.{version}")
    leaves = (
        "SELECT row - 1 AS place,"
        " unhex(sha256('\\x00'::BLOB || salt || encode(sealed_text))) AS hash"
        f" FROM {source}"
    )
    given = {"batch": sequence}
    if count > LEAVES_IN_PYTHON:
        book.execute(f"CREATE OR REPLACE TEMP TABLE staged_leaf AS {leaves}", given)
        while count > LEAVES_IN_PYTHON:
            _fold_level(book)
            count = (count + 1) // 2
        leaves, given = "FROM staged_leaf", {}
    hashes = book.execute(f"SELECT hash FROM ({leaves}) ORDER BY place", given).fetchall()
    return merkle_root([row[0] for row in hashes])


def _fold_level(book: Book) -> None:
    book.execute(
        "CREATE TEMP TABLE staged_level AS SELECT l.place // 2 AS place,"
        " CASE WHEN r.hash IS NULL THEN l.hash"
        " ELSE unhex(sha256('\\x01'::BLOB || l.hash || r.hash)) END AS hash"
        " FROM staged_leaf AS l LEFT JOIN staged_leaf AS r ON r.place = l.place + 1"
        " WHERE l.place % 2 = 0"
    )
    book.execute("DROP TABLE staged_leaf")
    book.execute("ALTER TABLE staged_level RENAME TO staged_leaf")


def new_book(path: Path, writing: Writing, *, rehearsal: bool) -> None:
    """Make an empty book; its first batch says whether it is a rehearsal.

    Raises: Refused when the path is taken.
    """
    if writing.recorded_at is not None and not rehearsal:
        raise Refused("instant_not_rehearsed", remedy=Remedy("new_rehearsal"))
    another = Remedy("book")
    if path.name == IN_MEMORY.name:
        raise Refused("book_in_memory", book=path, remedy=another)
    if os.path.lexists(path):
        raise Refused("book_taken", book=path, remedy=another)
    if not path.parent.is_dir():
        raise Refused("book_folder_missing", book=path)
    if os.path.lexists(log := f"{path}.wal"):
        raise Refused("book_log_left", log=log, remedy=another)
    with contextlib.closing(connect(path, read_only=False)) as connection:
        book = Book(connection, path)
        for statement in migrations.statements():
            book.execute(statement)
        with batch(book, writing) as first:
            answer = "yes" if rehearsal else "no"
            first.append("setting", {"name": ["book.rehearsal"], "value": [answer]})
