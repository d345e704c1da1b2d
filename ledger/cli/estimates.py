"""The commands for the next estimate: hours a unit achieved, and an estimate drawn up from them."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import Format, chosen, day_of, to_read
from ledger.cli.output import FORMATS, as_csv, give, say, to_json
from ledger.cli.quotes import quote
from ledger.cli.tables import as_table

To = Annotated[
    str | None, typer.Option("--to", help="count packages finished by this day; else all")
]


def achieved(context: typer.Context, to: To = None, format: Format = "table") -> None:
    """Show the hours that finished work took for each unit, by kind of work and trade.

    Of packages whose estimate has work_kind, quantity and unit, and of past-work; with rework.

    Example: fairhours achieved --to 2026-05-31
    """
    from ledger.commands.estimates import achieved as known_achieved
    from ledger.commands.estimates_as_json import achieved_json

    chosen("--format", format, FORMATS)
    known = known_achieved(to_read(context), day_of(to, "--to"))
    if format == "json":
        give(to_json(achieved_json(known)))
        return
    json_rows = [row.values() for row in achieved_json(known)["rows"]]
    rows = [[", ".join(v) if isinstance(v, list) else v for v in row] for row in json_rows]
    head = (
        *("work_kind", "unit", "trade", "packages", "jobs", "quantity", "hours"),
        *("hours_per_unit", "least", "most"),
    )
    if format == "csv":
        give(as_csv(head, rows))
    elif rows:
        give(as_table(head, rows))
    else:
        say("no finished package has a work_kind, a quantity and a unit; no past-work is loaded")


@quote.command("estimate")
def quote_estimate(
    context: typer.Context,
    quantities: Annotated[Path, typer.Argument(help="packages with work_kind, unit and quantity")],
    to: To = None,
) -> None:
    """Draw up an estimate from quantities, at the hours a unit that finished work took.

    CSV that loads as an estimate; look through it first: it knows nothing of what is different.

    Example: fairhours quote estimate quantities.csv > estimate.csv
    """
    from ledger.commands.estimates import ESTIMATE_HEAD, draw_up_estimate

    drawn = draw_up_estimate(to_read(context), quantities, day_of(to, "--to"))
    give(as_csv(ESTIMATE_HEAD, drawn.rows))
    for kind in drawn.of_one_package:
        say(f"{kind}: from one finished package alone")


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.command()(achieved)
