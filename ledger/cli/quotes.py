"""Commands that quote, and write nothing: changes, and rates built up from their items."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.change_options import Text
from ledger.cli.context import (
    Day,
    Format,
    Job,
    TableOrJson,
    chosen,
    day_given,
    day_of,
    to_read,
)
from ledger.cli.corrections import group
from ledger.cli.output import FORMATS, as_csv, give, say, to_json
from ledger.errors import WrongUsage

quote = group("Quote a change or a rate; nothing is written.")


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


@quote.command("rate")
def quote_rate(
    file: Annotated[Path, typer.Argument(help="items by trade: a CSV or a workbook")],
    places: Annotated[
        int, typer.Option("--places", min=0, max=4, help="decimals of each line of money")
    ] = 2,
    out: Annotated[
        Path | None, typer.Option("--out", help="write the rates as a file for `load rates`")
    ] = None,
    effective_from: Annotated[
        str | None, typer.Option("--from", help="with --out: the day from which they hold")
    ] = None,
    format: Format = "table",
) -> None:
    """Build up what an hour of labour costs, from the items of a year: wage, insurance, leave.

    Leave is either paid in the cost or taken out of the hours. What an employer has to pay is for
    local law. Nothing is written into a book.

    Example: fairhours quote rate build-up.csv --out rates.csv --from 2026-01-01
    """
    from ledger.cli.rate_tables import rate_rows, rate_table
    from ledger.commands.rates import build_rates, rates_json, write_rates

    chosen("--format", format, FORMATS)
    if (out is None) != (effective_from is None):
        raise WrongUsage("options_missing", options=("--from" if out else "--out",))
    built = build_rates(file, places)
    if out is not None and effective_from is not None:
        write_rates(built, day_given(effective_from, "--from"), out)
        say(f"{out}: {len(built.rates)} rates; look them through, then `fairhours load rates`")
    if format == "json":
        give(to_json(rates_json(built)))
    elif format == "csv":
        give(as_csv(*rate_rows(built)))
    else:
        rate_table(built)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(quote, name="quote")
