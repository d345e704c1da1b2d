"""Commands about tags: hours booked by hand to where they belong, and what is left to tag."""

from typing import Annotated

import typer

from ledger.cli.context import DryRun, Reason, WithClosed, day_of, to_write
from ledger.cli.corrections import group
from ledger.cli.output import say, say_all
from ledger.errors import WrongUsage

tag = group("Tag entries by hand.")


@tag.command("entries")
def tag_entries(
    context: typer.Context,
    to: Annotated[str, typer.Option("--to", help="a code, JOB CODE, or a kind of place")],
    reason: Reason,
    ids: Annotated[list[str] | None, typer.Argument(help="entries as batch.row, 5.3")] = None,
    cause: Annotated[
        str | None, typer.Option("--cause", help="of non_productive, overhead or absence")
    ] = None,
    rework: Annotated[
        str | None, typer.Option("--rework", help="work done again, for this cause; or none")
    ] = None,
    worker: Annotated[str | None, typer.Option("--worker", help="of this worker")] = None,
    day: Annotated[str | None, typer.Option("--day", help="of this day")] = None,
    from_: Annotated[str | None, typer.Option("--from", help="from this day on")] = None,
    until: Annotated[str | None, typer.Option("--until", help="up to this day")] = None,
    code: Annotated[
        str | None, typer.Option("--code", help='with this booking code; "" for none')
    ] = None,
    note: Annotated[
        str | None, typer.Option("--note-contains", help="with this text in the note")
    ] = None,
    file: Annotated[str | None, typer.Option("--file", help="of lines of this file")] = None,
    place: Annotated[
        str | None, typer.Option("--place", help="booked to this place or cause now")
    ] = None,
    job: Annotated[str | None, typer.Option("--job", help="booked to this job now")] = None,
    untagged: Annotated[bool, typer.Option("--untagged", help="with untagged hours")] = False,
    with_closed: WithClosed = False,
    dry_run: DryRun = False,
) -> None:
    """Book entries by hand to where they belong; this stands over rules and codes.

    The place is a package's, change's or cause's code, FERRY HULL where several jobs have it, or
    non_productive, overhead, absence or untagged. `withdraw fact hand_tag:15.1` takes a tag back.

    Example: fairhours tag entries --code HULL2 --to HULL --reason "the foreman's old code"
    """
    from ledger.cli.wording.tags import tagged_lines
    from ledger.commands.tags import tag_entries as by_hand
    from ledger.sheets.hand_tags import Tag, TagFilter

    if day is not None and (from_ or until):
        raise WrongUsage("day_and_days")
    first, last = day_of(day or from_, "--from"), day_of(day or until, "--until")
    which = TagFilter(ids or (), worker, first, last, code, note, file, place, job, untagged)
    as_typed = Tag(to, reason, cause, rework)
    done = by_hand(to_write(context), which, as_typed, with_closed=with_closed, dry_run=dry_run)
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")
    say_all(tagged_lines(done))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(tag, name="tag")
