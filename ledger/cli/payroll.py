"""Commands about hours paid beside hours booked."""

from typing import Annotated

import typer

from ledger.cli.context import Format, chosen, day_given, day_of, to_read, to_write
from ledger.cli.output import FORMATS, give, say_all, to_json
from ledger.cli.pages import Out, Paper, PdfVariant, Templates, report, say_made

From = Annotated[str, typer.Option("--from", help="the first day, 2026-03-01")]
To = Annotated[str, typer.Option("--to", help="the last day")]
Worker = Annotated[str | None, typer.Option("--worker", help="of this worker alone")]
Exact = Annotated[bool, typer.Option("--exact", help="add whole milliseconds, in JSON")]


def hours(
    context: typer.Context,
    from_: Annotated[
        str | None, typer.Option("--from", help="the first day; all if left out")
    ] = None,
    to: Annotated[str | None, typer.Option("--to", help="the last day; all if left out")] = None,
    by: Annotated[str, typer.Option(help="week or day")] = "week",
    job: Annotated[str | None, typer.Option("--job", help="hours of this job alone")] = None,
    format: Format = "table",
) -> None:
    """Show hours booked by worker and week or day, with subtotals, Saturdays and overtime apart.

    Overtime is above the thresholds of the settings, over all jobs; what is above a week's belongs
    to the days in which the week ends.

    Example: fairhours hours --from 2026-03-01 --to 2026-03-31 --by week
    """
    from ledger.cli.payroll_tables import hours_table
    from ledger.commands.payroll import hours as known_hours
    from ledger.commands.payroll_as_json import hours_json
    from ledger.payroll.hours import HoursAsked

    chosen("--format", format, FORMATS)
    chosen("--by", by, ("week", "day"))
    asked = HoursAsked(day_of(from_, "--from"), day_of(to, "--to"), job, by)
    known = known_hours(to_read(context), asked)
    if format == "json":
        give(to_json(hours_json(known)))
    else:
        hours_table(known, format)


def reconciliation(
    context: typer.Context,
    from_: From,
    to: To,
    worker: Worker = None,
    exact: Exact = False,
    format: Format = "table",
) -> None:
    """Show hours paid beside hours booked in periods that end in these days, and why they differ.

    Hourly people stand against payroll, salaried ones against the hours of their contract, those
    of agencies and subcontractors against their supplier's hours.

    With --worker the lines of payroll and of sheets behind the rows are listed.

    Example: fairhours reconciliation --from 2026-03-01 --to 2026-03-31
    """
    from ledger.cli.payroll_tables import reconciliation_table
    from ledger.commands.payroll import reconciliation as known_reconciliation
    from ledger.commands.payroll_as_json import reconciliation_json

    chosen("--format", format, FORMATS)
    days = day_given(from_, "--from"), day_given(to, "--to")
    known = known_reconciliation(to_read(context), *days, worker)
    if format == "json":
        give(to_json(reconciliation_json(known, exact=exact)))
    else:
        reconciliation_table(known, format)


sign = typer.Typer(help="Sign off hours.", no_args_is_help=True, rich_markup_mode=None)


@sign.command("off")
def sign_off(
    context: typer.Context,
    from_: From,
    to: To,
    worker: Worker = None,
    reason: Annotated[
        str | None, typer.Option("--reason", help="why hours unexplained or not paid are waived")
    ] = None,
) -> None:
    """Sign off the rows of a reconciliation as they stand, under your handle.

    Without --reason only rows that are settled. A row whose hours change later is open again.

    Example: fairhours --actor OF sign off --from 2026-03-01 --to 2026-03-31
    """
    from ledger.cli.wording.payroll import signed_lines
    from ledger.commands.payroll import sign_off as sign_rows
    from ledger.payroll.signing import OffAsked

    asked = OffAsked(day_given(from_, "--from"), day_given(to, "--to"), worker, reason)
    say_all(signed_lines(sign_rows(to_write(context), asked)))


def report_reconciliation(
    context: typer.Context,
    from_: From,
    to: To,
    out: Out,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make the accountant's report of hours paid and booked: what is open, why, and sign-off.

    Of the pay periods that end in these days. It names workers and is not meant for owners.

    Example: fairhours report reconciliation --from 2026-03-01 --to 2026-03-31 --out march.pdf
    """
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.pages import PageAsked
    from ledger.commands.pages import reconciliation as make

    days = day_given(from_, "--from"), day_given(to, "--to")
    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    made = make(to_read(context), *days, page)
    say_made(made, f"from {days[0]} to {days[1]}")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    report.command("reconciliation")(report_reconciliation)
    app.command()(hours)
    app.command()(reconciliation)
    app.add_typer(sign, name="sign")
