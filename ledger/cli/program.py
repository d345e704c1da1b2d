"""The command `fairhours`: options that stand before the command, and the commands."""

import errno
from pathlib import Path
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from ledger import __version__
from ledger.cli import progress
from ledger.cli.colour import marked
from ledger.cli.command_modules import MODULES_OF, commands_of
from ledger.cli.context import Options
from ledger.cli.output import say
from ledger.cli.tables import WIDE
from ledger.errors import FairhoursError, WrongUsage

LONGEST_WAIT = 86_400


class CommandGroup(TyperGroup):
    """The group of commands, each made when it is asked for.

    What is refused is said once, with its exit code.
    """

    def list_commands(self, ctx: Any) -> list[str]:
        if [*self.commands] != [*MODULES_OF]:
            self.commands = commands_of(MODULES_OF)
        return super().list_commands(ctx)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        if cmd_name not in MODULES_OF:
            # What is said of an unknown one names those that are like it.
            self.list_commands(ctx)
        elif cmd_name not in self.commands:
            self.commands.update(commands_of([cmd_name]))
        return super().get_command(ctx, cmd_name)

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except FairhoursError as error:
            from ledger.cli.refusals.worded import refusal

            say(refusal(error))
            raise typer.Exit(error.exit_code) from None
        except OSError as error:
            # Of the machine: a pipe that nobody reads any more ends the program quietly.
            if error.errno == errno.EPIPE:
                raise
            where = f"{error.filename}: " if error.filename else ""
            say(marked(f"{where}cannot be read or written: {error.strerror}"))
            raise typer.Exit(FairhoursError.exit_code) from None
        finally:
            progress.end()


app = typer.Typer(
    cls=CommandGroup,
    add_completion=False,
    rich_markup_mode=None,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="Hours of one-off builds: what was earned, what the owner asked for, and the proof.",
)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"fairhours {__version__}")
        raise typer.Exit


@app.callback()
def options(
    context: typer.Context,
    book: Annotated[
        Path, typer.Option("--book", envvar="FAIRHOURS_BOOK", help="the book's file")
    ] = Path("book.duckdb"),
    known_at: Annotated[
        str | None,
        typer.Option(
            "--known-at", help="show what was recorded by a batch, stamp, instant or date"
        ),
    ] = None,
    actor: Annotated[
        str | None,
        typer.Option(
            "--actor",
            envvar="FAIRHOURS_ACTOR",
            help="who acts: a worker id or initials; else local",
        ),
    ] = None,
    recorded_at: Annotated[
        str | None, typer.Option("--recorded-at", help="the instant to record (rehearsal books)")
    ] = None,
    wait: Annotated[float, typer.Option("--wait", help="seconds to wait for the book")] = 10,
    wide: Annotated[
        bool, typer.Option("--wide", help="all columns of tables, however wide they are")
    ] = False,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="show the version")
    ] = False,
) -> None:
    """Hours of one-off builds: what was earned, what the owner asked for, and the proof.

    Example: fairhours --book yard.duckdb performance --job FERRY
    """
    if not 0 <= wait <= LONGEST_WAIT:
        raise WrongUsage("wait_beyond", wait=wait, longest=LONGEST_WAIT)
    WIDE.set(wide)
    context.obj = Options(book, known_at, actor, recorded_at, wait)
