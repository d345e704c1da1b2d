"""Commands that erase what was typed: texts, and a worker's name."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli.context import Reason, chosen, to_read, to_write
from ledger.cli.output import FORMATS, as_csv, give, say, say_all, to_json
from ledger.cli.tables import as_table, title_of

if TYPE_CHECKING:
    from ledger.commands.erasing import Erased
    from ledger.store.erasing import TextPlace

erase = typer.Typer(
    help="Erase texts; seals and totals stay.", no_args_is_help=True, rich_markup_mode=None
)

# How many ids are shown of the rows that name somebody.
SHOWN = 20
# What rows hold that nobody typed, in words, and columns with the digest of a text that goes too.
KEPT_BYTES = {"file_part": "part of the file", "content": "part of the file"}
OF_BYTES = {"sha256": "digest", "content_digest": "digest of the content"}
forget = typer.Typer(help="Erase a person's name.", no_args_is_help=True, rich_markup_mode=None)


@erase.command("text")
def erase_text(
    context: typer.Context,
    facts: Annotated[
        list[str], typer.Argument(help="rows as table:batch.row, change_event:12.3; or batch:12")
    ],
    reason: Reason,
) -> None:
    """Erase the texts of rows for good: names, notes, reasons, descriptions, file names.

    `fairhours show TABLE` has the ids, `show person_name` those of people who asked, approved or
    answered; batch:NUMBER erases who wrote a batch and by which command.
    The book's file is made anew without them. Copies of it elsewhere keep them.

    Example: fairhours erase text progress:12.3 --reason "names a person's illness"
    """
    from ledger.commands import erasing

    _say(erasing.erase_texts(to_write(context), facts, reason))


@forget.command("worker")
def forget_worker(
    context: typer.Context,
    worker: Annotated[str, typer.Argument(help="the worker's id")],
    reason: Reason,
    name: Annotated[
        list[str] | None, typer.Option("--name", help="another name they are called by; repeatable")
    ] = None,
    keep: Annotated[
        list[str] | None,
        typer.Option("--keep", help="a row that names somebody else, by its id; repeatable"),
    ] = None,
) -> None:
    """Erase a worker's names and aliases, and the notes and parts of files that hold one.

    So go all other texts that hold a name; the hours stay under the id. `fairhours show worker`
    lists beforehand what goes and what stays: documents and scans that must be kept, sheet names
    and codes, lines still held, and texts with one word of a name, which go by --name.
    The book's file is made anew. Copies of it elsewhere keep it.

    Example: fairhours forget worker W07 --reason "left in 2019, asked for it"
    """
    from ledger.cli.wording.worker_holdings import stays_lines
    from ledger.commands import erasing

    done = erasing.forget_worker(to_write(context), worker, reason, name or (), keep or ())
    _say_erased(done.places)
    say_all(stays_lines(done.stays))


def _say_erased(places: "Sequence[TextPlace]") -> None:
    for place in places:
        say(f"{place.id}: {_erased(place)} erased")
    if not places:
        say("already erased; no batch was added")
    say("the book was copied anew; copies, exports and pages made earlier still hold the text")


def _erased(place: "TextPlace") -> str:
    """Return what of a row is erased, in words."""
    columns = [OF_BYTES.get(name) or title_of(name) for name in place.columns]
    return KEPT_BYTES.get(place.table) or ", ".join(columns)


def _say(done: "Erased") -> None:
    _say_erased(done.places)
    if left := done.left:
        ids = ", ".join(place.id for place in left[:SHOWN])
        more = f" and {len(left) - SHOWN} more" if len(left) > SHOWN else ""
        say(f"the name also appears in {ids}{more}; `fairhours erase text` erases it there")
    if kept := done.kept:
        more = f" and {len(kept) - SHOWN} more" if len(kept) > SHOWN else ""
        say(
            f"documents stay as issued until they need not be kept: {', '.join(kept[:SHOWN])}{more}"
        )


def show_worker(context: typer.Context, worker: str, names: Sequence[str], format: str) -> None:
    """Show what the book holds of a worker."""
    from ledger.cli.wording.worker_holdings import HEAD, held_rows
    from ledger.commands.erasing import worker_held
    from ledger.commands.worker_held_as_json import worker_held_json

    chosen("--format", format, FORMATS)
    held = worker_held(to_read(context), worker, names)
    if format == "json":
        give(to_json(worker_held_json(held)))
        return
    if format == "table":
        say(f"{held.worker}: {', '.join(held.names) or 'no name'}")
    give((as_csv if format == "csv" else as_table)(HEAD, held_rows(held, format)))


def add_to(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.add_typer(erase, name="erase")
    app.add_typer(forget, name="forget")
