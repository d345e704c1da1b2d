"""Likely places of what is left to tag; nothing is written."""

from dataclasses import dataclass

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.sheets import suggestions
from ledger.sheets.left_to_tag import Rows
from ledger.store.book import Stamp


@dataclass(frozen=True)
class LeftFilter:
    """Which of what is left to tag: all that fits; None: whatever it is. A blank code is none."""

    job: str | None = None
    worker: str | None = None
    code: str | None = None


@dataclass(frozen=True)
class TagsSuggested(Outcome):
    """Up to three likely places of what is left to tag, by week or day."""

    by: str
    job: str | None
    rows: Rows
    stamp: Stamp


def suggest_tags(access: ReadAccess, which: LeftFilter, by: str = "week") -> TagsSuggested:
    """Return likely places of what is left to tag, each with the evidence for it."""
    job = code_of(which.job) if which.job else None
    with access.reading() as book:
        rows = suggestions.suggested(book, job, by_day=by == "day")
        stamp = book.stamp()
    if which.worker is not None:
        rows = [row for row in rows if row["worker_id"] == code_of(which.worker)]
    if which.code is not None:
        rows = [row for row in rows if row["code"] == (code_of(which.code) or None)]
    return TagsSuggested(by, job, rows, stamp)
