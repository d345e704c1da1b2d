"""Commands about hours paid beside hours booked."""

from typing import Annotated

import typer

from ledger.cli.context import Format, chosen, day_given, to_read
from ledger.cli.output import FORMATS, give, to_json

From = Annotated[str, typer.Option("--from", help="the first day, 2026-03-01")]
To = Annotated[str, typer.Option("--to", help="the last day")]
Worker = Annotated[str | None, typer.Option("--worker", help="of this worker alone")]
Exact = Annotated[bool, typer.Option("--exact", help="add whole milliseconds, in JSON")]


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


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command()(reconciliation)
