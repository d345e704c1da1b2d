"""What looks wrong: doubts shown, settled and opened again."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.domain.plausibility import NOTES
from ledger.outcomes import Outcome
from ledger.performance.notes import Note, notes_known
from ledger.sheets import doubts as known
from ledger.sheets.outcomes import DoubtsReopened, DoubtsSettled
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class DoubtsAsked:
    """Which doubts to show; None: of all. `settled` adds the settled ones, `newest` orders so."""

    job: str | None = None
    worker: str | None = None
    kind: str | None = None
    settled: bool = False
    newest: bool = False


@dataclass(frozen=True)
class Doubts(Outcome):
    """Doubts, and what of them is counted by kind and file where that was asked for.

    `notes` are of jobs' figures, not of entries.
    """

    rows: list[dict[str, Any]]
    by_file: list[dict[str, Any]]
    notes: list[Note]
    stamp: Stamp


@dataclass(frozen=True)
class DoubtsDecided(Outcome):
    """Doubts settled, or open again."""

    done: DoubtsSettled | DoubtsReopened
    finished: Finished


def doubts(access: ReadAccess, asked: DoubtsAsked, *, by_file: bool = False) -> Doubts:
    """Return what was booked and looks wrong, the gravest first; with `by_file` also counted so."""
    codes = [code_of(text) if text else None for text in (asked.job, asked.worker)]
    kind = known.of_kind(asked.kind, NOTES) if asked.kind else None
    with access.reading() as book:
        matching = [
            doubt
            for doubt in known.doubts_known(book)
            if _is_asked(doubt, (*codes, kind)) and (asked.settled or not doubt["settled_by"])
        ]
        counted = known.doubts_by_file(book, matching) if by_file else []
        notes = _notes(book, asked, codes[0], kind)
        stamp = book.stamp()
    rows: list[dict[str, Any]] = [
        {name: value for name, value in doubt.items() if name != "about"} for doubt in matching
    ]
    if asked.newest:
        rows.sort(key=lambda row: row["day"], reverse=True)
    return Doubts(rows, counted, notes, stamp)


def _notes(book: Book, asked: DoubtsAsked, job: str | None, kind: str | None) -> list[Note]:
    """Return the notes asked for; of a worker there are none."""
    if asked.worker or (kind is not None and kind not in NOTES):
        return []
    return [
        note
        for note in notes_known(book, job)
        if kind in {None, note.doubt["kind"]} and (asked.settled or not note.doubt["settled_by"])
    ]


def _is_asked(doubt: known.Doubt, asked: tuple[str | None, ...]) -> bool:
    job, worker, kind = asked
    return (
        (job is None or job in doubt["jobs"])
        and (worker is None or worker in doubt["workers"])
        and (kind is None or kind == doubt["kind"])
    )


def _as_doubts(book: Book) -> list[known.Doubt]:
    return [note.doubt for note in notes_known(book)]


def settle_doubts(access: WriteAccess, ids: Sequence[str], reason: str) -> DoubtsDecided:
    """Settle doubts."""
    with access.writing("settle doubt") as (book, batch):
        done = known.settle(book, batch, ids, reason, _as_doubts(book))
        return DoubtsDecided(done, finish(book, batch))


def reopen_doubts(access: WriteAccess, ids: Sequence[str], reason: str) -> DoubtsDecided:
    """Open doubts again that were settled wrongly."""
    with access.writing("reopen doubt") as (book, batch):
        done = known.reopen(book, batch, ids, reason, _as_doubts(book))
        return DoubtsDecided(done, finish(book, batch))
