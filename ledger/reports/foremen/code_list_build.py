"""The list of booking codes made from the book."""

from datetime import date
from zoneinfo import ZoneInfo

from ledger.errors import Refused
from ledger.performance.status_dates import default_status_date
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.foremen.code_list import CodeList
from ledger.reports.foremen.job_codes import JobCodes, cause_codes
from ledger.reports.identity import known_job, stamp_of, yard_of
from ledger.store.book import Book


def build_codes(
    book: Book, job: str, status_date: date | None, commands: Commands = NONE
) -> CodeList:
    """Return the booking codes of a job by a day.

    Without a day it is that of `performance`, and before work is measured that of the record.

    `commands` has the words of the one that makes it again.

    Raises: Refused when there is no such job.
    """
    known_job(book, job)
    day = status_date or usual_day(book, job)
    codes = JobCodes(book, job, day)
    packages, changes = tuple(codes.packages()), tuple(codes.changes())
    listed = {row.code for row in (*packages, *changes)}
    actuals = codes.measured.actuals
    stamp = stamp_of(book)
    return CodeList(
        yard=yard_of(book),
        job=job,
        title=codes.baseline.card.title,
        status_date=day,
        known_at=stamp,
        remade_by=commands.makes(Remade("codes", stamp.sequence, day, job)),
        rehearsal=book.rehearsal,
        is_frozen=codes.is_frozen,
        packages=packages,
        changes=changes,
        causes=cause_codes(book, job),
        elsewhere_ms=sum(actuals.of_part(part) for part in actuals.places - listed),
        job_booked_ms=actuals.total,
    )


def usual_day(book: Book, job: str) -> date:
    """Return the last week end with work measured, else the day of the record in the yard."""
    try:
        return default_status_date(book, job)
    except Refused:
        zone = ZoneInfo(book.setting("yard.zone", "UTC"))
        return book.stamp().recorded_at.astimezone(zone).date()
