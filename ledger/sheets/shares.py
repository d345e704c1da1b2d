"""Supervision and the like: hours shared out over the places where the crew worked that week.

A rule says whose hours these are. They follow what the others booked in their week: whatever moves
that, the hours are shared out anew in the same batch, and the differences posted.
"""

from collections.abc import Sequence
from datetime import date
from typing import Any

from ledger.sheets.ending_outcomes import KeptEntry, Move, PlacesPosted
from ledger.sheets.moves import moves_staged
from ledger.sheets.places import (
    adds_entries,
    restage_placed,
    share_rules,
    stage_places_of_chosen,
)
from ledger.sheets.placing import (
    any_stays,
    keep_late_reason,
    places_kept,
    post_differences,
    stage_difference,
)
from ledger.sheets.rule_changes import choose_entries_fitting
from ledger.store.batches import Batch
from ledger.store.book import Book

# Shared entries by whether they stay as they were split.
MAY_MOVE, CLOSED, STAY = ("no",), ("closed",), ("closed", "claimed")


def post_shares(
    book: Book, batch: Batch, *, everywhere: bool, late_reason: str | None = None
) -> PlacesPosted:
    """Share out anew the hours of all weeks, or of those in which a batch books or moves any.

    What was shared out in a closed period stays and is returned; with a reason it moves too. What
    is claimed stays.
    """
    if not (everywhere or adds_entries(batch) or batch.counts.get("posting")):
        return PlacesPosted()
    if everywhere and not book.rows("sheets/lines_there")[0][0]:
        return PlacesPosted()
    if not share_rules(book):
        return PlacesPosted()
    weeks = None if everywhere else _weeks(book, batch)
    if weeks == [] or not stage_shared(book, weeks):
        return PlacesPosted()
    moves = _post(book, batch) if stage_shared_out(book, MAY_MOVE) else ()
    late: tuple[Move, ...] = ()
    if late_reason is not None and stage_shared_out(book, CLOSED):
        late = _post(book, batch)
        keep_late_reason(batch, late, late_reason)
    return PlacesPosted(moves=moves, kept=_kept(book), late=late)


def _kept(book: Book) -> tuple[KeptEntry, ...]:
    """Return the shared entries that stay, and would be shared out otherwise now."""
    if not stage_shared_out(book, STAY):
        return ()
    return tuple(KeptEntry(**row) for row in book.records("sheets/places_kept"))


def entries_kept(book: Book) -> list[dict[str, Any]]:
    """Return the entries that stay, and that codes, rules or the crew's hours would move."""
    kept = places_kept(book)
    if any_stays(book) and share_rules(book) and stage_shared(book, None):
        stage_shared_out(book, STAY)
        kept += book.records("sheets/places_kept")
    return sorted(kept, key=lambda row: row["day"])


def _weeks(book: Book, batch: Batch) -> list[date]:
    return [week for (week,) in book.rows("sheets/weeks_booked", batch=batch.sequence)]


def stage_shared(book: Book, weeks: Sequence[date] | None) -> bool:
    """Stage the shared entries of weeks, and what the crew booked in these; False without any."""
    if not choose_entries_fitting(book, share_rules(book), closed=True, weeks=weeks):
        return False
    stage_places_of_chosen(book, shared=True)
    if not book.stage("entry_shared", "sheets/entries_shared"):
        return False
    book.stage("crew_hours", "sheets/crew_hours_by_week")
    return True


def stage_shared_out(book: Book, which: Sequence[str]) -> bool:
    """Stage what shares out the entries that may move, or stay; False if nothing moves."""
    restage_placed(book, "sheets/entries_shared_out", stays=list(which))
    return stage_difference(book)


def _post(book: Book, batch: Batch) -> tuple[Move, ...]:
    """Post the staged differences, and keep what they were reckoned by; return what moves."""
    moves = moves_staged(book)
    post_differences(batch)
    batch.append_query("crew_hours", "sheets/crew_hours_to_keep")
    return moves
