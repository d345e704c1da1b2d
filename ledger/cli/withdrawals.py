"""Commands that withdraw facts which were typed or loaded wrongly."""

from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli.context import MoveHours, Reason, write
from ledger.cli.output import say

withdraw = typer.Typer(
    help="Withdraw what was entered wrongly.", no_args_is_help=True, rich_markup_mode=None
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
    """Withdraw facts: they no longer count, and what followed from them is worked out again.

    `fairhours show TABLE` has the ids. Without --with, the right fact is entered apart and counts
    from then. As known before, everything stays as it was.

    Example: fairhours withdraw fact rate:12.3 --reason "from the wrong day" --with rate.csv
    """
    from ledger.inputs.withdrawal_files import RightFile
    from ledger.inputs.withdrawing import withdraw_facts
    from ledger.sheets.attendance import load_attendance
    from ledger.sheets.doubts import told_of_batch
    from ledger.sheets.placing import look_again

    file = RightFile(right, {"attendance": load_attendance}) if right else None

    def work(book: Any, batch: Any) -> list[str]:
        said = withdraw_facts(book, batch, facts, reason, file)
        said += look_again(book, batch, move_hours=move_hours)
        return said + told_of_batch(book, batch)

    for line in write(context, "withdraw fact", work):
        say(line)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(withdraw, name="withdraw")
