"""Commands that put things right: entries reversed, held lines ended, and what became of them."""

from collections import Counter
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli.context import Format, Reason, chosen, day_of, reading, write
from ledger.cli.output import FORMATS, give, give_rows, hours_shown, known_at, say, to_json
from ledger.errors import Refused, WrongUsage

# Of a held line machines are given all that was written, people what was read of it.
HELD_WHOLE = ("file", "line", "reason", "message", "raw", "held_line")
HELD_READ = ("held_line", "file", "line", "worker_id", "date", "hours", "booking_code", "message")
SomeLines = Annotated[list[str] | None, typer.Argument(help="held lines as batch.row, 5.3")]
OfFile = Annotated[str | None, typer.Option("--file", help="all held lines of this file")]
HeldFor = Annotated[
    str | None, typer.Option("--reason-is", help="all lines held for this reason, same_as_sheet")
]
Reissues = Annotated[list[str], typer.Argument(help="re-issues as batch.row, 5.3")]
Entries = Annotated[list[str], typer.Argument(help="entries as batch.row, 5.3")]


def _group(what: str) -> typer.Typer:
    return typer.Typer(help=what, no_args_is_help=True, rich_markup_mode=None)


reverse = _group("Reverse what was booked wrongly.")
undo = _group("Undo what was put right wrongly.")
release = _group("Book held lines as they read.")
reject = _group("Reject what is held: it is not booked.")
confirm = _group("Accept a re-issued sheet.")
correct = _group("Book a held line with what is right in place.")


def putting_right(context: typer.Context, command: str, work: Any) -> None:
    """Run what puts something right as one batch, look at all places anew, and say what came."""
    from ledger.intake.doubts import told_of_batch
    from ledger.tagging.placing import post_places

    def whole(book: Any, batch: Any) -> list[str]:
        said: list[str] = work(book, batch)
        post_places(book, batch)
        return said + told_of_batch(book, batch)

    for line in write(context, command, whole):
        say(line)


@reverse.command("entry")
def reverse_entry(context: typer.Context, entries: Entries, reason: Reason) -> None:
    """Reverse entries: their hours are taken back where they stand, nothing is taken out.

    Example: fairhours reverse entry 15.4 --reason "booked for the wrong day"
    """
    from ledger.intake.reversals import reverse_entries

    putting_right(
        context, "reverse entry", lambda book, batch: reverse_entries(book, batch, entries, reason)
    )


@undo.command("reversal")
def undo_reversal(context: typer.Context, entries: Entries, reason: Reason) -> None:
    """Undo reversals, named by the entry or by its reversal: the entry stands again.

    Example: fairhours undo reversal 15.4 --reason "the day was right after all"
    """
    from ledger.intake.reversals import undo_reversals

    putting_right(
        context, "undo reversal", lambda book, batch: undo_reversals(book, batch, entries, reason)
    )


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
    from ledger.intake.held import Chosen, release_lines

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
    from ledger.intake.held import Chosen, reject_lines

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
    from ledger.intake.held import correct_line

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
    from ledger.intake.reissues import confirm_reissues

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
    from ledger.intake.reissues import reject_reissues

    putting_right(
        context,
        "reject reissue",
        lambda book, batch: reject_reissues(book, batch, reissues, reason),
    )


def reissues(context: typer.Context, format: Format = "table") -> None:
    """List the re-issued sheets that wait, line by line with what confirming would do.

    Example: fairhours reissues
    """
    from ledger.intake.reissues import open_steps

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

    Example: fairhours held --format csv
    """
    from ledger.intake.held_file import held_as_read

    chosen("--format", format, FORMATS)
    if out is not None:
        _write_held(context, out)
        return
    whole = by is None and format != "table"
    with reading(context) as book:
        rows = book.records("held_lines") if whole else held_as_read(book)
    if not whole:
        for row in rows:
            times = [time for time in (row["start"], row["finish"]) if time]
            row["hours"] = row["hours"] or "..".join(times) or None
    if by is None:
        give_rows(format, HELD_WHOLE if whole else HELD_READ, rows)
        return
    column = {"reason": "reason", "file": "file", "worker": "worker_id"}
    key = column[chosen("--by", by, tuple(column))]
    counted = Counter(row[key] for row in rows)
    order = sorted(counted, key=lambda each: (-counted[each], each or ""))
    give_rows(format, (by, "lines"), [{by: each, "lines": counted[each]} for each in order])


def _write_held(context: typer.Context, out: Path) -> None:
    from ledger.intake.held_file import held_as_read
    from ledger.reports.held_workbook import held_workbook

    if out.suffix.lower() != ".xlsx":
        raise WrongUsage(f'--out "{out}": name a file that ends in .xlsx')
    with reading(context) as book:
        rows, stamp = held_as_read(book), book.stamp()
    rows = [row for row in rows if row["reason"] != "re_issue"]
    try:
        out.write_bytes(held_workbook(rows, stamp.recorded_at))
    except OSError as error:
        raise Refused(f"{out}: cannot be written ({error.strerror})") from None
    lines = "1 held line" if len(rows) == 1 else f"{len(rows)} held lines"
    say(f"{out}: {lines}; fill in correction and why, then `fairhours load held {out.name}`")


def trace(
    context: typer.Context,
    entry: Annotated[str, typer.Argument(help="an entry, or with --line a sheet line: batch.row")],
    line: Annotated[bool, typer.Option("--line", help="it is the id of a sheet line")] = False,
    format: Format = "table",
) -> None:
    """Show the life of an entry: the raw line, corrections, places, reversals, by whom and why.

    Example: fairhours trace 15.4
    """
    from ledger.intake.tracing import life

    chosen("--format", format, FORMATS)
    with reading(context) as book:
        rows, stamp = life(book, entry, of_line=line), book.stamp()
    for row in rows:
        row["hours"] = hours_shown(row.pop("ms"), format)
    if format == "json":
        named = "line" if line else "entry"
        give(to_json({named: entry, "life": rows, "known_at": known_at(stamp)}))
        return
    head = ("batch", "recorded_at", "actor", "event", "entry", "hours", "place", "detail")
    give_rows(format, head, rows)


def entries(
    context: typer.Context,
    worker: Annotated[str | None, typer.Option("--worker", help="of this worker")] = None,
    day: Annotated[str | None, typer.Option("--day", help="of this day")] = None,
    sheet: Annotated[str | None, typer.Option("--sheet", help="of this sheet")] = None,
    format: Format = "table",
) -> None:
    """List entries with their ids, where they stand, and whether they were reversed.

    Example: fairhours entries --worker A1 --day 2026-03-05
    """
    chosen("--format", format, FORMATS)
    asked = {"worker": worker.strip().upper() if worker else None, "day": day_of(day, "--day")}
    with reading(context) as book:
        rows = book.records("entries_known", sheet=sheet, **asked)
    for row in rows:
        row["hours"] = hours_shown(row.pop("ms"), format)
    head = ("entry", "day", "worker_id", "hours", "booking_code", "sheet", "booked_to", "state")
    give_rows(format, (*head, "file", "line"), rows)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(reverse, name="reverse")
    app.add_typer(undo, name="undo")
    app.add_typer(release, name="release")
    app.add_typer(reject, name="reject")
    app.add_typer(correct, name="correct")
    app.add_typer(confirm, name="confirm")
    for command in (held, reissues, trace, entries):
        app.command()(command)
