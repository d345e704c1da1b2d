"""Where every entry belongs by codes and rules, posted as signed differences."""

from typing import Any

from ledger.intake.sheets import look_again_at_held
from ledger.store.batches import Batch
from ledger.store.book import Book

# The tables that say whether a held line can be read, and where an entry belongs.
DECIDING = frozenset({"change", "crew", "entry", "job", "rule", "setting", "work_package"})


def post_places(book: Book, batch: Batch) -> int:
    """Post what moves every entry to the place its code and the rules give; return the rows.

    Entries that were in the book when their period was closed stay where they are. Loading twice
    posts nothing the second time.
    """
    if not book.rows("lines_there")[0][0]:
        return 0
    _stage_places(book)
    return batch.append_query("posting", "posting_differences", closed=False)


def _stage_places(book: Book) -> None:
    book.stage("code", "codes_known")
    book.stage("place_key", "place_keys")
    book.stage("place", "places")


def places_kept(book: Book) -> list[dict[str, Any]]:
    """Return the entries of closed periods that codes and rules would book elsewhere now."""
    _stage_places(book)
    return _kept(book)


def _kept(book: Book) -> list[dict[str, Any]]:
    """Return what places_kept does, when places are staged."""
    if not book.rows("closings_known"):
        return []
    book.stage("difference", "posting_differences", closed=True)
    return book.records("places_kept")


def look_again(book: Book, batch: Batch) -> list[str]:
    """Look again at held lines and at all places after a load; return lines to print.

    A load that added nothing to what decides them is passed over.
    """
    if not DECIDING & {table for table, count in batch.counts.items() if count}:
        return []
    released = look_again_at_held(book, batch)
    posted = post_places(book, batch)
    said = []
    if released:
        lines = "1 held line is" if released == 1 else f"{released} held lines are"
        said.append(f"{lines} booked now")
    if posted:
        said.append(f"{posted} postings follow from it")
    if kept := len(_kept(book)):
        one, more = "1 entry of a closed period stays", f"{kept} entries of closed periods stay"
        said.append(
            f"{one if kept == 1 else more} where booked; `fairhours kept` lists what would move"
        )
    return said
