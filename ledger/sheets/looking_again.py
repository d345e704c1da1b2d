"""Held lines looked at again, once what they waited for is known."""

from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_lines
from ledger.store.batches import Batch
from ledger.store.book import Book

# What decides how a held line reads, beside the day of the batch.
READ_BY = frozenset({"crew", "withdrawal"})


def rejudge_held(book: Book, batch: Batch) -> tuple[int, int]:
    """Book the held lines whose worker is known by now; return how many, and how many ended.

    A line that was held for its job ends where that job is known now and the line is booked.
    """
    held_for = {reason for (reason,) in book.rows("sheets/held_reasons")}
    matched = 0
    if "job_differs" in held_for:
        read_to_compare(book)
        stage_held(book)
        compare_corrected(book)
        matched = batch.append_query("line_outcome", "sheets/lines_of_known_job")
    if not held_for or not _may_read_otherwise(batch, held_for):
        return 0, matched
    stage_held(book)
    released = judge_lines(book, "sheets/held_rejudged", last_entry_row=batch.last_row("entry"))
    if released:
        batch.append_query("line_outcome", "sheets/lines_released")
    batch.append_query("line_outcome", "sheets/held_for_another_reason")
    return batch.append_query("entry", "sheets/lines_to_book") if released else 0, matched


def _may_read_otherwise(batch: Batch, held_for: set[str]) -> bool:
    """Return whether a held line may read otherwise now than when it was read last.

    A day that was too far ahead comes nearer; all else is read as it was, with the same crew.
    """
    added = {table for table, count in batch.counts.items() if count}
    return bool(added & READ_BY) or "date_out_of_range" in held_for
