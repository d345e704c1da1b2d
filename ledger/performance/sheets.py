"""Sheets expected of the crew, week by week: which are in, which are missing."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import job_card, week_start
from ledger.store.book import Book


@dataclass(frozen=True)
class Expected:
    """A worker and a week that has ended, of which a sheet is expected, and whether it is in.

    `ms` is the time on it, of whatever job, and `calendar_ms` the worker's time by the calendar.
    Thin is a sheet with under half of it, no absence and no line whose time cannot be read.
    """

    worker_id: str
    week: date
    is_in: bool
    ms: int
    calendar_ms: int
    is_thin: bool


@dataclass
class SheetsCounted:
    """Sheets expected of one week or one worker: how many, and which are missing."""

    key: date | str
    expected: int
    missing: list[date | str]

    @property
    def sheets_in(self) -> int:
        return self.expected - len(self.missing)


def expected_sheets(book: Book, job: str | None, day: date) -> list[Expected]:
    """Return each worker and week, ended by a day, of which a sheet is expected, by weeks.

    Expected is one of each worker of the crew for each week with a working day of the job (of any
    job if none is named) on which they are active and not on leave known ahead. It is in when an
    entry of theirs stands in that week, of whatever job, or a line of theirs waits there. Held
    lines are to be staged.
    """
    asked = {"job": job, "status_date": day, "week_start": week_start(book)}
    return [
        Expected(worker, week, is_in, int(ms), int(calendar_ms), is_thin)
        for worker, week, is_in, ms, calendar_ms, is_thin in book.rows(
            "performance/sheets_expected", **asked
        )
    ]


def day_of_sheets(book: Book, job: str | None, day: date | None) -> date:
    """Return the day asked for, else that of the newest entry of the job or the whole yard.

    Raises: Refused when there is no such job, or no entry to tell the day from.
    """
    if job is not None:
        job_card(book, job)
    newest: date | None = day or book.rows("performance/newest_entry", job=job)[0][0]
    if newest is None:
        raise Refused("sheets_missing", remedy=Remedy("status_date"))
    return newest


def by_week(expected: Iterable[Expected]) -> list[SheetsCounted]:
    """Return the sheets of each week, the missing ones by worker."""
    return _counted((each.week, each.worker_id, each.is_in) for each in expected)


def by_worker(expected: Iterable[Expected]) -> list[SheetsCounted]:
    """Return the sheets of each worker, the missing ones by week."""
    return _counted((each.worker_id, each.week, each.is_in) for each in expected)


def _counted(sheets: Iterable[tuple[date | str, date | str, bool]]) -> list[SheetsCounted]:
    by_key: dict[date | str, SheetsCounted] = {}
    for key, other, is_in in sheets:
        counted = by_key.setdefault(key, SheetsCounted(key, 0, []))
        counted.expected += 1
        if not is_in:
            counted.missing.append(other)
    return [by_key[key] for key in sorted(by_key, key=str)]
