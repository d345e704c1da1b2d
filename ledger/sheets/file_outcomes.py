"""What came of reading files of timesheets, beside the counts of their lines."""

from dataclasses import dataclass

from ledger.outcomes import Outcome


@dataclass(frozen=True)
class FilesPassedOver(Outcome):
    """Files of a folder that are of no kind that is read."""

    folder: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class ColumnsPassedOver(Outcome):
    """Columns of a file, or of a tab of it, that are not known."""

    file: str
    tab: str | None
    columns: tuple[str, ...]


@dataclass(frozen=True)
class TabsPassedOver(Outcome):
    """Tabs of a workbook that are not read."""

    file: str
    tabs: tuple[str, ...]


@dataclass(frozen=True)
class TotalNotChecked(Outcome):
    """A total of a sheet that could not be checked: it cannot be read, or the hours above it."""

    place: str
    text: str
    is_read: bool


@dataclass(frozen=True)
class SheetsReissued(Outcome):
    """Sheets that a file gives other lines than they have, with the worker-days of each."""

    file: str
    worker_days: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class HeldLinesMended(Outcome):
    """Held lines that a file put right."""

    file: str
    lines: int


@dataclass(frozen=True)
class QuestionsWaiting(Outcome):
    """Lines of a file that are held with a question for a person."""

    file: str
    reason: str
    lines: int
