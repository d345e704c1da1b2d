"""The options that stand before the command, and how commands open the book with them."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from inspect import signature
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from ledger.cli import progress
from ledger.domain.handles import LOCAL, is_handle
from ledger.domain.parsing import FIRST_DAY, LAST_DAY
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.commands.access import ReadAccess, WriteAccess

Format = Annotated[str, typer.Option("--format", help="table, json or csv")]
TableOrJson = Annotated[str, typer.Option("--format", help="table or json")]
Job = Annotated[str, typer.Option("--job", help="the code of the job")]
Day = Annotated[str | None, typer.Option("--status-date", help="count work up to this day")]
Reason = Annotated[str, typer.Option("--reason", help="why, in words; kept with your handle")]
MoveHours = Annotated[
    bool, typer.Option("--move-hours", help="load even if hours move out of a job")
]
DryRun = Annotated[bool, typer.Option("--dry-run", help="show what it would do; write nothing")]
WithClosed = Annotated[
    bool, typer.Option("--with-closed", help="entries of closed periods too, as late adjustments")
]
Layout = Annotated[
    str | None,
    typer.Option("--layout", help="a TOML file, or the name of a layout in the book"),
]
Files = Annotated[list[Path], typer.Argument(help="the files to load")]
Made = TypeVar("Made")


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
        """The handle of who acts. Raises: WrongUsage when it is none."""
        if self.actor is None:
            return LOCAL
        if not is_handle(self.actor):
            raise WrongUsage("handle_unreadable", given=self.actor)
        return self.actor

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

    def write_access(self) -> "WriteAccess":
        from ledger.commands.access import WriteAccess

        return WriteAccess(
            self.book, self.who, self.instant, self.wait, progress=progress.progress()
        )


def to_read(context: typer.Context) -> "ReadAccess":
    """Return how the book is read, as known at the moment asked for."""
    from ledger.commands.access import ReadAccess

    options: Options = context.obj
    return ReadAccess(options.book, options.known_at, options.wait, progress.progress())


def to_write(context: typer.Context) -> "WriteAccess":
    """Return how the book is written. Raises: WrongUsage when a moment to read at is given."""
    options: Options = context.obj
    if options.known_at is not None:
        raise WrongUsage("known_at_of_writing")
    return options.write_access()


def day_of(text: str | None, option: str = "--status-date") -> date | None:
    """Return the day of an option that may be left out. Raises: WrongUsage when it is none."""
    return None if text is None else day_given(text, option)


def day_given(text: str, option: str) -> date:
    """Return the day of an option. Raises: WrongUsage when it is none."""
    from ledger.domain.parsing import parse_date

    try:
        return parse_date(text)
    except ValueError as error:
        raise WrongUsage("option_astray", option=option, why=str(error)) from None


def chosen(option: str, value: str, words: tuple[str, ...]) -> str:
    """Return the value when it is one of the words. Raises: WrongUsage otherwise."""
    if value not in words:
        raise WrongUsage("word_unknown", option=option, given=value, words=words)
    return value


def taken(made_of: Callable[..., Made], typed: dict[str, object]) -> Made:
    """Return what a function or a group makes of its options; they are taken out of those typed."""
    return made_of(**{name: typed.pop(name) for name in signature(made_of).parameters})
