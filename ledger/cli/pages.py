"""Commands that make pages: report and demo."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import Day, Job, day_of, reading
from ledger.cli.output import give, say

report = typer.Typer(help="Make a report.", no_args_is_help=True, rich_markup_mode=None)
Out = Annotated[Path, typer.Option("--out", help="a file ending in .pdf, .html, .xlsx or .json")]


@report.command()
def variations(
    context: typer.Context,
    job: Job,
    out: Out,
    status_date: Day = None,
    paper: Annotated[str | None, typer.Option("--paper", help="A4 or Letter")] = None,
) -> None:
    """Make the owner's statement of variations and open requests.

    Example: fairhours report variations --job FERRY --status-date 2026-05-31 --out variations.pdf
    """
    from ledger.reports.owner_build import build
    from ledger.reports.rendering import write

    with reading(context) as book:
        view = build(book, job.strip().upper(), day_of(status_date))
        recorded_at = book.stamp().recorded_at
        paper = paper or book.setting("yard.paper", "A4")
    write(view, out, recorded_at=recorded_at, paper=paper)
    say(f"{out}: {view.job.code} on {view.status_date}, record stamp {view.known_at.sequence}")


def demo(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="DIR")] = Path("demo"),
) -> None:
    """Build the small sample job in a new folder and make the owner's report of it.

    Example: fairhours demo
    """
    from ledger.cli.demonstration import demonstrate

    for line in demonstrate(folder, say):
        give(line)


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(report, name="report")
    app.command()(demo)
