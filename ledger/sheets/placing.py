"""Where every entry belongs by hand, rules and codes, posted as signed differences."""

from typing import Any

from ledger.sheets.looking_again import rejudge_held
from ledger.sheets.moves import moves_staged, refuse_hours_that_leave
from ledger.sheets.outcomes import KeptEntry, Move, PlacesPosted
from ledger.sheets.places import stage_places, stage_places_of_chosen
from ledger.store.batches import Batch
from ledger.store.book import Book

# The tables that say whether a held line can be read, and where an entry belongs.
DECIDING = frozenset(
    {
        *("change", "crew", "job", "rule", "setting", "withdrawal", "work_package"),
        *("worker_alias", "worker_name"),
    }
)
# What may be added without any entry belonging elsewhere, where no rule looks at a worker's trade.
MOVING_NOTHING = frozenset({"crew", "worker_alias", "worker_name", "file"})
LOOKING_AGAIN = 4  # steps


def post_places(book: Book, batch: Batch) -> int:
    """Post what moves every entry to the place its code and the rules give; return the rows.

    Entries that were in the book when their period was closed stay where they are. Loading twice
    posts nothing the second time.
    """
    return _post_differences(batch) if _stage_differences(book) else 0


def _stage_differences(book: Book) -> bool:
    """Stage the postings that bring every entry to its place; return whether there are any."""
    if not book.rows("sheets/lines_there")[0][0]:
        return False
    stage_places(book)
    return book.stage("difference", "sheets/posting_differences") > 0


def _post_differences(batch: Batch) -> int:
    return batch.append_query("posting", "sheets/differences_staged")


def move_chosen(book: Book, batch: Batch) -> tuple[Move, ...]:
    """Post what moves the entries of `staged_entry_chosen` to their places; return the moves."""
    stage_places_of_chosen(book)
    book.stage("difference", "sheets/posting_differences")
    moves = moves_staged(book)
    _post_differences(batch)
    return moves


def places_kept(book: Book) -> list[dict[str, Any]]:
    """Return the entries of closed periods that codes and rules would book elsewhere now."""
    if not book.rows("jobs/closings_known"):
        return []
    stage_places(book, closed=True)
    book.stage("difference", "sheets/posting_differences")
    return book.records("sheets/places_kept")


def _may_move(book: Book, batch: Batch) -> bool:
    """Return whether an entry may belong elsewhere after what the batch added."""
    added = {table for table, count in batch.counts.items() if count}
    return bool(added - MOVING_NOTHING) or any(rule["trade"] for rule in book.current("rule"))


def _post_late(book: Book, batch: Batch, reason: str) -> tuple[Move, ...]:
    """Post what moves entries of closed periods, and why; return the moves."""
    if not places_kept(book):
        return ()
    moves = moves_staged(book)
    _post_differences(batch)
    entries = sum(move.entries for move in moves)
    batch.append_row("late_adjustment", {"entries": entries, "reason": reason})
    return moves


def reprocess_held(
    book: Book, batch: Batch, *, move_hours: bool = False, late_reason: str | None = None
) -> PlacesPosted:
    """Look again at held lines and at all places after a write that decides them.

    With a reason entries of closed periods move too, as late adjustments.

    Raises: Refused when hours would leave a job where they stand, unless that was asked for: by
    `move_hours`, or by rules.
    """
    book.progress.step("held lines", LOOKING_AGAIN)
    may_move = _may_move(book, batch)
    held = rejudge_held(book, batch)
    moves: tuple[Move, ...] = ()
    book.progress.step("where hours belong", LOOKING_AGAIN)
    if (may_move or held.released) and _stage_differences(book):
        if not (move_hours or batch.counts.get("rule")):
            refuse_hours_that_leave(book)
        moves = moves_staged(book)
        book.progress.step("hours that move", LOOKING_AGAIN)
        _post_differences(batch)
    book.progress.step("closed periods", LOOKING_AGAIN)
    late = _post_late(book, batch, late_reason) if late_reason is not None else ()
    kept = tuple(KeptEntry(**row) for row in places_kept(book))
    return PlacesPosted(held.released, held.matched, moves, kept, late, held.named)
