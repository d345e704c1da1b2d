"""Where every entry belongs by codes and rules, posted as signed differences."""

from typing import Any

from ledger.sheets.loading import look_again_at_held
from ledger.sheets.moves import moves_shown, refuse_hours_that_leave
from ledger.store.batches import Batch
from ledger.store.book import Book

# The tables that say whether a held line can be read, and where an entry belongs.
DECIDING = frozenset(
    {"change", "closing", "crew", "entry", "job", "rule", "setting", "withdrawal", "work_package"}
)


def post_places(book: Book, batch: Batch) -> int:
    """Post what moves every entry to the place its code and the rules give; return the rows.

    Entries that were in the book when their period was closed stay where they are. Loading twice
    posts nothing the second time.
    """
    return _post_differences(batch) if _stage_differences(book) else 0


def _stage_differences(book: Book) -> bool:
    """Stage the postings that bring every entry to its place; return whether there are entries."""
    if not book.rows("sheets/lines_there")[0][0]:
        return False
    book.stage("code", "jobs/codes_known")
    _stage_places(book)
    book.stage("entry_placed", "sheets/entries_placed")
    book.stage("difference", "sheets/posting_differences")
    return True


def _post_differences(batch: Batch) -> int:
    return batch.append_query("posting", "sheets/differences_staged")


def post_new(book: Book, batch: Batch) -> int:
    """Post the entries that the batch added to where they belong; return the rows.

    For a batch of sheets: it decides nothing about the entries before, has not posted its own, and
    the codes are staged already, as its lines were compared by them.
    """
    if not batch.counts.get("entry"):
        return 0
    _stage_places(book, since=batch.sequence)
    book.stage("entry_placed", "sheets/entries_placed")
    return batch.append_query("posting", "sheets/postings_first", after=batch.last_row("posting"))


def _stage_places(book: Book, *, since: int = 0, closed: bool = False) -> None:
    """Stage the entries of batches from one on, and where they belong by the codes staged."""
    book.stage("entry_to_place", "sheets/entries_to_place", since=since, closed=closed)
    book.stage("place", "sheets/places")


def places_kept(book: Book) -> list[dict[str, Any]]:
    """Return the entries of closed periods that codes and rules would book elsewhere now."""
    if not book.rows("jobs/closings_known"):
        return []
    book.stage("code", "jobs/codes_known")
    _stage_places(book, closed=True)
    book.stage("entry_placed", "sheets/entries_placed")
    book.stage("difference", "sheets/posting_differences")
    return book.records("sheets/places_kept")


def look_again(book: Book, batch: Batch, *, move_hours: bool = False) -> list[str]:
    """Look again at held lines and at all places after a load; return lines to print.

    A load that added nothing to what decides them is passed over. Raises: Refused when hours would
    leave a job where they stand, unless that was asked for: by `move_hours`, or by rules.
    """
    if not DECIDING & {table for table, count in batch.counts.items() if count}:
        return []
    released, matched = look_again_at_held(book, batch)
    said = []
    if released:
        lines = "1 held line is" if released == 1 else f"{released} held lines are"
        said.append(f"{lines} booked now")
    if matched:
        ended = "1 held line" if matched == 1 else f"{matched} held lines"
        said.append(f"{ended} ended: the job is known now, and a line that reads so is booked")
    if _stage_differences(book):
        if not (move_hours or batch.counts.get("rule")):
            refuse_hours_that_leave(book)
        said += moves_shown(book)
        _post_differences(batch)
    if kept := len(places_kept(book)):
        one, more = "1 entry of a closed period stays", f"{kept} entries of closed periods stay"
        said.append(
            f"{one if kept == 1 else more} where booked; `fairhours kept` lists what would move"
        )
    return said
