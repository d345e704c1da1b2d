"""Commands that erase what was typed: texts, and a worker's name."""

from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import Reason, to_write
from ledger.cli.output import say

if TYPE_CHECKING:
    from ledger.commands.erasing import Erased

erase = typer.Typer(
    help="Erase texts; seals and totals stay.", no_args_is_help=True, rich_markup_mode=None
)

# How many ids are shown of the rows that name somebody.
SHOWN = 20
forget = typer.Typer(help="Erase a person's name.", no_args_is_help=True, rich_markup_mode=None)


@erase.command("text")
def erase_text(
    context: typer.Context,
    facts: Annotated[
        list[str], typer.Argument(help="rows as table:batch.row, change_event:12.3; or batch:12")
    ],
    reason: Reason,
) -> None:
    """Erase the texts of rows for good: names, notes, reasons, descriptions, file names.

    `fairhours show TABLE` has the ids, `show person_name` those of people who asked, approved or
    answered; batch:NUMBER erases who wrote a batch and by which command.
    The book's file is made anew without them. Copies of it elsewhere keep them.

    Example: fairhours erase text progress:12.3 --reason "names a person's illness"
    """
    from ledger.commands import erasing

    _say(erasing.erase_texts(to_write(context), facts, reason))


@forget.command("worker")
def forget_worker(
    context: typer.Context,
    worker: Annotated[str, typer.Argument(help="the worker's id")],
    reason: Reason,
) -> None:
    """Erase every recorded name and alias of a worker; the hours stay under the id.

    The book's file is made anew without it. Copies of it elsewhere keep it.

    Example: fairhours forget worker W07 --reason "left in 2019, asked for it"
    """
    from ledger.commands import erasing

    _say(erasing.forget_worker(to_write(context), worker, reason))


def _say(done: "Erased") -> None:
    for place in done.places:
        say(f"{place.id}: erased {', '.join(place.columns)}")
    if not done.places:
        say("already erased; no batch was added")
    say("the book was copied anew; copies, exports and pages made earlier still hold the text")
    if left := done.left:
        ids = ", ".join(place.id for place in left[:SHOWN])
        more = f" and {len(left) - SHOWN} more" if len(left) > SHOWN else ""
        say(f"the name also appears in {ids}{more}; `fairhours erase text` erases it there")
    if kept := done.kept:
        more = f" and {len(kept) - SHOWN} more" if len(kept) > SHOWN else ""
        say(
            f"documents stay as issued until they need not be kept: {', '.join(kept[:SHOWN])}{more}"
        )


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(erase, name="erase")
    app.add_typer(forget, name="forget")
