"""Commands that put things right: held lines and re-issues shown and ended."""

from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli.context import Format, Reason, chosen, reading, write
from ledger.cli.output import FORMATS, give_rows, hours_shown, say
from ledger.errors import WrongUsage

# One order of columns in every format; on the terminal the raw text alone is left out.
HELD_FIRST = ("file", "line", "reason", "message")
HELD_READ = ("held_line", "sheet", "worker_id", "date", "hours", "booking_code")
SomeLines = Annotated[list[str] | None, typer.Argument(help="held lines as batch.row, 5.3")]
OfFile = Annotated[str | None, typer.Option("--file", help="all held lines of this file")]
HeldFor = Annotated[
    str | None, typer.Option("--reason-is", help="all lines held for this reason, same_as_sheet")
]
Reissues = Annotated[list[str], typer.Argument(help="re-issues as batch.row, 5.3")]


def group(what: str) -> typer.Typer:
    """Return a group of commands that begin with one verb."""
    return typer.Typer(help=what, no_args_is_help=True, rich_markup_mode=None)


release = group("Book held lines as they read.")
reject = group("Reject what is held: it is not booked.")
confirm = group("Accept a re-issued sheet.")
correct = group("Book a held line, or an entry anew, with what is right in place.")


def putting_right(
    context: typer.Context,
    command: str,
    work: Callable[[Any, Any], list[str]],
    *,
    summary: Callable[[Any, Any], list[str]] = lambda _, __: [],
    dry_run: bool = False,
) -> None:
    """Run what puts something right as one batch, look at all places anew, and say what came.

    The summary is told once the places are posted. A dry run writes nothing.
    """
    from ledger.sheets.doubts import told_of_batch
    from ledger.sheets.placing import post_places

    def whole(book: Any, batch: Any) -> list[str]:
        batch.dry_run = dry_run
        said = work(book, batch)
        post_places(book, batch)
        return summary(book, batch) + said + told_of_batch(book, batch)

    said = write(context, command, whole)
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")
    for line in said:
        say(line)


@release.command("line")
def release_line(
    context: typer.Context,
    reason: Reason,
    lines: SomeLines = None,
    file: OfFile = None,
    reason_is: HeldFor = None,
) -> None:
    """Book held lines as they read; a line that may be one of the book is booked as another.

    Example: fairhours release line 15.4 --reason "the hours of the whole gang"
    """
    from ledger.sheets.held import Chosen, release_lines

    chosen = Chosen(lines or (), file, reason_is)
    putting_right(
        context, "release line", lambda book, batch: release_lines(book, batch, chosen, reason)
    )


@reject.command("line")
def reject_line(
    context: typer.Context,
    reason: Reason,
    lines: SomeLines = None,
    file: OfFile = None,
    reason_is: HeldFor = None,
) -> None:
    """End held lines without booking them, as a copy of what is booked.

    Example: fairhours reject line --file week-14.csv --reason-is same_as_sheet --reason "a copy"
    """
    from ledger.sheets.held import Chosen, reject_lines

    chosen = Chosen(lines or (), file, reason_is)
    putting_right(
        context, "reject line", lambda book, batch: reject_lines(book, batch, chosen, reason)
    )


@correct.command("line")
def correct_held_line(
    context: typer.Context,
    line: Annotated[str, typer.Argument(help="a held line as batch.row, 5.3")],
    changes: Annotated[list[str], typer.Argument(help="field=value, as many as are wrong")],
    reason: Reason,
) -> None:
    """Book a held line with fields corrected; its raw text stays as it was.

    Example: fairhours correct line 15.4 worker_id=B2 hours=7.5 --reason "asked the foreman"
    """
    from ledger.sheets.held import correct_line

    putting_right(
        context,
        "correct line",
        lambda book, batch: correct_line(book, batch, line, changes, reason),
    )


@confirm.command("reissue")
def confirm_reissue(context: typer.Context, reissues: Reissues, reason: Reason) -> None:
    """Let re-issued sheets count: equal lines stay, others are reversed, new ones booked.

    Example: fairhours confirm reissue 16.1 --reason "the foreman's second copy is right"
    """
    from ledger.sheets.reissues import confirm_reissues

    putting_right(
        context,
        "confirm reissue",
        lambda book, batch: confirm_reissues(book, batch, reissues, reason),
    )


@reject.command("reissue")
def reject_reissue(context: typer.Context, reissues: Reissues, reason: Reason) -> None:
    """Leave sheets as they were; the new lines of the re-issue end rejected.

    Example: fairhours reject reissue 16.1 --reason "an older copy"
    """
    from ledger.sheets.reissues import reject_reissues

    putting_right(
        context,
        "reject reissue",
        lambda book, batch: reject_reissues(book, batch, reissues, reason),
    )


def reissues(context: typer.Context, format: Format = "table") -> None:
    """List the re-issued sheets that wait, line by line with what confirming would do.

    Example: fairhours reissues
    """
    from ledger.sheets.reissues import open_steps

    chosen("--format", format, FORMATS)
    with reading(context) as book:
        rows = open_steps(book)
    for row in rows:
        row["hours"] = hours_shown(row.pop("ms"), format)
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
    """List the sheet lines that are held, with file, line, reason and what to do.

    The columns are the same in every format, but for the raw text, which is left out of the table.

    Example: fairhours held --format csv
    """
    from ledger.sheets.held_file import held_as_read

    chosen("--format", format, FORMATS)
    if out is not None:
        _write_held(context, out)
        return
    with reading(context) as book:
        rows = held_as_read(book)
    for row in rows:
        times = [time for time in (row["start"], row["finish"]) if time]
        row["hours"] = row["hours"] or "..".join(times) or None
    if by is None:
        raw = () if format == "table" else ("raw",)
        give_rows(format, (*HELD_FIRST, *raw, *HELD_READ), rows)
        return
    column = {"reason": "reason", "file": "file", "worker": "worker_id"}
    key = column[chosen("--by", by, tuple(column))]
    counted = Counter(row[key] for row in rows)
    order = sorted(counted, key=lambda each: (-counted[each], each or ""))
    give_rows(format, (by, "lines"), [{by: each, "lines": counted[each]} for each in order])


def _write_held(context: typer.Context, out: Path) -> None:
    from ledger.reports.yard.held_workbook import held_workbook
    from ledger.sheets.held_file import held_as_read
    from ledger.store.out_files import write_out

    if out.suffix.lower() != ".xlsx":
        raise WrongUsage("workbook_not_named", file=out)
    with reading(context) as book:
        rows, stamp = held_as_read(book), book.stamp()
    rows = [row for row in rows if row["reason"] != "re_issue"]
    write_out(out, held_workbook(rows, stamp.recorded_at))
    lines = "1 held line" if len(rows) == 1 else f"{len(rows)} held lines"
    say(f"{out}: {lines}; fill in correction and why, then `fairhours load held {out.name}`")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(release, name="release")
    app.add_typer(reject, name="reject")
    app.add_typer(correct, name="correct")
    app.add_typer(confirm, name="confirm")
    for command in (held, reissues):
        app.command()(command)
