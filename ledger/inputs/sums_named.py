"""Provisional sums that changes are paid from, held against those that the job has."""

from ledger.changes.prices import PriceList
from ledger.changes.provisional_sums import ProvisionalSum
from ledger.changes.requests import changes_of
from ledger.store.book import Book


def sums_left_out(
    book: Book, job: str, kept: dict[str, ProvisionalSum] | None = None
) -> list[tuple[str, str]]:
    """Return each sum that a change names and the job has not, with the change.

    `kept` are the sums that the job is to have, else those that it has.
    """
    sums = PriceList(book, job).provisional_sums if kept is None else kept
    left_out = []
    for change in changes_of(book, job).values():
        lines = (line for lines in change.lines.values() for line in lines)
        named = dict.fromkeys(line["provisional_sum"] for line in lines)
        left_out += [(name, change.code) for name in named if name and name not in sums]
    return left_out
