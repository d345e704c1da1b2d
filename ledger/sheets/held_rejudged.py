"""Held lines judged again, once what they waited for is known."""

from dataclasses import dataclass

from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_lines
from ledger.store.batches import Batch
from ledger.store.book import Book

# What decides how a held line reads, beside the day of the batch.
READ_BY = frozenset({"crew", "worker_name", "worker_alias", "withdrawal"})


@dataclass(frozen=True)
class Rejudged:
    """Held lines that were booked, and those that are booked lines by their job or their worker.

    `reissued` lines wait with those of their sheet's worker-day, of which another file has others.
    """

    released: int = 0
    matched: int = 0
    named: int = 0
    reissued: int = 0


def rejudge_held(book: Book, batch: Batch) -> Rejudged:
    """Book the held lines whose worker is known by now; return how many, and which ended.

    A line that was held for its job, or for the name of its worker, ends where that is known now
    and the line is booked. Where its sheet has other lines of the worker's day it is a re-issue.
    """
    held_for = {reason for (reason,) in book.rows("sheets/held_reasons")}
    matched = named = reissued = 0
    if "job_differs" in held_for:
        matched = _match(book, batch, "sheets/lines_of_known_job")
    if "worker_unknown" in held_for and book.rows("sheets/held_by_name")[0][0]:
        named = _match(book, batch, "sheets/lines_of_known_name")
        reissued = batch.append_query("reissued_line", "sheets/lines_reissued_by_name")
    if not held_for or not _may_read_otherwise(batch, held_for):
        return Rejudged(0, matched, named, reissued)
    stage_held(book)
    released = judge_lines(book, "sheets/held_rejudged", last_entry_row=batch.last_row("entry"))
    if released:
        batch.append_query("line_outcome", "sheets/lines_released")
    batch.append_query("line_outcome", "sheets/held_for_another_reason")
    booked = batch.append_query("entry", "sheets/lines_to_book") if released else 0
    return Rejudged(booked, matched, named, reissued)


def _match(book: Book, batch: Batch, query: str) -> int:
    """End the held lines that a query says are booked lines; return how many."""
    read_to_compare(book)
    stage_held(book)
    compare_corrected(book)
    return batch.append_query("line_outcome", query)


def _may_read_otherwise(batch: Batch, held_for: set[str]) -> bool:
    """Return whether a held line may read otherwise now than when it was read last.

    A day that was too far ahead comes nearer; all else is read as it was, with the same crew and
    the same names.
    """
    added = {table for table, count in batch.counts.items() if count}
    return bool(added & READ_BY) or "date_out_of_range" in held_for
