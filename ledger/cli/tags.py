"""Commands about tags: hours booked by hand to where they belong, and what is left to tag."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import (
    DryRun,
    Format,
    Reason,
    WithClosed,
    chosen,
    day_of,
    to_read,
    to_write,
)
from ledger.cli.corrections import group
from ledger.cli.loads import load
from ledger.cli.output import FORMATS, give, give_rows, hours_in_format, say, say_all, to_json
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

MaybeJob = Annotated[str | None, typer.Option("--job", help="booked to this job; else all")]

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


def load_tags(
    context: typer.Context,
    file: Annotated[Path, typer.Argument()],
    with_closed: WithClosed = False,
    dry_run: DryRun = False,
) -> None:
    """Tag entries by the places filled in in the workbook that `untagged --out` made.

    Example: fairhours load tags untagged.xlsx --dry-run
    """
    from ledger.cli.wording.tags import loaded_lines
    from ledger.commands.tags import load_tags as by_file

    done = by_file(to_write(context), file, with_closed=with_closed, dry_run=dry_run)
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")
    say_all(loaded_lines(done))


def untagged(
    context: typer.Context,
    by: Annotated[str, typer.Option("--by", help="code, worker or file")] = "code",
    job: MaybeJob = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="a workbook to choose places in, FILE.xlsx")
    ] = None,
    format: Format = "table",
) -> None:
    """List hours left to tag, most first: unknown codes, rules that disagree, doubtful places.

    Example: fairhours untagged --by worker
    """
    from ledger.commands.tags import untagged as left
    from ledger.commands.tags_as_json import untagged_json

    chosen("--format", format, FORMATS)
    chosen("--by", by, ("code", "worker", "file"))
    if out is not None:
        _write_untagged(context, out, job)
        return
    known = left(to_read(context), by, job)
    if format == "json":
        give(to_json(untagged_json(known)))
        return
    rows = [
        {**row, by: row["key"], "hours": hours_in_format(int(row["ms"]), format)}
        for row in known.rows
    ]
    give_rows(format, ("why", by, *LEFT), rows, ("why",))


LEFT = ("job", "hours", "entries", "workers", "first_day", "last_day")


def _write_untagged(context: typer.Context, out: Path, job: str | None) -> None:
    from ledger.cli.wording.pages import LOAD_TAGS
    from ledger.commands.tags import write_workbook

    if out.suffix.lower() != ".xlsx":
        raise WrongUsage("workbook_not_named", file=out)
    entries = counted(write_workbook(to_read(context), out, LOAD_TAGS, job), "entry", "entries")
    say(f"{out}: {entries}; fill in place and why, then `fairhours load tags {out.name}`")


def tagging(context: typer.Context, job: MaybeJob = None, format: Format = "table") -> None:
    """Show by week how many hours are tagged by code, by rule and by hand, and untagged.

    Doubtful hours are those whose place is in doubt; they are in the other columns too.

    Example: fairhours tagging --job FERRY
    """
    from ledger.commands.tags import tagging as by_week
    from ledger.commands.tags_as_json import SOURCES, tagged_percent, tagging_json

    chosen("--format", format, FORMATS)
    known = by_week(to_read(context), job)
    if format == "json":
        give(to_json(tagging_json(known)))
        return
    places = 1 if format == "table" else 4
    rows = [
        {
            "week": row["week"],
            **{
                f"{name}_hours": hours_in_format(int(row[f"{name}_ms"]), format) for name in SOURCES
            },
            "tagged_percent": tagged_percent(row, places),
        }
        for row in known.weeks
    ]
    give_rows(format, ("week", *(f"{name}_hours" for name in SOURCES), "tagged_percent"), rows)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(tag, name="tag")
    load.command("tags")(load_tags)
    for command in (untagged, tagging):
        app.command()(command)
