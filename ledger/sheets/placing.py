"""Where every entry belongs by hand, rules and codes, posted as signed differences."""

from collections.abc import Sequence
from typing import Any

from ledger.sheets.ending_outcomes import KeptEntry, Move, PlacesPosted
from ledger.sheets.held_rejudged import Rejudged, rejudge_held
from ledger.sheets.moves import moves_staged, refuse_hours_that_leave
from ledger.sheets.places import stage_places, stage_places_of_chosen
from ledger.sheets.rule_changes import choose_entries_ruled, only_rules_changed
from ledger.store.batches import Batch
from ledger.store.book import Book

# What may be added without any entry belonging elsewhere, where no rule looks at a worker's trade.
MOVING_NOTHING = frozenset({"crew", "leave", "worker_alias", "worker_name", "file"})
REPROCESS_STEPS = 4


def post_places(book: Book, batch: Batch) -> int:
    """Post what moves every entry to the place its code and the rules give; return the rows.

    Entries that were in the book when their period was closed stay where they are, and so do those
    that are claimed. Loading twice posts nothing the second time.
    """
    return post_differences(batch) if _stage_differences(book) else 0


def _stage_differences(book: Book, stays: str = "no") -> bool:
    """Stage the postings that bring every entry to its place; return whether there are any.

    Of entries that may move, or with `stays` of others, as `stage_places` has them.
    """
    if not _has_entries(book):
        return False
    stage_places(book, stays=stays)
    return stage_difference(book)


def stage_difference(book: Book) -> bool:
    """Stage the postings that bring the placed entries to their places; return whether any does."""
    return book.stage("difference", "sheets/posting_differences") > 0


def _has_entries(book: Book) -> bool:
    return bool(book.rows("sheets/lines_there")[0][0])


def _stage_what_moves(book: Book, batch: Batch, *, by_rules: bool) -> bool:
    """Stage the postings that follow from what a batch decides; return whether there are any."""
    if not by_rules:
        return _stage_differences(book)
    if not (_has_entries(book) and choose_entries_ruled(book, batch)):
        return False
    stage_places_of_chosen(book)
    return stage_difference(book)


def post_differences(batch: Batch) -> int:
    """Post the staged differences; return how many."""
    return batch.append_query("posting", "sheets/differences_staged")


def move_chosen(book: Book, batch: Batch) -> tuple[Move, ...]:
    """Post what moves the entries of `staged_entry_chosen` to their places; return the moves."""
    stage_places_of_chosen(book)
    stage_difference(book)
    moves = moves_staged(book)
    post_differences(batch)
    return moves


def any_stays(book: Book) -> bool:
    """Whether any entry may stay where it is, of a closed period or claimed."""
    return bool(book.rows("jobs/closings_known") or book.rows("sheets/claims_there")[0][0])


def places_kept(book: Book) -> list[dict[str, Any]]:
    """Return the entries that stay, and that codes and rules would book elsewhere now.

    These are entries of closed periods and claimed ones.
    """
    if not any_stays(book):
        return []
    stage_places(book, stays="yes")
    stage_difference(book)
    return book.records("sheets/places_kept")


def _may_move(book: Book, batch: Batch) -> bool:
    """Return whether an entry may belong elsewhere after what the batch added."""
    added = {table for table, count in batch.counts.items() if count}
    return bool(added - MOVING_NOTHING) or any(rule["trade"] for rule in book.current("rule"))


def keep_late_reason(batch: Batch, moves: Sequence[Move], reason: str) -> None:
    """Keep why entries of closed periods move."""
    entries = sum(move.entries for move in moves)
    batch.append_row("late_adjustment", {"entries": entries, "reason": reason})


def _post_late(book: Book, batch: Batch, reason: str) -> tuple[Move, ...]:
    """Post what moves entries of closed periods, and why; return the moves.

    Claimed entries stay.
    """
    if not book.rows("jobs/closings_known"):
        return ()
    stage_places(book, stays="closed")
    if not stage_difference(book):
        return ()
    moves = moves_staged(book)
    post_differences(batch)
    keep_late_reason(batch, moves, reason)
    return moves


def _post_moves(book: Book, batch: Batch, *, move_hours: bool) -> tuple[Move, ...]:
    """Post the staged differences; return what they move.

    Raises: Refused when hours would leave a job unasked.
    """
    if not (move_hours or batch.counts.get("rule")):
        refuse_hours_that_leave(book)
    moves = moves_staged(book)
    book.progress.step("hours that move", REPROCESS_STEPS)
    post_differences(batch)
    return moves


def _place_at_once(
    book: Book, batch: Batch, *, move_hours: bool
) -> tuple[tuple[Move, ...], list[dict[str, Any]]]:
    """Post what moves the entries that may move; return the moves, and what is kept.

    All entries are placed at once: mostly none differs, and planning it twice takes longest.
    """
    if not _stage_differences(book, "all"):
        return (), []
    book.restage("difference", "difference_of_all")
    which = "sheets/differences_by_staying"
    moves: tuple[Move, ...] = ()
    if book.stage("difference", which, stays=False):
        moves = _post_moves(book, batch, move_hours=move_hours)
    differs = book.stage("difference", which, stays=True)
    return moves, book.records("sheets/places_kept") if differs else []


def reprocess_held(
    book: Book, batch: Batch, *, move_hours: bool = False, late_reason: str | None = None
) -> PlacesPosted:
    """Look again at held lines and at all places after a write that decides them.

    With a reason entries of closed periods move too, as late adjustments.

    Raises: Refused when hours would leave a job where they stand, unless that was asked for: by
    `move_hours`, or by rules.
    """
    book.progress.step("held lines", REPROCESS_STEPS)
    # Whether a line can be booked is no matter of rules.
    by_rules = only_rules_changed(book, batch)
    held = Rejudged() if by_rules else rejudge_held(book, batch)
    may_move = held.released > 0 or _may_move(book, batch)
    moves: tuple[Move, ...] = ()
    late: tuple[Move, ...] = ()
    book.progress.step("where hours belong", REPROCESS_STEPS)
    if may_move and not by_rules and late_reason is None and any_stays(book):
        moves, rows = _place_at_once(book, batch, move_hours=move_hours)
    else:
        if may_move and _stage_what_moves(book, batch, by_rules=by_rules):
            moves = _post_moves(book, batch, move_hours=move_hours)
        book.progress.step("closed periods", REPROCESS_STEPS)
        late = _post_late(book, batch, late_reason) if late_reason is not None else ()
        rows = places_kept(book)
    kept = tuple(KeptEntry(**row) for row in rows)
    return PlacesPosted(held.released, held.matched, moves, kept, late, held.named, held.reissued)
