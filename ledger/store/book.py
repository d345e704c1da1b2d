"""The book: opening, reading by named query, known-at."""

import contextlib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import duckdb

from ledger.collecting import rare_collection
from ledger.errors import BookError, MemoryShort, Refused, Remedy
from ledger.progress import SILENT, Progress
from ledger.store import queries
from ledger.store.answers import Answer, Answers
from ledger.store.errors import memory, translate
from ledger.store.locking import Holder, named_holder, open_in_turn
from ledger.store.schema import OLDEST, VERSION, WITHDRAWABLE

if TYPE_CHECKING:
    import polars as pl

Row = tuple[Any, ...]
MICROSECOND = timedelta(microseconds=1)
MOST_STATEMENTS = 1_000
# The ends of the calendar, as UTC without a zone.
EARLIEST = datetime.min.replace(tzinfo=UTC).replace(tzinfo=None)
LATEST = datetime.max.replace(tzinfo=UTC).replace(tzinfo=None)
_STAMP = re.compile(r"([0-9]{1,18})(?:\.([0-9a-f]{4,64}))?")
# The one book that is no file, to read a table without loading it.
IN_MEMORY = Path(":memory:")
_CONFIG: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
}


@dataclass(frozen=True)
class Stamp:
    """The record stamp: a batch's sequence, its head and when it was recorded."""

    sequence: int
    head: str
    recorded_at: datetime

    def __str__(self) -> str:
        return f"{self.sequence}.{self.head}"


@dataclass
class Book:
    """An open book; reads count batches up to `upto`. Long work tells `progress` how far it is.

    What is asked again and cannot have changed is answered by `answers`.
    """

    connection: duckdb.DuckDBPyConnection
    path: Path
    upto: int = 0
    written_on: date | None = None
    progress: Progress = SILENT
    answers: Answers = field(default_factory=Answers)
    # Those that were run, parsed if more than once: that is a tenth of what a small one takes.
    statements: dict[str, duckdb.Statement | None] = field(default_factory=dict, repr=False)

    def count_to(self, newest: int) -> None:
        """Read on up to a batch that none comes after: the last one, or that being written."""
        self.upto = self.answers.newest = newest

    def known_by(self, upto: int) -> "Book":
        """Return the same open book, read as known at a batch; this one reads on as it did."""
        return replace(self, upto=upto)

    def rows(self, query: str, **inputs: object) -> list[Row]:
        """Return the rows of the query file `query`; `upto` is given by the book if it is asked."""
        return list(self._answer(query, inputs).rows)

    def records(self, query: str, **inputs: object) -> list[dict[str, Any]]:
        """Return the rows of a query file, each as column name to value."""
        answer = self._answer(query, inputs)
        return [dict(zip(answer.columns, row, strict=True)) for row in answer.rows]

    def frame(self, query: str, **inputs: object) -> "pl.DataFrame":
        """Return the rows of a query file as a frame of its columns, decimals exact."""
        import polars as pl

        try:
            relation = self.connection.sql(
                queries.text(query), params=self.inputs_of(query, inputs)
            )
            return pl.DataFrame(relation)
        except duckdb.Error as error:
            raise translate(error) from error

    def _answer(self, query: str, inputs: Mapping[str, object]) -> Answer:
        return self._answered(query, queries.text(query), self.inputs_of(query, inputs))

    def _answered(self, name: str, sql: str, inputs: Mapping[str, object]) -> Answer:
        key = self.answers.key(name, inputs)
        if answer := self.answers.kept(key):
            return answer
        cursor = self.execute(sql, inputs)
        columns = tuple(column[0] for column in cursor.description or [])
        answer = Answer(columns, tuple(cursor.fetchall()))
        self.answers.keep(key, answer)
        return answer

    def answer(self, query: str, record: Mapping[str, object], **inputs: object) -> None:
        """Remember the one record that a query gives from now on for its inputs."""
        answer = Answer(tuple(record), (tuple(record.values()),))
        self.answers.keep(self.answers.key(query, inputs), answer)

    def inputs_of(self, query: str, inputs: Mapping[str, object]) -> dict[str, object]:
        """Return the inputs a query file takes, with the book's own `upto`."""
        available = {"upto": self.upto, **inputs}
        wanted = queries.inputs(query)
        if "load_day" in wanted:
            available["load_day"] = self.load_day()
        return {name: available[name] for name in wanted}

    def load_day(self) -> date | None:
        """Return the day, in UTC, of the batch being written, else of the last that counts."""
        stamps = [] if self.written_on else self.rows("store/batch_stamp", sequence=self.upto)
        return stamps[0][2].date() if stamps else self.written_on

    def execute(
        self, sql: str, inputs: Mapping[str, object] | None = None
    ) -> duckdb.DuckDBPyConnection:
        """Run one statement.

        Raises: FairhoursError for every error of the driver.
        """
        self.answers.heed(sql)
        try:
            statement = self._parsed(sql)
            if not inputs:
                return self.connection.execute(statement)
            return self.connection.execute(statement, dict(inputs))
        except duckdb.Error as error:
            raise translate(error) from error

    def _parsed(self, sql: str) -> str | duckdb.Statement:
        """Return a statement as it was parsed where it is run again: its text alone decides that.

        One that is run once would only be copied for it.
        """
        statement = self.statements.get(sql)
        if statement is None and sql in self.statements:
            (statement,) = self.connection.extract_statements(sql)
        elif len(self.statements) >= MOST_STATEMENTS:
            self.statements.clear()
        self.statements[sql] = statement
        return statement or sql

    def stage(self, name: str, query: str, **inputs: object) -> int:
        """Keep the rows of a query in the temporary table `staged_<name>`; return how many."""
        made = self.execute(
            f"CREATE OR REPLACE TEMP TABLE staged_{name} AS FROM {queries.without_order(query)}",
            self.inputs_of(query, inputs),
        ).fetchone()
        return int(made[0]) if made else 0

    def stage_once(self, name: str, query: str, **inputs: object) -> int:
        """As `stage`, but not anew where the same facts are staged under the name already."""
        key = self.answers.key(query, self.inputs_of(query, inputs))
        count = self.answers.rows_staged(name, key)
        if count is None:
            count = self.stage(name, query, **inputs)
            self.answers.keep_staged(name, key, count)
        return count

    def view(self, name: str, select: str) -> None:
        """Let `staged_<name>` be what a SELECT of staged tables gives, not a copy of it."""
        if not self.answers.is_viewed(name, select):
            self.execute(f"CREATE OR REPLACE TEMP VIEW staged_{name} AS {select}")

    def view_of(self, name: str, query: str, **numbers: int) -> None:
        """Let `staged_<name>` be what a query file gives for whole numbers, not a copy of it."""
        inputs = self.inputs_of(query, numbers)
        self.view(name, f"FROM {queries.with_numbers(query, inputs)}")

    def stage_none(self, name: str, query: str) -> None:
        """Stage what a query gives where it can have no rows: planning it is what takes long."""
        self.execute(f"CREATE OR REPLACE TEMP TABLE staged_{name} ({queries.no_rows(query)})")

    def drop_staged(self) -> None:
        """Drop what is staged and cannot be used again: it slows down what follows."""
        names = self.answers.take_unkept()
        if names:
            # In one transaction: each of its own takes four times as long.
            self.execute("BEGIN TRANSACTION")
            for name in names:
                self.execute(f"DROP TABLE IF EXISTS staged_{name}")
            self.execute("COMMIT")

    def restage(self, name: str, other: str) -> None:
        """Let what is staged under a name be staged under another."""
        self.execute(f"DROP TABLE IF EXISTS staged_{other}")
        self.execute(f"ALTER TABLE staged_{name} RENAME TO staged_{other}")
        self.answers.rename_staged(name, other)

    def current(self, table: str) -> list[dict[str, Any]]:
        """Return the rows of a small fact table that count, without batch and row."""
        order = ", place_batch, place_row" if table in WITHDRAWABLE else ""
        name = f"current_{table}"
        answer = self._answered(
            name,
            f"SELECT * EXCLUDE (batch, row{order}) FROM {name}($upto) ORDER BY ALL",
            {"upto": self.upto},
        )
        return [dict(zip(answer.columns, row, strict=True)) for row in answer.rows]

    def stamp(self, sequence: int | None = None) -> Stamp:
        """Return the stamp of a batch, of the last that counts if none is named."""
        wanted = self.upto if sequence is None else sequence
        stamps = self.rows("store/batch_stamp", sequence=wanted)
        if not stamps:
            history = Remedy("history")
            raise Refused("batch_unknown", book=self.path, batch=wanted, remedy=history)
        number, head, recorded_at = stamps[0]
        return Stamp(number, head, recorded_at.replace(tzinfo=UTC))

    def withdrawn(self) -> frozenset[str]:
        """Return the tables of which any fact was ever withdrawn."""
        return frozenset(table for (table,) in self.rows("store/tables_withdrawn"))

    def last_sequence(self) -> int:
        """Return the sequence of the newest batch, 0 of an empty book."""
        newest = self._answer("store/batch_newest", {}).rows
        return int(newest[0][0]) if newest else 0

    def setting(self, name: str, default: str) -> str:
        """Return a setting of the yard as text."""
        rows = self.rows("store/setting_value", name=name)
        return str(rows[0][0]) if rows else default

    @property
    def rehearsal(self) -> bool:
        """Whether the book takes its instants from the command line."""
        return self.setting("book.rehearsal", "no") == "yes"

    def resolve(self, known_at: str | None) -> int:
        """Return the last batch that counts for a number, stamp, instant or date.

        Raises: Refused when it names no batch of this book.
        """
        last = self.last_sequence()
        self.count_to(last)
        if known_at is None:
            return last
        if match := _STAMP.fullmatch(known_at.lower()):
            return self._stamped(known_at, int(match[1]), match[2] or "", last)
        moment = self._moment(known_at)
        sequence: int = self.rows("store/batch_by_instant", moment=moment)[0][0]
        if not sequence:
            begun = self.stamp(1).recorded_at
            raise Refused("known_at_before_book", known_at=known_at, begun=begun)
        return sequence

    def last_by(self, day: date) -> int:
        """Return the last batch recorded by the end of a day in the yard's zone, 0 without any."""
        moment = _end_of(day, ZoneInfo(self.setting("yard.zone", "UTC")))
        return int(self.rows("store/batch_by_instant", moment=moment)[0][0])

    def _stamped(self, known_at: str, sequence: int, head: str, last: int) -> int:
        if not 1 <= sequence <= last:
            raise Refused("known_at_beyond", known_at=known_at, last=last)
        if not self.stamp(sequence).head.startswith(head):
            raise Refused("known_at_other_head", known_at=known_at, batch=sequence)
        return sequence

    def _moment(self, known_at: str) -> datetime:
        zone = ZoneInfo(self.setting("yard.zone", "UTC"))
        try:
            if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", known_at):
                return _end_of(date.fromisoformat(known_at), zone)
            moment = datetime.fromisoformat(known_at)
        except ValueError:
            raise Refused("known_at_unreadable", known_at=known_at) from None
        return _in_utc(moment if moment.tzinfo else moment.replace(tzinfo=zone))


def _end_of(day: date, zone: ZoneInfo) -> datetime:
    """Return the last microsecond of a day in a zone, as UTC without one."""
    if day == date.max:
        return LATEST
    end = _in_utc(datetime.combine(day + timedelta(days=1), time(), zone))
    return max(end, EARLIEST + MICROSECOND) - MICROSECOND


def _in_utc(moment: datetime) -> datetime:
    """Return an instant as UTC without a zone; at the ends of the calendar the last one it has."""
    try:
        return moment.astimezone(UTC).replace(tzinfo=None)
    except OverflowError:
        return LATEST if moment.year > 1 else EARLIEST


def connect(path: Path, *, read_only: bool) -> duckdb.DuckDBPyConnection:
    """Return a connection to the file.

    Raises: BookHeld while another process holds it; BookError when it is no book.
    """
    try:
        config = {**_CONFIG, "memory_limit": memory()}
        # A whole path is never taken for the name of another kind of database.
        name = str(path if path is IN_MEMORY else path.absolute())
        return duckdb.connect(name, read_only=read_only, config=config)
    except duckdb.Error as error:
        raise translate(error) from error


@contextlib.contextmanager
def open_book(
    path: Path,
    *,
    known_at: str | None = None,
    wait: float = 10,
    writer: Holder | None = None,
    migrating: bool = False,
) -> Iterator[Book]:
    """Open a book for reading, or for writing when a writer is named, and close it again.

    Raises: BookError when there is none; BookHeld when it stays held for `wait` seconds.
    """
    if path.exists() and not path.is_file():
        raise BookError("book_is_no_file", book=path)
    if not path.is_file():
        raise BookError("book_missing", book=path, remedy=Remedy("new", book=path))
    holder = named_holder(path, writer) if writer else contextlib.nullcontext()
    reading = writer is None
    with contextlib.ExitStack() as turnstile:
        connection = open_in_turn(
            path,
            wait,
            lambda: connect(path, read_only=reading),
            writing=not reading,
            staying=turnstile if writer and writer.alone else None,
        )
        with contextlib.closing(connection), holder, rare_collection():
            book = Book(connection, path)
            _check_schema(book, migrating=migrating)
            book.upto = book.resolve(known_at)
            yield book


def _check_schema(book: Book, *, migrating: bool) -> None:
    try:
        version = book.rows("store/batch_schema")[0][0]
    except MemoryShort:
        raise
    except (BookError, IndexError):
        raise _no_book(book) from None
    if version < OLDEST:
        raise _early(book, version)
    if version < VERSION and not migrating:
        raise BookError(
            "book_older",
            book=book.path,
            schema=version,
            newest=VERSION,
            remedy=Remedy("migrate", book=book.path),
        )
    if version > VERSION:
        raise BookError("book_newer", book=book.path, schema=version, newest=VERSION)


def _no_book(book: Book) -> BookError:
    """Return what is said of a file without the batches of a book; early ones had no secrets."""
    try:
        return _early(book, book.rows("store/batch_schema_early")[0][0])
    except (BookError, IndexError):
        return BookError("book_foreign", book=book.path)


def _early(book: Book, version: int) -> BookError:
    return BookError("book_too_old", book=book.path, schema=version)
