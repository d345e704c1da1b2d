"""The book itself: made, brought up, checked, shown and exported."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.outcomes import Outcome
from ledger.store import batches, migrating, showing
from ledger.store.book import Stamp
from ledger.store.checking import check_book
from ledger.store.exporting import FORMATS, Export, export_tables
from ledger.store.texts import Erasure, erasures

# What tables are exported as to be read.
READABLE = FORMATS


@dataclass(frozen=True)
class Migrated(Outcome):
    """A book brought from one schema up to another."""

    before: int
    after: int


@dataclass(frozen=True)
class TableRows(Outcome):
    """The rows of a fact table under its columns."""

    head: Sequence[str]
    rows: list[dict[str, Any]]


def new_book(access: WriteAccess, *, rehearsal: bool = False) -> None:
    """Make an empty book. Raises: Refused when the path is taken."""
    batches.new_book(access.path, access.writing_of("new"), rehearsal=rehearsal)


def migrate(access: WriteAccess) -> Migrated:
    """Bring a book of an older version up to this one."""
    with access.opened("migrate", migrating=True) as book, access.batch(book, "migrate") as batch:
        return Migrated(*migrating.migrate(book, batch))


def check(access: ReadAccess, against: str | None) -> tuple[Stamp, list[Erasure]]:
    """Recompute every seal and invariant; return the stamp, and what was erased.

    Raises: Refused, naming the first that does not hold.
    """
    with access.reading() as book:
        if wrong := check_book(book, against):
            raise wrong
        return book.stamp(), erasures(book)


def history(access: ReadAccess) -> list[dict[str, Any]]:
    """Return the batches: when, who, which command, what each added."""
    with access.reading() as book:
        return book.records("store/history")


def show(access: ReadAccess, what: str, *, every: bool = False) -> TableRows:
    """Return the rows of a fact table that count; `every` adds those that do not."""
    with access.reading() as book:
        return TableRows(*showing.rows_of(book, what, every=every))


def export(access: ReadAccess, folder: Path, show: str) -> list[str]:
    """Write every table of the book into a folder; return the tables' names.

    `show` is the command that shows a table with texts marked that begin as formulas do.
    """
    with access.reading() as book:
        return showing.export_csv(book, folder, show)


def export_readable(
    access: ReadAccess, folder: Path, form: str, *, with_pay: bool = False
) -> list[str]:
    """Write every table in a format, one of `READABLE`, with a dictionary; return their names."""
    with access.reading() as book:
        return export_tables(book, Export(folder, form, with_pay))
