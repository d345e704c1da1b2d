"""Titles and descriptions of changes as the owner has them: what was sent stays as sent."""

from datetime import UTC, date
from typing import Any
from zoneinfo import ZoneInfo

from ledger.changes.requests import Change
from ledger.store.book import Book


def keep_sent_wordings(book: Book, job: str, day: date, changes: dict[str, Change]) -> None:
    """Give each change the wording that a statement of a day shows.

    Once a change was submitted or approved, a later wording shows from the day on which it was
    recorded, in the yard's zone; of an earlier day the wording stays as it was sent.
    """
    yard: dict[str, str] = dict(book.rows("owner/yard"))
    zone = ZoneInfo(yard.get("yard.zone", "UTC"))
    for row in book.records("owner/change_wordings", job=job):
        change = changes.get(row["change"])
        if change is not None and _shows(row, change.sent_in, day, zone):
            change.facts["title"] = row["title"]
            change.facts["description"] = row["description"]


def _shows(row: dict[str, Any], sent_in: int | None, day: date, zone: ZoneInfo) -> bool:
    recorded_on: date = row["recorded_at"].replace(tzinfo=UTC).astimezone(zone).date()
    return sent_in is None or row["batch"] <= sent_in or recorded_on <= day
