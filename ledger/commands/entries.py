"""Entries: listed, corrected, and reversed one by one or with their file."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.sheets import entry_corrections, reversals, whole_loads
from ledger.sheets.loads_named import Which
from ledger.sheets.outcomes import (
    EntriesCorrected,
    EntriesReversed,
    LoadsReversed,
    ReversalsUndone,
)


@dataclass(frozen=True)
class EntriesPutRight(Outcome):
    """Entries reversed, or reversals undone."""

    done: EntriesReversed | ReversalsUndone
    finished: Finished


@dataclass(frozen=True)
class LoadsTakenBack(Outcome):
    """Loads of sheets reversed whole; a dry run wrote nothing."""

    done: LoadsReversed
    finished: Finished
    dry_run: bool


@dataclass(frozen=True)
class EntriesRebooked(Outcome):
    """Entries booked anew as corrected; a dry run wrote nothing."""

    done: EntriesCorrected
    finished: Finished
    dry_run: bool


@dataclass(frozen=True)
class EntriesAsked:
    """Which entries to list; None: of all. Days are from `first_day` to `last_day`."""

    worker: str | None = None
    day: date | None = None
    sheet: str | None = None
    file: str | None = None
    job: str | None = None
    untagged: bool = False
    first_day: date | None = None
    last_day: date | None = None


@dataclass(frozen=True)
class Correction:
    """What is right of entries, as field=value, and why."""

    changes: Sequence[str]
    reason: str


def reverse_entries(access: WriteAccess, entries: Sequence[str], reason: str) -> EntriesPutRight:
    """Reverse entries, named by batch and row."""
    with access.writing("reverse entry") as (book, batch):
        done = reversals.reverse_entries(book, batch, entries, reason)
        return EntriesPutRight(done, finish(book, batch))


def undo_reversals(access: WriteAccess, entries: Sequence[str], reason: str) -> EntriesPutRight:
    """Undo reversals, named by the entry or by its reversal."""
    with access.writing("undo reversal") as (book, batch):
        done = reversals.undo_reversals(book, batch, entries, reason)
        return EntriesPutRight(done, finish(book, batch))


def reverse_loads(
    access: WriteAccess, which: Which, reason: str, *, dry_run: bool = False
) -> LoadsTakenBack:
    """Reverse all that stands of a file or a batch of sheets, and end its held lines."""
    with access.writing(f"reverse {which.scope}", dry_run=dry_run) as (book, batch):
        done = whole_loads.reverse_loads(book, batch, which, reason)
        return LoadsTakenBack(done, finish(book, batch), dry_run)


def correct_entry(
    access: WriteAccess, entry: str, correction: Correction, *, dry_run: bool = False
) -> EntriesRebooked:
    """Reverse an entry and book it with fields corrected."""
    with access.writing("correct entry", dry_run=dry_run) as (book, batch):
        changes, reason = correction.changes, correction.reason
        entry_corrections.correct_entry(book, batch, entry, changes, reason)
        finished = finish(book, batch)
        done = entry_corrections.entries_corrected(book, batch)
        return EntriesRebooked(done, finished, dry_run)


def correct_entries(
    access: WriteAccess, which: Which, correction: Correction, *, dry_run: bool = False
) -> EntriesRebooked:
    """Correct all entries of a file or batch alike."""
    with access.writing("correct entries", dry_run=dry_run) as (book, batch):
        changes, reason = correction.changes, correction.reason
        as_they_are = entry_corrections.correct_entries(book, batch, which, changes, reason)
        finished = finish(book, batch)
        done = entry_corrections.entries_corrected(book, batch, as_they_are)
        return EntriesRebooked(done, finished, dry_run)


def entries(access: ReadAccess, asked: EntriesAsked) -> list[dict[str, Any]]:
    """Return entries with their ids, where they stand, and whether they were reversed.

    Raises: Refused when the days are turned round.
    """
    if asked.first_day and asked.last_day and asked.last_day < asked.first_day:
        raise Refused("days_turned", start=asked.first_day, end=asked.last_day)
    with access.reading() as book:
        return book.records(
            "sheets/entries_known",
            worker=code_of(asked.worker) if asked.worker else None,
            day=asked.day,
            first_day=asked.first_day,
            last_day=asked.last_day,
            sheet=asked.sheet,
            file=asked.file,
            job=code_of(asked.job) if asked.job else None,
            untagged=asked.untagged,
        )
