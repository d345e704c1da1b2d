"""Where every entry belongs by codes and rules, posted as signed differences."""

from typing import Any

from ledger.sheets.looking_again import rejudge_held
from ledger.sheets.moves import moves_staged, refuse_hours_that_leave
from ledger.sheets.outcomes import Move, PlacesPosted
from ledger.sheets.places import stage_places
from ledger.store.batches import Batch
from ledger.store.book import Book

# The tables that say whether a held line can be read, and where an entry belongs.
DECIDING = frozenset({"change", "crew", "job", "rule", "setting", "withdrawal", "work_package"})
# What may be added without any entry belonging elsewhere, where no rule looks at a worker's trade.
MOVING_NOTHING = frozenset({"crew", "worker_name", "file"})
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


def reprocess_held(book: Book, batch: Batch, *, move_hours: bool = False) -> PlacesPosted:
    """Look again at held lines and at all places after a write that decides them.

    Raises: Refused when hours would leave a job where they stand, unless that was asked for: by
    `move_hours`, or by rules.
    """
    book.progress.step("held lines", LOOKING_AGAIN)
    may_move = _may_move(book, batch)
    released, matched = rejudge_held(book, batch)
    moves: tuple[Move, ...] = ()
    book.progress.step("where hours belong", LOOKING_AGAIN)
    if (may_move or released) and _stage_differences(book):
        if not (move_hours or batch.counts.get("rule")):
            refuse_hours_that_leave(book)
        moves = moves_staged(book)
        book.progress.step("hours that move", LOOKING_AGAIN)
        _post_differences(batch)
    book.progress.step("closed periods", LOOKING_AGAIN)
    return PlacesPosted(released, matched, moves, len(places_kept(book)))
