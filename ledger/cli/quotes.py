"""The command that quotes changes: cost, charge, hours and days, written nowhere."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.change_options import Text
from ledger.cli.context import Day, Job, TableOrJson, chosen, day_of, to_read
from ledger.cli.corrections import group
from ledger.cli.output import give, to_json

quote = group("Quote a change; nothing is written.")


@quote.command("change")
def quote_change(
    context: typer.Context,
    job: Job,
    change: Annotated[Text, typer.Argument(help="the change's number, if it has one")] = None,
    lines: Annotated[
        list[Path] | None,
        typer.Option("--lines", help="a file of price lines, as change-lines; twice to compare"),
    ] = None,
    basis: Annotated[
        str, typer.Option("--basis", help="of lines that belong to no change yet")
    ] = "fixed_price",
    status_date: Day = None,
    format: TableOrJson = "table",
) -> None:
    """Show what a change would cost, charge, take and delay, from its price or from files of lines.

    Several quotes stand side by side. Days and finish are an estimate, by a rule that is printed.
    Nothing is written and nothing goes to the owner.

    Example: fairhours quote change --job FERRY CR4

    Example: fairhours quote change --job FERRY --lines oak.csv --lines larch.csv
    """
    from ledger.cli.quote_tables import quote_table
    from ledger.commands.quotes import ToQuote
    from ledger.commands.quotes import quote_change as quoted_of
    from ledger.commands.quotes_as_json import quoted_json
    from ledger.domain.change_life import CHANGE_BASES

    chosen("--format", format, ("table", "json"))
    chosen("--basis", basis, CHANGE_BASES)
    wanted = ToQuote(job, change, tuple(lines or ()), basis, day_of(status_date))
    quoted = quoted_of(to_read(context), wanted)
    if format == "json":
        give(to_json(quoted_json(quoted)))
    else:
        quote_table(quoted)


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.add_typer(quote, name="quote")
