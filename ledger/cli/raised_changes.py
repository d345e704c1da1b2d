"""A change raised from hours that the owner caused: its options, and how it is entered."""

from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import day_of, to_write
from ledger.cli.output import say, say_all

if TYPE_CHECKING:
    from ledger.commands.notices import CausedHours
    from ledger.inputs.change_entry import ChangeInput

Text = str | None
Cause = Annotated[
    Text, typer.Option("--cause", help="raise it from the hours of this cause of the owner's")
]
CausedFrom = Annotated[Text, typer.Option("--from", help="with --cause: from this day on")]
CausedUntil = Annotated[Text, typer.Option("--until", help="with --cause: up to this day")]
CausedReason = Annotated[
    Text, typer.Option("--reason", help="with --cause: why the hours are the change's")
]


def caused_hours(
    cause: str, from_: Text, until: Text, reason: Text, *, with_closed: bool
) -> "CausedHours":
    """Return which hours a change is raised from, as typed."""
    from ledger.commands.notices import CausedHours

    days = day_of(from_, "--from"), day_of(until, "--until")
    return CausedHours(cause, *days, reason, with_closed)


def raise_change(
    context: typer.Context, change: "ChangeInput", hours: "CausedHours", *, dry_run: bool
) -> None:
    """Enter the change, tag the hours to it, and say what moved."""
    from ledger.cli.wording.raised_changes import raised_lines
    from ledger.commands.notices import raise_change as raised

    done = raised(to_write(context), change, hours, dry_run=dry_run)
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")
    say_all(raised_lines(done))
