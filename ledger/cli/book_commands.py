"""Commands about the book itself: new, check, history, show, export."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import Format, Options, chosen, reading
from ledger.cli.output import FORMATS, give, give_rows, say


def new(
    context: typer.Context,
    rehearsal: Annotated[
        bool,
        typer.Option("--rehearsal", help="a book that takes --recorded-at; says so everywhere"),
    ] = False,
) -> None:
    """Make an empty book.

    Example: fairhours --book yard.duckdb new
    """
    from ledger.store.batches import Writing, new_book

    options: Options = context.obj
    writing = Writing(options.who, "new", options.instant)
    new_book(options.book, writing, rehearsal=rehearsal)
    say(f"{options.book}: a new book{', a rehearsal' if rehearsal else ''}")


def migrate(context: typer.Context) -> None:
    """Bring a book of an older version up to this one; keep a copy first.

    Example: fairhours --book yard.duckdb migrate
    """
    from ledger.cli.context import write
    from ledger.store.migrating import migrate as bring_up

    say(write(context, "migrate", bring_up, migrating=True))


def check(
    context: typer.Context,
    against: Annotated[str | None, typer.Option("--against", help="a stamp kept elsewhere")] = None,
) -> None:
    """Recompute every seal and invariant; exit 1 and name the first that does not hold.

    Cutting the newest batches off is seen only with --against a stamp kept outside the book.

    Example: fairhours check --against "$(cat stamp-of-may.txt)"
    """
    from ledger.errors import Refused
    from ledger.store.checking import check_book

    with reading(context) as book:
        wrong = check_book(book, against)
        if wrong:
            raise Refused("check_failed", found=wrong)
        stamp = book.stamp()
    say("everything holds; keep the record stamp outside the book")
    give(str(stamp))


def history(context: typer.Context, format: Format = "table") -> None:
    """List the batches: when, who, which command, what it added.

    Example: fairhours history --format csv
    """
    with reading(context) as book:
        rows = book.records("store/history")
    head = ("sequence", "recorded_at", "actor", "command", "added", "head")
    give_rows(chosen("--format", format, FORMATS), head, rows)


def show(
    context: typer.Context,
    what: Annotated[str, typer.Argument(help="settings, crew, or any fact table")],
    every: Annotated[
        bool, typer.Option("--all", help="with what is superseded or withdrawn, and says so")
    ] = False,
    format: Format = "table",
) -> None:
    """Show settings with their defaults, the crew, or the rows of a fact table that count.

    Each row has its id, by which `withdraw fact` names it.

    Example: fairhours show crew
    """
    from ledger.store.showing import rows_of

    with reading(context) as book:
        head, rows = rows_of(book, what, every=every)
    give_rows(chosen("--format", format, FORMATS), head, rows)


def export(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(help="an empty or new folder")],
) -> None:
    """Write every table of the book, batches and salts included, as CSV files into a folder.

    Example: fairhours export archive
    """
    from ledger.store.showing import export_csv

    with reading(context) as book:
        names = export_csv(book, folder)
    say(f"{folder}: {len(names)} tables")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for command in (new, migrate, check, history, show, export):
        app.command()(command)
