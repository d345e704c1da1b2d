"""Commands that show figures: performance and overrun."""

from datetime import date
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import Day, Format, Job, TableOrJson, chosen, day_of, to_read
from ledger.cli.figures_tables import overrun_table, performance_table
from ledger.cli.output import FORMATS, give, say, to_json

if TYPE_CHECKING:
    from ledger.store.book import Stamp

Exact = Annotated[bool, typer.Option("--exact", help="add whole units and fractions (json)")]


def performance(
    context: typer.Context,
    job: Job,
    status_date: Day = None,
    baseline: Annotated[str, typer.Option(help="current or original")] = "current",
    in_: Annotated[str, typer.Option("--in", help="hours or cost")] = "hours",
    by: Annotated[
        str, typer.Option("--by", help="job, control-account, work-package or trade")
    ] = "job",
    exact: Exact = False,
    format: Format = "table",
) -> None:
    """Show where a job stands and where it will end: earned value, forecasts, time.

    Example: fairhours performance --job FERRY --status-date 2026-05-31 --by trade
    """
    from ledger.cli.wording.completeness import reason
    from ledger.commands.figures import performance as measured
    from ledger.commands.figures_as_json import performance_json
    from ledger.performance.grouping import GROUPS
    from ledger.performance.report import PerformanceAsked

    asked = PerformanceAsked(
        job,
        day_of(status_date),
        chosen("--baseline", baseline, ("current", "original")),
        chosen("--in", in_, ("hours", "cost")),
        chosen("--by", by, GROUPS),
    )
    chosen("--format", format, FORMATS)
    known = measured(to_read(context), asked)
    if format == "json":
        give(to_json(performance_json(known, reason=reason, exact=exact)))
    else:
        say_closed(known.closed_to, known.stamp)
        performance_table(known.performance, format)


def say_closed(closed_to: date | None, stamp: "Stamp") -> None:
    if closed_to is not None:
        say(
            f"closed to {closed_to}: as known then, record stamp {stamp.sequence}; "
            "`fairhours periods` lists late adjustments"
        )


def overrun(
    context: typer.Context,
    job: Job,
    status_date: Day = None,
    in_: Annotated[str, typer.Option("--in", help="hours, cost or charge")] = "hours",
    exact: Exact = False,
    format: Format = "table",
) -> None:
    """Explain step by step why the hours changed, who asked for it and who bears it.

    In charge: from the contract sum to the anticipated final sum, by change, as `changes` has it.

    Example: fairhours overrun --job FERRY --status-date 2026-05-31
    """
    from ledger.cli.wording.completeness import reason
    from ledger.commands.figures import overrun as explained
    from ledger.commands.figures_as_json import overrun_json

    chosen("--format", format, FORMATS)
    unit = chosen("--in", in_, ("hours", "cost", "charge"))
    if unit == "charge":
        _overrun_in_charge(context, job, status_date, format)
        return
    known = explained(to_read(context), job, day_of(status_date), unit)
    if format == "json":
        give(to_json(overrun_json(known, reason=reason, exact=exact)))
    else:
        say_closed(known.closed_to, known.stamp)
        overrun_table(known.overrun, format)


def _overrun_in_charge(context: typer.Context, job: str, status_date: Day, format: str) -> None:
    """Give the steps from the contract sum to the anticipated final sum."""
    from ledger.cli.change_tables import charge_table
    from ledger.commands.changes import overrun_in_charge
    from ledger.commands.changes_as_json import charge_json

    known = overrun_in_charge(to_read(context), job, day_of(status_date))
    if format == "json":
        give(to_json(charge_json(known)))
    else:
        say_closed(known.closed_to, known.stamp)
        charge_table(known, format)


def changes(
    context: typer.Context, job: Job, status_date: Day = None, format: Format = "table"
) -> None:
    """List every change of a job: price, hours, days, margin, attention, and the contract sum.

    Without --status-date: the usual one, or the latest day of a change if later.

    Example: fairhours changes --job FERRY --status-date 2026-05-31
    """
    from ledger.cli.change_tables import changes_table
    from ledger.cli.wording.completeness import reason
    from ledger.commands.changes import changes as known_changes
    from ledger.commands.changes_as_json import changes_json

    chosen("--format", format, FORMATS)
    known = known_changes(to_read(context), job, day_of(status_date))
    if format == "json":
        give(to_json(changes_json(known, reason=reason)))
    else:
        say_closed(known.closed_to, known.stamp)
        changes_table(known, format)


def status(
    context: typer.Context, job: Job, status_date: Day = None, format: TableOrJson = "table"
) -> None:
    """Show where a job stands on one screen: money, hours, time, changes, what to do.

    Without --status-date: the usual one, or the latest day of a change if later.

    Example: fairhours status --job FERRY
    """
    from ledger.cli.status_screen import screen_of
    from ledger.cli.wording.completeness import reason
    from ledger.commands.status import status as known_status
    from ledger.commands.status_as_json import status_json

    chosen("--format", format, ("table", "json"))
    known = known_status(to_read(context), job, day_of(status_date))
    if format == "json":
        give(to_json(status_json(known, reason=reason)))
    else:
        say_closed(known.closed_to, known.stamp)
        give(screen_of(known.status))


def show_change(
    context: typer.Context, job: str, change: str, status_date: date | None, format: str
) -> None:
    """Give one change with its life, prices, time by week and attachments."""
    from ledger.cli.change_tables import change_table
    from ledger.cli.wording.completeness import reason
    from ledger.commands.changes import show_change as known_change
    from ledger.commands.changes_as_json import change_shown_json

    chosen("--format", format, ("table", "json"))
    known = known_change(to_read(context), job, change, status_date)
    if format == "json":
        give(to_json(change_shown_json(known, reason=reason)))
    else:
        change_table(known)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for command in (performance, overrun, changes, status):
        app.command()(command)
