"""A job as known: its card and its calendar."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from ledger.domain.calendar import WEEKDAYS, WorkCalendar
from ledger.errors import Refused, Remedy
from ledger.store.book import Book


@dataclass(frozen=True)
class JobCard:
    """A job's own facts; lists and tables of its file as JSON."""

    job: str
    title: str
    owner: str
    contract_sum: Decimal
    contract_date: date
    planned_start: date
    planned_finish: date
    contract_basis: str
    working_week: str
    management_reserve_ms: int
    owner_sees_overrun: bool
    key_dates: str
    completion_date: date | None
    days: str
    silence_confirms_days: int | None
    authority: str
    provisional_sums: str
    notice_limits: str


def job_card(book: Book, job: str) -> JobCard:
    """Return the job's own facts. Raises: Refused when the book has no such job."""
    cards = book.records("jobs/job_card", job=job)
    if not cards:
        raise job_unknown(job)
    return JobCard(**cards[0])


def job_unknown(job: str) -> Refused:
    """Return the refusal of a job that the book has not."""
    return Refused("job_unknown", job=job, remedy=Remedy("show", what="jobs"))


def key_dates_astray(book: Book, job: str, key_dates: str) -> list[tuple[int, str, str]]:
    """Return what key dates of a job, as JSON, are of and its estimate has not.

    That is the key date's place and name, and the code; nothing while there is no estimate.
    """
    known = {code for code, _ in book.rows("jobs/codes_of_job", job=job)}
    return [
        (place, each["name"], code)
        for place, each in enumerate(json.loads(key_dates))
        for code in each["packages"]
        if known and code not in known
    ]


def sums_astray(book: Book, job: str, provisional_sums: str) -> list[tuple[int, str, str]]:
    """Return what provisional sums of a job are of and its estimate has not, as for key dates."""
    known = {code for code, _ in book.rows("jobs/codes_of_job", job=job)}
    return [
        (place, each["name"], each["package"])
        for place, each in enumerate(json.loads(provisional_sums))
        if known and each["package"] and each["package"] not in known
    ]


def currency_of(card: Mapping[str, Any], settings: Mapping[str, str]) -> str:
    """Return the currency of a job: the one it is invoiced in, else the yard's."""
    own: str = json.loads(card["invoice"] or "{}").get("currency", "")
    return own or settings.get("yard.currency", "")


def week_start(book: Book) -> int:
    """Return the weekday that weeks begin on, 0 for Monday."""
    return WEEKDAYS.index(book.setting("yard.week_start", "monday")[:3])


def calendar_of(book: Book, job: str) -> WorkCalendar:
    """Return the working days of a job with their weights."""
    by_weight = book.rows("jobs/job_days", job=job)
    days = [(day, weight) for weight, days in by_weight for day in days]
    return _calendar(book, sorted(days) if len(by_weight) > 1 else days)


def calendar_by(book: Book, job: str, sequence: int) -> WorkCalendar:
    """Return the working days of a job with their weights as they were by a batch."""
    return _calendar(book, book.rows("jobs/job_calendar_by", job=job, sequence=sequence))


def _calendar(book: Book, rows: list[tuple[date, Decimal]]) -> WorkCalendar:
    days, weights = tuple(row[0] for row in rows), tuple(row[1] for row in rows)
    return WorkCalendar(days, week_start(book), weights)
