"""The file of corrections of held lines."""

from dataclasses import dataclass
from pathlib import Path

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.outcomes import Outcome
from ledger.sheets.held_file import load_held
from ledger.sheets.outcomes import HeldFileLoaded


@dataclass(frozen=True)
class HeldLoaded(Outcome):
    """What came of a file of corrections."""

    file: HeldFileLoaded
    finished: Finished


def load_corrections(access: WriteAccess, file: Path) -> HeldLoaded:
    """Load the corrections of held lines, as written into the workbook of held lines."""
    with access.writing("load held") as (book, batch):
        loaded = load_held(book, batch, file)
        finished = finish(book, batch)
    return HeldLoaded(loaded, finished)
