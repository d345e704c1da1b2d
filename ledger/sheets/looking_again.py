"""Held lines looked at again, once what they waited for is known."""

from dataclasses import dataclass

from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.held_lines import stage_held
from ledger.sheets.judged_lines import judge_lines
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class Rejudged:
    """Held lines that were booked, and those that are booked lines by their job or their worker."""

    released: int = 0
    matched: int = 0
    named: int = 0


def rejudge_held(book: Book, batch: Batch) -> Rejudged:
    """Book the held lines whose worker is known by now; return how many, and which ended.

    A line that was held for its job, or for the name of its worker, ends where that is known now
    and the line is booked.
    """
    if not book.rows("sheets/lines_there")[0][1]:
        return Rejudged()
    matched = named = 0
    if book.rows("sheets/held_chosen", file=None, reason="job_differs"):
        matched = _match(book, batch, "sheets/lines_of_known_job")
    if book.rows("sheets/held_by_name")[0][0]:
        named = _match(book, batch, "sheets/lines_of_known_name")
    stage_held(book)
    released = judge_lines(book, "sheets/held_rejudged", last_entry_row=batch.last_row("entry"))
    if released:
        batch.append_query("line_outcome", "sheets/lines_released")
    batch.append_query("line_outcome", "sheets/held_for_another_reason")
    booked = batch.append_query("entry", "sheets/lines_to_book") if released else 0
    return Rejudged(booked, matched, named)


def _match(book: Book, batch: Batch, query: str) -> int:
    """End the held lines that a query says are booked lines; return how many."""
    read_to_compare(book)
    stage_held(book)
    compare_corrected(book)
    return batch.append_query("line_outcome", query)
