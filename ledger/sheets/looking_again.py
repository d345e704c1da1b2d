"""Held lines looked at again, once what they waited for is known."""

from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_lines
from ledger.store.batches import Batch
from ledger.store.book import Book


def rejudge_held(book: Book, batch: Batch) -> tuple[int, int]:
    """Book the held lines whose worker is known by now; return how many, and how many ended.

    A line that was held for its job ends where that job is known now and the line is booked.
    """
    if not book.rows("sheets/lines_there")[0][1]:
        return 0, 0
    matched = 0
    if book.rows("sheets/held_chosen", file=None, reason="job_differs"):
        read_to_compare(book)
        stage_held(book)
        compare_corrected(book)
        matched = batch.append_query("line_outcome", "sheets/lines_of_known_job")
    stage_held(book)
    released = judge_lines(book, "sheets/held_rejudged", last_entry_row=batch.last_row("entry"))
    if released:
        batch.append_query("line_outcome", "sheets/lines_released")
    batch.append_query("line_outcome", "sheets/held_for_another_reason")
    return batch.append_query("entry", "sheets/lines_to_book") if released else 0, matched
