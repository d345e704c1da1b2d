"""Loads of timesheets, and the corrections of held lines."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.inputs.columns import FIELDS_BY_TABLE
from ledger.outcomes import Outcome
from ledger.sheets.held_file import load_held
from ledger.sheets.loading import SheetLoad, SheetsLoaded
from ledger.sheets.loading import load_sheets as book_or_hold
from ledger.sheets.outcomes import HeldFileLoaded
from ledger.sheets.untagged import UntaggedCode, untagged_of_batch
from ledger.store.book import Stamp
from ledger.tables.layouts import PLAIN, LayoutWanted, find_layout


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


@dataclass(frozen=True)
class HeldLoaded(Outcome):
    """What came of a file of corrections."""

    file: HeldFileLoaded
    finished: Finished


def load_sheets(access: WriteAccess, asked: SheetLoadAsked) -> SheetsLoad:
    """Load timesheets: every line is booked or held with a reason, and counted.

    Raises: Refused when any file cannot be read; then none is booked.
    """
    command = "load sheets"
    with access.opened(command) as book:
        with access.batch(book, command) as batch:
            job = code_of(asked.job) if asked.job else None
            name = PLAIN.name if asked.layout is None else asked.layout
            layout = (
                PLAIN
                if name == PLAIN.name
                else find_layout(book, LayoutWanted(name, fields=FIELDS_BY_TABLE))
            )
            load = SheetLoad(asked.files, job, layout)
            loaded = book_or_hold(book, batch, load)
            finished = finish(book, batch)
            untagged = tuple(untagged_of_batch(book, batch))
        whole = tuple((kind, int(ms)) for kind, ms in book.rows("sheets/booked_by_kind"))
        return SheetsLoad(loaded, untagged, finished, book.stamp(), whole)


def load_corrections(access: WriteAccess, file: Path) -> HeldLoaded:
    """Load the corrections of held lines, as written into the workbook of held lines."""
    with access.writing("load held") as (book, batch):
        loaded = load_held(book, batch, file)
        finished = finish(book, batch)
    return HeldLoaded(loaded, finished)
