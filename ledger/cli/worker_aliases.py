"""Commands about the names by which sheets name workers."""

from typing import Annotated

import typer

from ledger.cli.context import Reason, to_write
from ledger.cli.corrections import confirm
from ledger.cli.output import say_all


def confirm_alias(
    context: typer.Context,
    aliases: Annotated[list[str], typer.Argument(help="names as the sheets have them")],
    worker: Annotated[str, typer.Option("--worker", help="the worker's id")],
    reason: Reason,
) -> None:
    """Let a name on the sheets stand for a worker; lines held for it are booked.

    `held` offers the nearest names of the crew. `withdraw fact worker_alias:15.1` takes an alias
    back; hours booked by it stay.

    Example: fairhours confirm alias "J. Hollis" --worker W07 --reason "asked the foreman"
    """
    from ledger.cli.wording.worker_aliases import confirmed_lines
    from ledger.commands.worker_aliases import confirm_aliases

    say_all(confirmed_lines(confirm_aliases(to_write(context), aliases, worker, reason)))


def add_to(_: typer.Typer) -> None:
    """Add these commands to the program, in a group that it has."""
    confirm.command("alias")(confirm_alias)
