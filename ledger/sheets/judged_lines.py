"""What becomes of each line: `staged_judged`, and `staged_first` before sheets are compared."""

from ledger.store.batches import Batch
from ledger.store.book import Book


def judge_lines(book: Book, query: str, **inputs: object) -> int:
    """Stage what a query says becomes of each line; return how many lines these are."""
    count = book.stage("judgement", query, **inputs)
    book.view("judged", "FROM staged_judgement")
    return count


def judge_in_place(book: Book, batch: Batch) -> None:
    """Let all parsed lines be new, where their places count from 1 without a gap."""
    inputs = {"batch": batch.sequence, "last_line_row": batch.last_row("line")}
    book.view_of("judged", "sheets/lines_new_in_place", **inputs)


def judge_by_themselves(book: Book, **inputs: object) -> None:
    """Stage in `staged_first` what becomes of each line, before its sheet is looked at."""
    book.stage("first", "sheets/lines_judged", **inputs)


def judge_by_sheet(book: Book, query: str | None) -> None:
    """Stage what becomes of the lines of `staged_first`: as a query says, else as stands there."""
    if query:
        judge_lines(book, query)
    else:
        book.view("judged", "FROM staged_first")


def release_judged(batch: Batch) -> int:
    """Keep how the judged lines end, and book those that are booked; return how many these are."""
    batch.append_query("line_outcome", "sheets/lines_released")
    return batch.append_query("entry", "sheets/lines_to_book")
