"""The commands that show what may be claimed of a job, and its account."""

from typing import Annotated

import typer

from ledger.cli.context import Format, Job, chosen, day_of, to_read
from ledger.cli.figures import say_closed
from ledger.cli.output import FORMATS, give, to_json

To = Annotated[str | None, typer.Option("--to", help="the last day that counts, 2026-05-31")]


def claimable(context: typer.Context, job: Job, to: To = None, format: Format = "table") -> None:
    """Show what may be claimed of a job by a day, and what is left out and why.

    Value to date less what was certified, retention and the advance recovered; without tax.
    Whether and when it is due is a matter of the contract and local law.

    Example: fairhours claimable --job FERRY --to 2026-05-31
    """
    from ledger.cli.claim_tables import claimable_table
    from ledger.commands.claims import claimable as known_claimable
    from ledger.commands.claims_as_json import claimable_json

    chosen("--format", format, FORMATS)
    known = known_claimable(to_read(context), job, day_of(to, "--to"))
    if format == "json":
        give(to_json(claimable_json(known)))
    else:
        claimable_table(known.claimable, format)


def account(context: typer.Context, job: Job, to: To = None, format: Format = "table") -> None:
    """Show the account of a job: its sum, value to date, certified, invoiced, paid, outstanding.

    Without tax; what is invoiced, credited, paid and outstanding is with tax. With its claims, how
    each invoice stands, what is overdue for how long, and the retention kept by claim. Without
    --to: the usual day, or that of the newest claim, invoice or payment if later.

    Example: fairhours account --job FERRY --to 2026-05-31
    """
    from ledger.cli.claim_tables import account_table
    from ledger.commands.claims import account as known_account
    from ledger.commands.claims_as_json import account_json

    chosen("--format", format, FORMATS)
    known = known_account(to_read(context), job, day_of(to, "--to"))
    if format == "json":
        give(to_json(account_json(known)))
    else:
        say_closed(known.closed_to, known.stamp)
        account_table(known, format)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command()(claimable)
    app.command()(account)
