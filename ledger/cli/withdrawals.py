"""Commands that withdraw facts which were typed or loaded wrongly."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import MoveHours, Reason, to_write
from ledger.cli.output import say_all

withdraw = typer.Typer(
    help="Withdraw facts entered by mistake.", no_args_is_help=True, rich_markup_mode=None
)


@withdraw.command("fact")
def withdraw_fact(
    context: typer.Context,
    facts: Annotated[list[str], typer.Argument(help="facts as table:batch.row, rate:12.3")],
    reason: Reason,
    right: Annotated[
        Path | None,
        typer.Option("--with", help="a file with the right fact, which takes its place"),
    ] = None,
    move_hours: MoveHours = False,
) -> None:
    """Withdraw facts: they no longer count, and what followed from them is recalculated.

    `fairhours show TABLE` has the ids. Without --with, the right fact is entered apart and counts
    from then. Figures as known earlier stay as they were.

    Example: fairhours withdraw fact rate:12.3 --reason "from the wrong day" --with rate.csv
    """
    from ledger.cli.wording.withdrawals import withdrawn_lines
    from ledger.commands.withdrawals import withdraw_facts

    access = to_write(context)
    done = withdraw_facts(access, facts, reason, right=right, move_hours=move_hours)
    say_all(withdrawn_lines(done))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(withdraw, name="withdraw")
