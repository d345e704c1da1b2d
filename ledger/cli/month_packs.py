"""The command that makes a month's reports of a job together."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import Job, day_given, day_of, to_read
from ledger.cli.output import say_all
from ledger.cli.pages import (
    LastDay,
    LastStamp,
    Paper,
    PdfVariant,
    Templates,
    last_statement,
    report,
)


def report_month(
    context: typer.Context,
    job: Job,
    to: Annotated[str, typer.Option("--to", metavar="DATE", help="the last day that counts")],
    out: Annotated[Path, typer.Option("--out", help="a file ending in .zip, or a folder for it")],
    from_: Annotated[
        str | None,
        typer.Option("--from", metavar="DATE", help="the first day; else that of the month"),
    ] = None,
    since: LastDay = None,
    since_known_at: LastStamp = None,
    paper: Paper = "",
    templates: Templates = None,
    pdf_variant: PdfVariant = "",
) -> None:
    """Make all reports of a month in one ZIP: the owner's in one folder, the yard's in another.

    For the owner the statement and the claim, if one was issued to that day; for the yard the
    reports of overrun and performance, the account, the entries, and hours paid and booked.

    Example: fairhours report month --job FERRY --to 2026-05-31 --out FERRY-2026-05-31.zip
    """
    from ledger.cli.entries import entries_csv
    from ledger.cli.payroll_tables import reconciliation_csv
    from ledger.cli.wording.completeness import reason
    from ledger.cli.wording.month_packs import list_command, pack_lines
    from ledger.cli.wording.pages import COMMANDS
    from ledger.commands.month_packs import Lists, PackAsked, month_pack
    from ledger.commands.pages import PageAsked

    days = day_given(to, "--to"), day_of(from_, "--from")
    asked = PackAsked(job, *days, last_statement(since, since_known_at))
    page = PageAsked(out, paper, templates, pdf_variant, COMMANDS)
    lists = Lists(entries_csv, reconciliation_csv, list_command, reason)
    say_all(pack_lines(month_pack(to_read(context), asked, page, lists)))


def add_to(app: typer.Typer) -> None:
    """Add this command to the program's reports."""
    report.command("month")(report_month)
