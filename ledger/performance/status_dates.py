"""The day that a report is of, where none is named."""

from datetime import date

from ledger.errors import Refused, Remedy
from ledger.jobs.jobs import calendar_of, job_card
from ledger.store.book import Book


def status_date_of(book: Book, job: str, status_date: date | None) -> date:
    """Return the status date asked for, else the usual one of the job.

    Raises: Refused when there is no such job, or no such week.
    """
    job_card(book, job)
    return status_date or default_status_date(book, job)


def default_status_date(book: Book, job: str) -> date:
    """Return the last week end with a measurement and an entry in its week.

    Of a job without anything to measure it is that of the newest entry. Raises: Refused when there
    is none.
    """
    calendar = calendar_of(book, job)
    weeks: dict[str, set[date]] = {"entry": set(), "measurement": set()}
    for day, what in book.rows("performance/status_dates", job=job):
        weeks[what].add(calendar.week_end(day))
    both = weeks["entry"] & weeks["measurement"]
    if not both and not is_measurable(book, job):
        both = weeks["entry"]
    if not both:
        raise Refused("status_date_missing", job=job, remedy=Remedy("status_date"))
    return max(both)


def is_measurable(book: Book, job: str) -> bool:
    """Return whether anything of a job is measured by what is done: not all is level of effort."""
    return bool(book.rows("performance/measurable", job=job))
