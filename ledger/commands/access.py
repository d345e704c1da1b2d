"""How commands come to the book: for reading as known at a moment, or for writing one batch."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from ledger.errors import Refused, Remedy
from ledger.jobs.periods import closing_of
from ledger.progress import SILENT, Progress
from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import Book, open_book
from ledger.store.locking import Holder


@dataclass(frozen=True)
class ReadAccess:
    """The book to read, as known at a moment (None: now), and the seconds to wait for it.

    A caller with many commands opens the book once; `kept` is that book and the last batch that
    counts in it. `progress` is told how far long work is.
    """

    path: Path
    known_at: str | None = None
    wait: float = 10
    progress: Progress = SILENT
    kept: tuple[Book, int] | None = None

    @contextlib.contextmanager
    def reading(self) -> Iterator[Book]:
        """Open the book, read as known at the moment asked for, and close it again."""
        if self.kept:
            book, upto = self.kept
            book.drop_staged()
            book.upto = upto
            yield book
            return
        with open_book(self.path, known_at=self.known_at, wait=self.wait) as book:
            book.progress = self.progress
            yield book

    @contextlib.contextmanager
    def kept_open(self) -> Iterator["ReadAccess"]:
        """Open the book once, and give it to the commands that follow: all see the same record."""
        with self.reading() as book:
            yield replace(self, kept=(book, book.upto))

    def at(self, known_at: int) -> "ReadAccess":
        """Return the same book, read as known at a batch."""
        kept = (self.kept[0], known_at) if self.kept else None
        return replace(self, known_at=str(known_at), kept=kept)

    def as_closed(self, book: Book, job: str | None, day: date) -> date | None:
        """Let a book be read as known when the period of a day was closed; return its last day.

        None, and the book as it is, when the period is open or a moment was asked for. Raises:
        Refused when the book did not have the job then.
        """
        closing = None if self.known_at is not None else closing_of(book, day)
        if closing is None:
            return None
        now, book.upto = book.upto, closing.sequence
        if job is not None and not book.rows("jobs/job_card", job=job):
            as_now = Remedy("known_at", known_at=now)
            raise Refused("job_not_yet_known", job=job, closed_to=closing.closed_to, remedy=as_now)
        return closing.closed_to

    def as_read(self, book: Book, job: str | None, day: date) -> date | None:
        """As `as_closed`, and so too where just the batch is asked for that it was closed at.

        So a page that is made again by the command it names says what it said.
        """
        if self.known_at is None:
            return self.as_closed(book, job, day)
        closing = closing_of(book.known_by(book.last_sequence()), day)
        return closing.closed_to if closing and closing.sequence == book.upto else None


@dataclass(frozen=True)
class WriteAccess:
    """The book to write, who writes, and when (of rehearsal books only).

    A caller with many commands opens the book once and gives it; else each opens and closes it.
    `progress` is told how far long work is.
    """

    path: Path
    actor: str
    recorded_at: datetime | None = None
    wait: float = 10
    book: Book | None = None
    progress: Progress = SILENT

    @contextlib.contextmanager
    def opened(self, command: str, *, migrating: bool = False) -> Iterator[Book]:
        """Give the book, open to be written by a command."""
        if self.book:
            self.book.drop_staged()
            self.book.written_on, self.book.upto = None, self.book.resolve(None)
            yield self.book
            return
        holder = Holder(self.actor, command)
        with open_book(self.path, wait=self.wait, writer=holder, migrating=migrating) as book:
            book.progress = self.progress
            yield book

    @contextlib.contextmanager
    def kept_open(self, command: str) -> Iterator["WriteAccess"]:
        """Open the book once, and give it to the commands that follow."""
        with self.opened(command) as book:
            yield replace(self, book=book)

    def batch(self, book: Book, command: str) -> contextlib.AbstractContextManager[Batch]:
        """Give a batch of the open book, sealed when it ends."""
        return batch(book, self.writing_of(command))

    def writing_of(self, command: str) -> Writing:
        return Writing(self.actor, command, self.recorded_at)

    @contextlib.contextmanager
    def writing(self, command: str, *, dry_run: bool = False) -> Iterator[tuple[Book, Batch]]:
        """Give the book and a batch of it; a dry run is undone when it ends."""
        with self.opened(command) as book, self.batch(book, command) as open_batch:
            open_batch.dry_run = dry_run
            yield book, open_batch
