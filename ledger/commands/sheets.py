"""Loads of timesheets."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.sheets.loading import SheetLoad, SheetsLoaded
from ledger.sheets.loading import load_sheets as book_or_hold
from ledger.sheets.untagged import UntaggedCode, untagged_of_batch
from ledger.store.book import Book, Stamp
from ledger.tables.layouts import PLAIN, Layout


@dataclass(frozen=True)
class SheetLoadAsked:
    """The sheets to load: files or folders, the job of lines that name none, and the layout.

    The layout is a TOML file or the name of one that is kept.
    """

    files: Sequence[Path]
    job: str | None = None
    layout: str | None = None


@dataclass(frozen=True)
class SheetsLoad(Outcome):
    """What came of a load of sheets, and the time in ms of the whole book by kind of place."""

    loaded: SheetsLoaded
    untagged: tuple[UntaggedCode, ...]
    finished: Finished
    stamp: Stamp
    whole_book: tuple[tuple[str, int], ...]


def load_sheets(access: WriteAccess, asked: SheetLoadAsked) -> SheetsLoad:
    """Load timesheets: every line is booked or held with a reason, and counted.

    Raises: Refused when any file cannot be read; then none is booked.
    """
    command = "load sheets"
    with access.opened(command) as book:
        with access.batch(book, command) as batch:
            job = code_of(asked.job) if asked.job else None
            load = SheetLoad(asked.files, job, _layout(book, asked.layout))
            loaded = book_or_hold(book, batch, load)
            finished = finish(book, batch)
            untagged = tuple(untagged_of_batch(book, batch))
        whole = tuple((kind, int(ms)) for kind, ms in book.rows("sheets/booked_by_kind"))
        return SheetsLoad(loaded, untagged, finished, book.stamp(), whole)


def _layout(book: Book, name: str | None) -> Layout:
    """Return the layout of a file or name. Raises: Refused when there is none."""
    if name is None or name == PLAIN.name:
        return PLAIN
    from ledger.inputs.columns import FIELDS_BY_TABLE
    from ledger.tables.layout_files import LayoutWanted, find_layout

    return find_layout(book, LayoutWanted(name, fields=FIELDS_BY_TABLE))
