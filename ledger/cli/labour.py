"""Commands about what labour took: variances by trade, and productivity lost."""

from typing import Annotated

import typer

from ledger.cli.context import Day, Format, Job, chosen, day_of, to_read
from ledger.cli.figures import say_closed
from ledger.cli.output import FORMATS, give, to_json

HOW = "PACKAGE:FROM..TO, from the day after a measurement to a measured day"
LeastAffected = Annotated[str, typer.Argument(help=f"the stretch least affected: {HOW}")]
Affected = Annotated[str, typer.Argument(help="the stretch affected")]


def labour_variances(
    context: typer.Context, job: Job, status_date: Day = None, format: Format = "table"
) -> None:
    """Show by trade why labour cost differs from what was earned: rate, idle, mix, yield.

    Example: fairhours labour-variances --job FERRY --status-date 2026-05-31
    """
    from ledger.cli.labour_tables import labour_variances_table
    from ledger.commands.labour import labour_variances as known_variances
    from ledger.commands.labour_as_json import labour_variances_json

    chosen("--format", format, FORMATS)
    known = known_variances(to_read(context), job, day_of(status_date))
    if format == "json":
        give(to_json(labour_variances_json(known)))
    else:
        say_closed(known.closed_to, known.stamp)
        labour_variances_table(known, format)


def measured_mile(
    context: typer.Context,
    job: Job,
    least_affected: LeastAffected,
    affected: Affected,
    format: Format = "table",
) -> None:
    """Compare hours a unit of two stretches of like work: the measured mile.

    Units are the quantities measured; without them it is refused.

    Example: fairhours measured-mile --job FERRY H3:2026-02-21..2026-03-06 H3:2026-03-21..2026-04-03
    """
    from ledger.cli.labour_tables import measured_mile_table
    from ledger.commands.labour import measured_mile as known_mile
    from ledger.commands.labour_as_json import measured_mile_json

    chosen("--format", format, FORMATS)
    known = known_mile(to_read(context), job, least_affected, affected)
    if format == "json":
        give(to_json(measured_mile_json(known)))
    else:
        measured_mile_table(known, format)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command()(labour_variances)
    app.command()(measured_mile)
