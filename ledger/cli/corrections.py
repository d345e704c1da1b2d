"""Commands that put things right: held lines and re-issues shown and ended."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import Format, Reason, chosen, to_read, to_write
from ledger.cli.output import FORMATS, give_rows, hours_in_format, say, say_all
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.commands.access import ReadAccess

# One order of columns in every format; on the terminal the raw text alone is left out.
HELD_FIRST = ("file", "line", "reason", "message")
HELD_READ = ("held_line", "sheet", "worker_id", "date", "hours", "booking_code")
SomeLines = Annotated[list[str] | None, typer.Argument(help="held lines as batch.row, 5.3")]
OfFile = Annotated[str | None, typer.Option("--file", help="all held lines of this file")]
HeldFor = Annotated[
    str | None, typer.Option("--reason-is", help="all lines held for this reason, as same_as_sheet")
]
Reissues = Annotated[list[str], typer.Argument(help="re-issues as batch.row, 5.3")]


def group(what: str) -> typer.Typer:
    """Return a group of commands that begin with one verb."""
    return typer.Typer(help=what, no_args_is_help=True, rich_markup_mode=None)


release = group("Book held lines as they are.")
reject = group("Reject held lines or a re-issued sheet.")
confirm = group("Accept a re-issued sheet.")
correct = group("Correct a held line or an entry.")


@release.command("line")
def release_line(
    context: typer.Context,
    reason: Reason,
    lines: SomeLines = None,
    file: OfFile = None,
    reason_is: HeldFor = None,
) -> None:
    """Book held lines as they are; one that may be a copy is booked as a line of its own.

    Example: fairhours release line 15.4 --reason "the hours of the whole gang"
    """
    from ledger.cli.wording.held_lines import put_right_lines
    from ledger.commands.held_lines import release_lines
    from ledger.sheets.held import Chosen

    chosen = Chosen(lines or (), file, reason_is)
    say_all(put_right_lines(release_lines(to_write(context), chosen, reason)))


@reject.command("line")
def reject_line(
    context: typer.Context,
    reason: Reason,
    lines: SomeLines = None,
    file: OfFile = None,
    reason_is: HeldFor = None,
) -> None:
    """Reject held lines: they are not booked.

    Example: fairhours reject line --file week-14.csv --reason-is same_as_sheet --reason "a copy"
    """
    from ledger.cli.wording.held_lines import put_right_lines
    from ledger.commands.held_lines import reject_lines
    from ledger.sheets.held import Chosen

    chosen = Chosen(lines or (), file, reason_is)
    say_all(put_right_lines(reject_lines(to_write(context), chosen, reason)))


@correct.command("line")
def correct_held_line(
    context: typer.Context,
    line: Annotated[str, typer.Argument(help="a held line as batch.row, 5.3")],
    changes: Annotated[list[str], typer.Argument(help="field=value, one for each wrong field")],
    reason: Reason,
) -> None:
    """Book a held line with fields corrected; its raw text stays as it was.

    Example: fairhours correct line 15.4 worker_id=B2 hours=7.5 --reason "asked the foreman"
    """
    from ledger.cli.wording.held_lines import put_right_lines
    from ledger.commands.held_lines import correct_line

    say_all(put_right_lines(correct_line(to_write(context), line, changes, reason)))


@confirm.command("reissue")
def confirm_reissue(context: typer.Context, reissues: Reissues, reason: Reason) -> None:
    """Accept re-issued sheets: equal lines stay, others are reversed, new ones are booked.

    Example: fairhours confirm reissue 16.1 --reason "the foreman's second copy is right"
    """
    from ledger.cli.wording.held_lines import confirmed_lines
    from ledger.commands.held_lines import confirm_reissues

    say_all(confirmed_lines(confirm_reissues(to_write(context), reissues, reason)))


@reject.command("reissue")
def reject_reissue(context: typer.Context, reissues: Reissues, reason: Reason) -> None:
    """Reject re-issued sheets: the sheets stay as they were, the new lines are rejected.

    Example: fairhours reject reissue 16.1 --reason "an older copy"
    """
    from ledger.cli.wording.held_lines import rejected_lines
    from ledger.commands.held_lines import reject_reissues

    say_all(rejected_lines(reject_reissues(to_write(context), reissues, reason)))


def reissues(context: typer.Context, format: Format = "table") -> None:
    """List open re-issues line by line, with what confirming would do.

    Example: fairhours reissues
    """
    from ledger.commands.held_lines import open_reissues

    chosen("--format", format, FORMATS)
    rows = open_reissues(to_read(context))
    for row in rows:
        row["hours"] = hours_in_format(row.pop("ms"), format)
    head = ("reissue", "file", "sheet", "worker_id", "day", "step", "hours", "booking_code", "note")
    give_rows(format, (*head, "place", "entry"), rows)


def held(
    context: typer.Context,
    by: Annotated[str | None, typer.Option("--by", help="count by reason, file or worker")] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="a workbook to write corrections into, FILE.xlsx")
    ] = None,
    format: Format = "table",
) -> None:
    """List held lines with file, line, reason and what to do.

    Every format has the same columns, except that the table leaves out the raw text.

    Example: fairhours held --format csv
    """
    from ledger.commands.held_lines import COUNTED_BY, held_counted, held_lines

    chosen("--format", format, FORMATS)
    access = to_read(context)
    if out is not None:
        _write_held(access, out)
    elif by is None:
        raw = () if format == "table" else ("raw",)
        give_rows(format, (*HELD_FIRST, *raw, *HELD_READ), held_lines(access))
    else:
        counts = held_counted(access, chosen("--by", by, tuple(COUNTED_BY)))
        give_rows(format, (by, "lines"), [{by: each, "lines": count} for each, count in counts])


def _write_held(access: "ReadAccess", out: Path) -> None:
    from ledger.cli.wording.pages import LOAD_HELD
    from ledger.commands.held_lines import write_workbook

    if out.suffix.lower() != ".xlsx":
        raise WrongUsage("workbook_not_named", file=out)
    lines = counted(write_workbook(access, out, LOAD_HELD), "held line", "held lines")
    say(f"{out}: {lines}; fill in correction and why, then `fairhours load held {out.name}`")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(release, name="release")
    app.add_typer(reject, name="reject")
    app.add_typer(correct, name="correct")
    app.add_typer(confirm, name="confirm")
    for command in (held, reissues):
        app.command()(command)
