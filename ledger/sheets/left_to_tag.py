"""What is left to tag, by code, worker, file or entry; and how much of the hours is tagged."""

from typing import Any

from ledger.domain.doubts import ABOUT_TAGS
from ledger.sheets.doubts import doubts_known
from ledger.store.book import Book

BY = ("code", "worker", "file")
Rows = list[dict[str, Any]]


def left_grouped(book: Book, by: str, job: str | None) -> Rows:
    """Return the time left to tag by code, worker or file, the most first."""
    stage_left(book, job)
    return book.records("sheets/left_grouped", by=by)


def left_entries(book: Book, job: str | None) -> Rows:
    """Return the entries left to tag, those of the code with the most time first."""
    stage_left(book, job)
    return book.records("sheets/left_entries")


def hours_by_tagging(book: Book, job: str | None) -> Rows:
    """Return by week how much time is booked by code, by rule, by hand, or untagged."""
    doubtful = [entry for entry, _ in _doubtful(book)]
    return book.records("sheets/hours_by_tagging", job=job, doubtful=doubtful)


def stage_left(book: Book, job: str | None) -> None:
    """Stage in `staged_left` the time left to tag, by entry and place."""
    doubtful = _doubtful(book)
    book.stage(
        "left",
        "sheets/left_to_tag",
        job=job,
        doubtful=[entry for entry, _ in doubtful],
        doubts=[message for _, message in doubtful],
    )


def _doubtful(book: Book) -> list[tuple[str, str]]:
    """Return the entries of open doubts about where time is booked, each with its message."""
    return [
        (entry, doubt["message"])
        for doubt in doubts_known(book, only=ABOUT_TAGS)
        if not doubt["settled_by"]
        for entry in doubt["entries"]
    ]
