"""Where every entry belongs by codes and rules, posted as signed differences."""

from ledger.intake.sheets import look_again_at_held
from ledger.store.batches import Batch
from ledger.store.book import Book


def post_places(book: Book, batch: Batch) -> int:
    """Post what moves every entry to the place its code and the rules give; return the rows.

    Loading twice posts nothing the second time.
    """
    book.stage("code", "codes_known")
    book.stage("place_key", "place_keys")
    book.stage("place", "places")
    return batch.append_query("posting", "posting_differences")


def look_again(book: Book, batch: Batch) -> list[str]:
    """Look again at held lines and at all places after a load; return lines to print."""
    released = look_again_at_held(book, batch)
    posted = post_places(book, batch)
    said = []
    if released:
        lines = "1 held line is" if released == 1 else f"{released} held lines are"
        said.append(f"{lines} booked now")
    if posted:
        said.append(f"{posted} postings follow from it")
    return said
