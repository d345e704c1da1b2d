"""What came of writes about timesheets."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from ledger.outcomes import Outcome
from ledger.sheets.ending_outcomes import Move


@dataclass(frozen=True)
class DoubtsSettled(Outcome):
    """Doubts that a person settled."""

    count: int


@dataclass(frozen=True)
class DoubtsReopened(Outcome):
    """Settled doubts that are open again."""

    count: int


@dataclass(frozen=True)
class WorkerDayChanged:
    """A worker's day whose clocked times are others than before: in, out, minutes of break."""

    worker_id: str
    day: date
    before: Sequence[tuple[str, str, int]]
    after: Sequence[tuple[str, str, int]]


@dataclass(frozen=True)
class AttendanceLoaded(Outcome):
    """Days of workers by an attendance clock; `apart` differ from what is booked."""

    new: int
    changed: tuple[WorkerDayChanged, ...]
    as_before: int
    strangers: tuple[str, ...]
    apart: int


@dataclass(frozen=True)
class LinesEnded(Outcome):
    """Held lines that ended, and those corrected that still wait as part of a re-issue."""

    released: int = 0
    corrected: int = 0
    matched: int = 0
    rejected: int = 0
    in_reissues: int = 0


@dataclass(frozen=True)
class HeldFileLoaded(Outcome):
    """A file of corrections: the lines that it ended, those ended before, and all its rows."""

    file: str
    ended: LinesEnded
    ended_before: tuple[str, ...]
    without_correction: int
    rows: int


@dataclass(frozen=True)
class Reissue:
    """A sheet handed in again, by its id, the sheet and the file."""

    reissue: str
    sheet: str
    file: str


@dataclass(frozen=True)
class ReissueConfirmed(Outcome):
    """A re-issue that counts: what became of its lines, and the re-issues of its sheet that wait.

    `steps` counts the lines by step: keep, reverse, book, restore, end, wait.
    """

    of: Reissue
    steps: Mapping[str, int]
    waiting: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ReissueRejected(Outcome):
    """A re-issue that does not count, and how many new lines ended with it."""

    of: Reissue
    lines: int


@dataclass(frozen=True)
class LateLines(Outcome):
    """Lines of days in a closed period that a batch booked or reversed."""

    lines: int
    closed_to: date


@dataclass(frozen=True)
class EntriesReversed(Outcome):
    """Entries that were reversed, the late lines among them, and the first with a named sheet."""

    entries: tuple[str, ...]
    late: tuple[LateLines, ...]
    of_sheet: tuple[str, str] | None


@dataclass(frozen=True)
class ReversalsUndone(Outcome):
    """Reversals undone, and the ids that were named."""

    count: int
    named: tuple[str, ...]


@dataclass(frozen=True)
class LoadReversed:
    """A load of sheets taken back: entries and their time in ms reversed, held lines ended."""

    file: str
    batch: int
    recorded_at: datetime
    entries: int
    ms: int
    held: int


@dataclass(frozen=True)
class LoadsReversed(Outcome):
    """Loads taken back, the places they were booked to, and what is to be looked at.

    `places` are place, entries and ms; `replaced` are entries and ms that stay reversed, as a
    re-issue replaced them; `sharing` are files with lines that were counted as in the book,
    `ended_as_booked` files whose held lines ended since as lines that are booked.
    """

    loads: tuple[LoadReversed, ...]
    places: tuple[tuple[str, int, int], ...]
    reissues_ended: int
    late: tuple[LateLines, ...]
    replaced: tuple[tuple[str, int], ...]
    sharing: tuple[str, ...]
    ended_as_booked: tuple[str, ...] = ()


@dataclass(frozen=True)
class CorrectedMove:
    """Entries corrected, from place to place, with their time in ms before and after."""

    place_from: str
    place_to: str
    entries: int
    ms_from: int
    ms_to: int


@dataclass(frozen=True)
class EntriesCorrected(Outcome):
    """Entries corrected by place; the first, and the entry that stands for it.

    `as_they_are` is how many of those chosen read so already.
    """

    moves: tuple[CorrectedMove, ...]
    first: str
    now: str
    late: tuple[LateLines, ...]
    as_they_are: int


@dataclass(frozen=True)
class ClosedEntry:
    """An entry of a closed period, or a claimed one, that stays where it is."""

    entry: str
    day: date
    worker_id: str
    ms: int


@dataclass(frozen=True)
class EntriesTagged(Outcome):
    """Entries tagged by hand, their time in ms and the first of them; what of it moved.

    `as_before` were tagged so already; `late` are of closed periods, whose moves are late
    adjustments; `closed` were left as they are, and so were `claimed` ones.
    """

    entries: int
    ms: int
    first: str | None
    as_before: int
    moves: tuple[Move, ...]
    late: int
    closed: tuple[ClosedEntry, ...]
    claimed: tuple[ClosedEntry, ...] = ()


@dataclass(frozen=True)
class AliasesConfirmed(Outcome):
    """Aliases confirmed for a worker; `as_before` are names that led to that worker already."""

    worker_id: str
    new: int
    as_before: int


@dataclass(frozen=True)
class TagsLoaded(Outcome):
    """A file of places: what it tagged, its rows without a place, and all its rows."""

    file: str
    done: EntriesTagged
    without_place: int
    rows: int
