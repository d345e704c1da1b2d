"""Commands about the book itself: new, check, history, show, export."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli.context import Day, Format, Options, chosen, day_of, to_read, to_write
from ledger.cli.output import FORMATS, give, give_rows, say
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

HEAD_SHOWN = 12  # For people; for machines the whole head.


def new(
    context: typer.Context,
    rehearsal: Annotated[
        bool,
        typer.Option("--rehearsal", help="a trial book that takes --recorded-at and says so"),
    ] = False,
) -> None:
    """Make an empty book.

    Example: fairhours --book yard.duckdb new
    """
    from ledger.commands.book import new_book

    options: Options = context.obj
    new_book(options.write_access(), rehearsal=rehearsal)
    say(f"{options.book}: new {'rehearsal ' if rehearsal else ''}book")


def migrate(context: typer.Context) -> None:
    """Bring a book of an older version up to date; keep a copy first.

    Example: fairhours --book yard.duckdb migrate
    """
    from ledger.commands.book import migrate as bring_up

    access = to_write(context)
    done = bring_up(access)
    say(f"{access.path}: migrated from schema {done.before} to {done.after}")


def check(
    context: typer.Context,
    against: Annotated[str | None, typer.Option("--against", help="a stamp kept elsewhere")] = None,
) -> None:
    """Recompute every seal and check every rule; exit 1 and name the first fault.

    Only --against a stamp kept outside the book shows that its newest batches were removed.

    Example: fairhours check --against "$(cat stamp-of-may.txt)"
    """
    from ledger.commands.book import check as recompute

    stamp, erased = recompute(to_read(context), against)
    for each in erased:
        say(f"{each.id}: erased in batch {each.erased_in}: {each.reason}")
    say("all checks passed; keep the record stamp outside the book")
    give(str(stamp))


def history(context: typer.Context, format: Format = "table") -> None:
    """List the batches: when, who, which command, what it added.

    Example: fairhours history --format csv
    """
    from ledger.commands.book import history as batches

    rows = batches(to_read(context))
    if format == "table":
        rows = [{**row, "head": row["head"][:HEAD_SHOWN]} for row in rows]
    head = ("sequence", "recorded_at", "actor", "command", "added", "head")
    give_rows(chosen("--format", format, FORMATS), head, rows)


def show(
    context: typer.Context,
    what: Annotated[
        str, typer.Argument(help="settings, crew, or any fact table; change, document or worker")
    ],
    named: Annotated[
        str | None, typer.Argument(help="the number of a change or a document, a worker's id")
    ] = None,
    job: Annotated[str | None, typer.Option("--job", help="the job of the change")] = None,
    status_date: Day = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="write the document's bytes as they were issued")
    ] = None,
    every: Annotated[
        bool, typer.Option("--all", help="include superseded and withdrawn rows, marked")
    ] = False,
    name: Annotated[
        list[str] | None, typer.Option("--name", help="another name of the worker; repeatable")
    ] = None,
    format: Format = "table",
) -> None:
    """Show settings with their defaults, the crew, rows of a fact table, a change or a document.

    Each row has its id, by which `withdraw fact` names it. `show change NUMBER --job J` shows the
    history of a change, its prices, hours by week and attachments; `show document NUMBER --out
    FILE` writes an issued document again; `show worker ID` lists all that is held of a worker, and
    what becomes of it with `forget worker`.

    Example: fairhours show crew
    """
    if named is None and what == "worker":
        raise WrongUsage("worker_unnamed")
    if named is None:
        _show_rows(context, what, format, every=every)
    elif what == "document":
        from ledger.cli.documents import show_document

        chosen("--format", format, FORMATS)
        show_document(context, named, out, format)
    elif what == "worker":
        from ledger.cli.erasing import show_worker

        show_worker(context, named, name or (), format)
    elif what != "change" or job is None:
        raise WrongUsage("shown_by_number", what=what)
    else:
        from ledger.cli.figures import show_change

        show_change(context, job, named, day_of(status_date), format)


def _show_rows(context: typer.Context, what: str, format: str, *, every: bool) -> None:
    from ledger.commands.book import show as rows_of

    table = rows_of(to_read(context), what, every=every)
    give_rows(chosen("--format", format, FORMATS), table.head, table.rows)


def export(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(help="an empty or new folder")],
    as_: Annotated[
        str | None, typer.Option("--as", help="csv, parquet or xlsx, with a data dictionary")
    ] = None,
    with_pay: Annotated[
        bool, typer.Option("--with-pay", help="with --as: cost rates and pay too")
    ] = False,
) -> None:
    """Write every table of the book into a folder: as an archive, or with --as to be read.

    The archive has secrets and salts and proves the seals. With --as each table is a file, its
    columns described in dictionary.csv, without secrets, and without pay unless asked for.

    Example: fairhours export year-end --as xlsx
    """
    from ledger.cli.wording.pages import SHOW_TABLE
    from ledger.commands.book import READABLE, export_readable
    from ledger.commands.book import export as export_csv

    if as_ is None:
        if with_pay:
            raise WrongUsage("options_missing", options=("--as",))
        names = export_csv(to_read(context), folder, SHOW_TABLE)
    else:
        form = chosen("--as", as_, READABLE)
        names = export_readable(to_read(context), folder, form, with_pay=with_pay)
    say(f"{folder}: {counted(len(names), 'table', 'tables')}")


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    for command in (new, migrate, check, history, show, export):
        app.command()(command)
