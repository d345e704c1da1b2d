"""Commands about entries: listed, corrected, and reversed one by one or with their file."""

from typing import Annotated, Any

import typer

from ledger.cli.context import DryRun, Format, Reason, chosen, day_of, to_read, to_write
from ledger.cli.corrections import correct, group
from ledger.cli.output import FORMATS, as_csv, give_rows, hours_in_format, say, say_all
from ledger.errors import WrongUsage

Entries = Annotated[list[str], typer.Argument(help="entries as batch.row, 5.3")]
Changes = Annotated[list[str], typer.Argument(help="field=value, one for each wrong field")]
ENTRY = ("entry", "day", "worker_id", "hours", "booking_code", "sheet", "booked_to", "state")
LISTED = (*ENTRY, "file", "line")

reverse = group("Reverse entries, a file or a batch.")
undo = group("Undo a reversal.")


@reverse.command("entry")
def reverse_entry(context: typer.Context, entries: Entries, reason: Reason) -> None:
    """Reverse entries: their hours are posted back, nothing is deleted.

    Example: fairhours reverse entry 15.4 --reason "booked for the wrong day"
    """
    from ledger.cli.wording.entries import put_right_lines
    from ledger.commands.entries import reverse_entries

    say_all(put_right_lines(reverse_entries(to_write(context), entries, reason)))


@reverse.command("file")
def reverse_file(
    context: typer.Context,
    file: Annotated[str, typer.Argument(help="the file's name, or the start of its digest")],
    reason: Reason,
    dry_run: DryRun = False,
) -> None:
    """Undo a file of sheets: reverse its entries, end its held lines; it can be loaded again.

    Example: fairhours reverse file week-14.csv --reason "loaded for the wrong job" --dry-run
    """
    from ledger.cli.wording.entries import taken_back_lines
    from ledger.commands.entries import reverse_loads
    from ledger.sheets.loads_named import Which

    done = reverse_loads(to_write(context), Which(file=file), reason, dry_run=dry_run)
    _say_dry_run(dry_run)
    say_all(taken_back_lines(done))


@reverse.command("batch")
def reverse_batch(
    context: typer.Context,
    number: Annotated[int, typer.Argument(help="the batch that loaded the sheets")],
    reason: Reason,
    dry_run: DryRun = False,
) -> None:
    """Undo a batch of sheets: all its files, as `reverse file` does for one.

    Example: fairhours reverse batch 15 --reason "the sheets of another yard" --dry-run
    """
    from ledger.cli.wording.entries import taken_back_lines
    from ledger.commands.entries import reverse_loads
    from ledger.sheets.loads_named import Which

    done = reverse_loads(to_write(context), Which(batch=number), reason, dry_run=dry_run)
    _say_dry_run(dry_run)
    say_all(taken_back_lines(done))


@undo.command("reversal")
def undo_reversal(context: typer.Context, entries: Entries, reason: Reason) -> None:
    """Undo reversals, named by the entry or by its reversal; the entry counts again.

    Example: fairhours undo reversal 15.4 --reason "the day was right after all"
    """
    from ledger.cli.wording.entries import put_right_lines
    from ledger.commands.entries import undo_reversals

    say_all(put_right_lines(undo_reversals(to_write(context), entries, reason)))


@correct.command("entry")
def correct_one_entry(
    context: typer.Context,
    entry: Annotated[str, typer.Argument(help="an entry as batch.row, 5.3")],
    changes: Changes,
    reason: Reason,
    dry_run: DryRun = False,
) -> None:
    """Reverse an entry and book it with fields corrected, in one batch.

    Example: fairhours correct entry 15.4 hours=7.5 --reason "the foreman's own book"
    """
    from ledger.cli.wording.entries import rebooked_lines
    from ledger.commands.entries import Correction, correct_entry

    right = Correction(changes, reason)
    done = correct_entry(to_write(context), entry, right, dry_run=dry_run)
    _say_dry_run(dry_run)
    say_all(rebooked_lines(done))


@correct.command("entries")
def correct_all_entries(
    context: typer.Context,
    changes: Changes,
    reason: Reason,
    file: Annotated[
        str | None, typer.Option("--file", help="of this file, by name or start of its digest")
    ] = None,
    batch: Annotated[
        int | None, typer.Option("--batch", help="of the sheets that this batch loaded")
    ] = None,
    dry_run: DryRun = False,
) -> None:
    """Correct all entries of a file or batch alike, such as their job or code.

    Example: fairhours correct entries --file week-14.csv job=FERRY --reason "no job was named"
    """
    from ledger.cli.wording.entries import rebooked_lines
    from ledger.commands.entries import Correction, correct_entries
    from ledger.sheets.loads_named import Which

    if (file is None) == (batch is None):
        raise WrongUsage("entries_not_named")
    right = Correction(changes, reason)
    done = correct_entries(to_write(context), Which(file, batch), right, dry_run=dry_run)
    _say_dry_run(dry_run)
    say_all(rebooked_lines(done))


def _say_dry_run(dry_run: bool) -> None:
    if dry_run:
        say("dry run, nothing was written; without --dry-run:")


def entries(
    context: typer.Context,
    worker: Annotated[str | None, typer.Option("--worker", help="of this worker")] = None,
    day: Annotated[str | None, typer.Option("--day", help="of this day")] = None,
    from_: Annotated[str | None, typer.Option("--from", help="of this day and later")] = None,
    to: Annotated[str | None, typer.Option("--to", help="of this day and earlier")] = None,
    sheet: Annotated[str | None, typer.Option("--sheet", help="of this sheet")] = None,
    file: Annotated[str | None, typer.Option("--file", help="of lines of this file")] = None,
    job: Annotated[str | None, typer.Option("--job", help="booked to this job")] = None,
    untagged: Annotated[bool, typer.Option("--untagged", help="with untagged hours")] = False,
    format: Format = "table",
) -> None:
    """List entries with their ids, where they are booked, and whether they were reversed.

    Example: fairhours entries --worker A1 --day 2026-03-05
    """
    from ledger.commands.entries import EntriesAsked
    from ledger.commands.entries import entries as known

    chosen("--format", format, FORMATS)
    days = day_of(from_, "--from"), day_of(to, "--to")
    asked = EntriesAsked(worker, day_of(day, "--day"), sheet, file, job, untagged, *days)
    rows = known(to_read(context), asked)
    for row in rows:
        row["hours"] = hours_in_format(row.pop("ms"), format)
    give_rows(format, LISTED, rows)


def entries_csv(rows: list[dict[str, Any]]) -> str:
    """Return entries as CSV, as `entries` gives them."""
    cells = [{**row, "hours": hours_in_format(row["ms"], "csv")} for row in rows]
    return as_csv(LISTED, [[row[name] for name in LISTED] for row in cells])


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(reverse, name="reverse")
    app.add_typer(undo, name="undo")
    app.command()(entries)
