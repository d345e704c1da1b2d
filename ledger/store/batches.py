"""Writing: one command, one transaction, one sealed batch."""

import contextlib
import os
import secrets
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from ledger import __version__
from ledger.domain.seals import FIRST_HEAD, BatchFacts, TableSeal, head, text_digest
from ledger.errors import BookError, Refused, Remedy
from ledger.store import definitions, queries, sealing
from ledger.store.book import IN_MEMORY, Book, connect
from ledger.store.persons import handles_of
from ledger.store.schema import SEAL_VERSION, TABLES, VERSION
from ledger.store.texts import refuse_marked_values, refuse_marks, salted

SECRET_BYTES = 16
# The last batch, and whether the book is a rehearsal.
NEWEST = "store/batch_newest"
MICROSECOND = timedelta(microseconds=1)


@dataclass
class Batch:
    """A batch being written at an instant: rows are appended, and sealed when it ends."""

    book: Book
    sequence: int
    recorded_at: datetime
    counts: dict[str, int] = field(default_factory=dict)
    # The tables whose texts nobody looked at for marks yet.
    queried: set[str] = field(default_factory=set)
    recorded_empty: bool = False
    dry_run: bool = False

    def append(self, table: str, columns: Mapping[str, Sequence[object]]) -> None:
        """Append rows given as equally long columns, one list a column name."""
        if not columns or not next(iter(columns.values())):
            return
        refuse_marked_values(table, columns)
        columns = self._with_handles(table, columns)
        kinds = TABLES[table].columns
        inputs: dict[str, object] = {name: list(values) for name, values in columns.items()}
        first = self.last_row(table) + 1
        count = len(next(iter(columns.values())))
        if count == 1:
            # Without lists it is planned in half the time.
            inputs = {name: values[0] for name, values in columns.items()}
            listed = [f"${name}::{kinds[name]} AS {name}" for name in columns]
            number = "$row_begun::BIGINT AS row"
        else:
            listed = [f"unnest(${name}::{kinds[name]}[]) AS {name}" for name in columns]
            number = f"unnest(range($row_begun::BIGINT, $row_begun::BIGINT + {count})) AS row"
        source = f"(SELECT {', '.join([number, *listed])})"
        self._insert(table, ("row", *columns), source, {**inputs, "row_begun": first})

    def _with_handles(
        self, table: str, columns: Mapping[str, Sequence[object]]
    ) -> Mapping[str, Sequence[object]]:
        """Return columns with the handles of persons in the place of their names."""
        persons = [name for name in TABLES[table].persons if name in columns]
        names = [str(each) for name in persons for each in columns[name] if each is not None]
        handles = self._handles(names) if names else {}
        held = {
            name: [None if each is None else handles[str(each)] for each in columns[name]]
            for name in persons
        }
        return {**columns, **held}

    def _handles(self, names: Iterable[str]) -> dict[str, str]:
        """Return the handles of names; the names that are new are kept."""
        handles = handles_of(self.book, names)
        new = {"handle": list(handles.new), "name": list(handles.new.values())}
        # Not as a batch appends that keeps its own facts aside: these are none of them.
        Batch.append(self, "person_name", new)
        return handles.by_name

    def append_row(self, table: str, row: Mapping[str, object]) -> None:
        """Append one row."""
        self.append(table, {name: [value] for name, value in row.items()})

    def append_query(self, table: str, query: str, **inputs: object) -> int:
        """Append the rows of a query file and return how many there were.

        Rows are numbered by the column `row` if the query has one, else in the query's order.
        """
        self.queried.add(table)
        return self.append_looked_at(table, query, **inputs)

    def append_looked_at(self, table: str, query: str, **inputs: object) -> int:
        """As `append_query`, of texts that were looked at for marks where they were read."""
        before = self.counts.get(table, 0)
        query_inputs = self.book.inputs_of(query, inputs)
        columns = queries.columns(query)
        source = queries.without_order(query) if "row" in columns else queries.ordered(query)
        for person in set(TABLES[table].persons) & set(columns):
            source = self._source_with_handles(person, source, query_inputs)
        self._insert(table, columns, source, query_inputs)
        return self.counts.get(table, 0) - before

    def _source_with_handles(self, person: str, source: str, inputs: dict[str, object]) -> str:
        """Return a source of rows with handles in the place of names, which are added to `inputs`.

        Each name is looked up once, however many rows have it.
        """
        named = f"SELECT DISTINCT {person} FROM {source} WHERE {person} IS NOT NULL ORDER BY ALL"
        names = [name for (name,) in self.book.execute(named, inputs).fetchall()]
        if not names:
            return source
        handles = self._handles(names)
        inputs |= {f"{person}_names": list(handles), f"{person}_handles": list(handles.values())}
        handle = f"map(${person}_names::VARCHAR[], ${person}_handles::VARCHAR[])[{person}]"
        return f"(SELECT * REPLACE ({handle} AS {person}) FROM {source})"

    def _insert(
        self, table: str, columns: Sequence[str], source: str, inputs: Mapping[str, object]
    ) -> None:
        # A number that was given out would name two rows.
        assert table != "line" or not any(TABLES[name].follows_lines for name in self.counts)
        done = self.counts.get(table, 0)
        insert_inputs = {**inputs, "batch_written": self.sequence}
        if "row" not in columns:
            source = f"(SELECT $rows_before::BIGINT + row_number() OVER () AS row, * FROM {source})"
            insert_inputs["rows_before"] = self.last_row(table)
        if beside := salted(TABLES[table], columns):
            insert_inputs["secret"] = secrets.token_hex(SECRET_BYTES)
        result = self.book.execute(
            f"INSERT INTO {table} BY NAME"
            f" SELECT $batch_written::BIGINT AS batch, *{beside} FROM {source} AS source",
            insert_inputs,
        )
        added = result.fetchone()
        self.counts[table] = done + (added[0] if added else 0)
        if table == "withdrawal":
            for name in self.book.withdrawn():
                self.book.execute(definitions.anew(definitions.standing(name, is_withdrawn=True)))

    def last_row(self, table: str) -> int:
        """Return the row number last given out in a table by this batch."""
        return self.rows(table).stop - 1

    def rows(self, table: str) -> range:
        """Return the numbers of the rows that this batch added to a table."""
        first = 1 + (self.counts.get("line", 0) if TABLES[table].follows_lines else 0)
        return range(first, first + self.counts.get(table, 0))


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
    newest = book.records(NEWEST)
    sequence = newest[0]["sequence"] if newest else 0
    recorded_at = _instant(writing, newest[0] if newest else None)
    book.execute("BEGIN TRANSACTION")
    try:
        open_batch = Batch(book, sequence + 1, recorded_at)
        book.count_to(open_batch.sequence)
        book.written_on = recorded_at.date()
        yield open_batch
        if open_batch.dry_run:
            book.execute("ROLLBACK")
            book.count_to(sequence)
            return
        sealed = None
        if any(open_batch.counts.values()) or open_batch.recorded_empty:
            sealed = _seal(open_batch, writing, newest[0]["head"] if newest else FIRST_HEAD)
        else:
            book.count_to(sequence)
    except BaseException:
        with contextlib.suppress(BookError):
            book.execute("ROLLBACK")
        raise
    book.execute("COMMIT")
    if sealed:
        _answer_with(book, open_batch, sealed, newest)


def _answer_with(
    book: Book, recorded: Batch, head: str, before: Sequence[Mapping[str, object]]
) -> None:
    """Let the book tell its newest batch without being asked, as every command does at its ends."""
    at = recorded.recorded_at.astimezone(UTC).replace(tzinfo=None)
    stamp = {"sequence": recorded.sequence, "head": head, "recorded_at": at}
    book.answer("store/batch_stamp", stamp, sequence=recorded.sequence)
    if before:
        book.answer(NEWEST, {**before[0], **stamp})


def _instant(writing: Writing, newest: Mapping[str, Any] | None) -> datetime:
    """Return when the batch after the newest one is recorded."""
    last = newest["recorded_at"].replace(tzinfo=UTC) if newest else None
    if writing.recorded_at is not None:
        if newest and not newest["rehearsal"]:
            raise Refused("instant_not_rehearsed", remedy=Remedy("new_rehearsal"))
        now = writing.recorded_at.astimezone(UTC)
    else:
        now = datetime.now(UTC)
    if last and now <= last:
        raise Refused("clock_behind", clock=now, last=last)
    return now


def _seal(open_batch: Batch, writing: Writing, previous: str) -> str:
    """Seal what a batch added, and return its head."""
    book, sequence, counts = open_batch.book, open_batch.sequence, open_batch.counts
    refuse_marks(book, sorted(open_batch.queried), sequence)
    secret = secrets.token_bytes(SECRET_BYTES)
    rows = {table: open_batch.rows(table) for table, count in sorted(counts.items()) if count}
    roots = sealing.roots_of_batch(book, sequence, rows, secret, SEAL_VERSION)
    seals = [TableSeal(table, SEAL_VERSION, len(own), roots[table]) for table, own in rows.items()]
    salts = secrets.token_bytes(SECRET_BYTES), secrets.token_bytes(SECRET_BYTES)
    facts = BatchFacts(
        sequence,
        microseconds(open_batch.recorded_at),
        text_digest(salts[0], writing.actor),
        text_digest(salts[1], writing.command),
        __version__,
        VERSION,
        previous,
    )
    return _record(book, writing, (secret, *salts), facts, seals)


def _record(
    book: Book,
    writing: Writing,
    kept: tuple[bytes, bytes, bytes],
    facts: BatchFacts,
    seals: Sequence[TableSeal],
) -> str:
    """Write the batch's own record, with its secret and the salts of its texts, and its seals.

    Returns its head.
    """
    secret, actor_salt, command_salt = kept
    own = head(facts, seals)
    book.execute(
        "INSERT INTO batch VALUES ($sequence, make_timestamp($us), $secret, $actor, $actor_salt,"
        " $actor_hash, $command, $command_salt, $command_hash, $program, $schema, $previous,"
        " $head)",
        {
            "sequence": facts.sequence,
            "us": facts.recorded_us,
            "secret": secret,
            "actor": writing.actor,
            "actor_salt": actor_salt,
            "actor_hash": facts.actor_hash,
            "command": writing.command,
            "command_salt": command_salt,
            "command_hash": facts.command_hash,
            "program": facts.program_version,
            "schema": facts.schema_version,
            "previous": facts.previous_head,
            "head": own,
        },
    )
    if seals:
        book.execute(
            "INSERT INTO batch_table SELECT $sequence, unnest($tables::VARCHAR[]),"
            " unnest($versions::BIGINT[]), unnest($counts::BIGINT[]), unnest($roots::VARCHAR[])",
            {
                "sequence": facts.sequence,
                "tables": [seal.table for seal in seals],
                "versions": [seal.version for seal in seals],
                "counts": [seal.row_count for seal in seals],
                "roots": [seal.root for seal in seals],
            },
        )
    return own


def microseconds(instant: datetime) -> int:
    """Return whole microseconds since 1970 UTC, exactly."""
    return (instant - datetime(1970, 1, 1, tzinfo=UTC)) // MICROSECOND


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
        for statement in definitions.statements():
            book.execute(statement)
        with batch(book, writing) as first:
            answer = "yes" if rehearsal else "no"
            first.append("setting", {"name": ["book.rehearsal"], "value": [answer]})
