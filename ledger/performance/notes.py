"""Plausibility notes as doubts: with an id, the job, and who settled them."""

from dataclasses import dataclass
from datetime import datetime
from hashlib import md5

from ledger.baseline.postings import is_frozen
from ledger.domain.plausibility import NOTES
from ledger.errors import Refused
from ledger.outcomes import Reason
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.plausibility import plausibility
from ledger.performance.status_dates import default_status_date
from ledger.sheets.doubts import Doubt
from ledger.store.book import Book

ID_LENGTH = 10
# By kind and what it is about: who settled it, when and why.
Settled = dict[tuple[str, str], tuple[str, datetime, str]]


@dataclass(frozen=True)
class Note:
    """A note as a doubt, and what it says."""

    doubt: Doubt
    reason: Reason

    @property
    def rule(self) -> str:
        return NOTES[self.reason.kind][0]

    @property
    def source(self) -> str:
        return NOTES[self.reason.kind][1]


def notes_known(book: Book, job: str | None = None) -> list[Note]:
    """Return the notes of a job, of every job if none is named, the settled ones too.

    They are of its usual status date; a job not frozen, or never measured, has none.
    """
    notes: list[Note] = []
    settled = _settled(book)
    for each in [row["job"] for row in book.current("job")] if job is None else [job]:
        measured = _measured(book, each)
        if measured is not None:
            notes += [_note(measured, reason, settled) for reason in plausibility(measured)]
    return notes


def open_notes(measured: Measured) -> list[Note]:
    """Return the notes of a job measured in hours by its day, those settled left out."""
    settled = _settled(measured.book)
    notes = (_note(measured, reason, settled) for reason in plausibility(measured))
    return [note for note in notes if not note.doubt["settled_by"]]


def _settled(book: Book) -> Settled:
    return {
        (kind, about): (actor, when, why)
        for kind, about, actor, when, why in book.rows("performance/notes_settled")
    }


def _measured(book: Book, job: str) -> Measured | None:
    if not is_frozen(book, job):
        return None
    try:
        return Measured(book, job, Scope(default_status_date(book, job)))
    except Refused:  # Nothing is measured and booked in one week yet.
        return None


def _note(measured: Measured, reason: Reason, settled: Settled) -> Note:
    about = "; ".join([measured.job, *(f"{name} {value}" for name, value in reason.fields)])
    text = f"{reason.kind} {about}".encode()
    by = settled.get((reason.kind, about))
    doubt = Doubt(
        doubt=md5(text, usedforsecurity=False).hexdigest()[:ID_LENGTH],
        severity="note",
        kind=reason.kind,
        worker_id=None,
        day=measured.day,
        jobs=[measured.job],
        workers=[],
        entries=[],
        file="",
        line=0,
        message="",
        about=about,
        settled_by=by[0] if by else None,
        settled_at=by[1] if by else None,
        reason=by[2] if by else None,
    )
    return Note(doubt, reason)
