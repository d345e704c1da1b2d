"""The options that stand before the command, and how commands open the book with them."""

import contextlib
import getpass
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.domain.parsing import FIRST_DAY, LAST_DAY
from ledger.errors import WrongUsage

Format = Annotated[str, typer.Option("--format", help="table, json or csv")]
Job = Annotated[str, typer.Option("--job", help="the code of the job")]
Day = Annotated[str | None, typer.Option("--status-date", help="count work up to this day")]
Reason = Annotated[str, typer.Option("--reason", help="why, in words; kept with your name")]
MoveHours = Annotated[
    bool, typer.Option("--move-hours", help="do it even if hours leave a job where they stand")
]
Files = Annotated[list[Path], typer.Argument(help="the files to load")]


@dataclass(frozen=True)
class Options:
    """What was said before the command."""

    book: Path = Path("book.duckdb")
    known_at: str | None = None
    actor: str | None = None
    recorded_at: str | None = None
    wait: float = 10

    @property
    def who(self) -> str:
        return self.actor or getpass.getuser()

    @property
    def instant(self) -> datetime | None:
        if self.recorded_at is None:
            return None
        try:
            moment = datetime.fromisoformat(self.recorded_at)
        except ValueError:
            raise WrongUsage("instant_unreadable", given=self.recorded_at) from None
        if not FIRST_DAY <= moment.date() <= LAST_DAY:
            raise WrongUsage("instant_beyond", given=self.recorded_at)
        return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


@contextlib.contextmanager
def reading(context: typer.Context) -> Iterator[Any]:
    """Open the book for reading, as known at the moment asked for."""
    from ledger.store.book import open_book

    options: Options = context.obj
    with open_book(options.book, known_at=options.known_at, wait=options.wait) as book:
        yield book


def as_closed(context: typer.Context, book: Any, job: str | None, day: date) -> date | None:
    """Let the book be read as known when the period of a day was closed; return its last day.

    None, and the book as it is, when the period is open or --known-at was given. Raises: Refused
    when the book did not have the job then.
    """
    from ledger.errors import Refused, Remedy
    from ledger.jobs.periods import closing_of

    options: Options = context.obj
    closing = None if options.known_at is not None else closing_of(book, day)
    if closing is None:
        return None
    now, book.upto = book.upto, closing.sequence
    if job is not None and not book.rows("jobs/job_card", job=job):
        as_now = Remedy("known_at", known_at=now)
        raise Refused("job_not_yet_known", job=job, closed_to=closing.closed_to, remedy=as_now)
    return closing.closed_to


def write(
    context: typer.Context,
    command: str,
    work: Callable[[Any, Any], Any],
    *,
    migrating: bool = False,
    after: Callable[[Any, Any], Any] = lambda _, result: result,
) -> Any:
    """Run `work(book, batch)` as one batch; return `after(book, result)` of what it returned."""
    from ledger.store.batches import Writing, batch
    from ledger.store.book import open_book
    from ledger.store.locking import Holder

    options: Options = context.obj
    if options.known_at is not None:
        raise WrongUsage("known_at_of_writing")
    writing = Writing(options.who, command, options.instant)
    holder = Holder(options.who, command)
    with open_book(options.book, wait=options.wait, writer=holder, migrating=migrating) as book:
        with batch(book, writing) as open_batch:
            result = work(book, open_batch)
        return after(book, result)


def day_of(text: str | None, option: str = "--status-date") -> date | None:
    """Return the day of an option. Raises: WrongUsage when it is none."""
    from ledger.domain.parsing import parse_date

    if text is None:
        return None
    try:
        return parse_date(text)
    except ValueError as error:
        raise WrongUsage("option_astray", option=option, why=str(error)) from None


def chosen(option: str, value: str, words: tuple[str, ...]) -> str:
    """Return the value when it is one of the words. Raises: WrongUsage otherwise."""
    if value not in words:
        raise WrongUsage("word_unknown", option=option, given=value, words=words)
    return value
