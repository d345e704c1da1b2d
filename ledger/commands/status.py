"""Where a job stands, on one screen."""

from dataclasses import dataclass
from datetime import date

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.performance.change_list import changes_day
from ledger.performance.job_status import JobStatus, job_status
from ledger.store.book import Stamp


@dataclass(frozen=True)
class StatusKnown(Outcome):
    """Where a job stands, the batch it is known at, and the end of its period if closed."""

    status: JobStatus
    stamp: Stamp
    closed_to: date | None


def status(access: ReadAccess, job: str, status_date: date | None) -> StatusKnown:
    """Return where a job stands: money, hours, time, changes, and what to do.

    Raises: Refused when there is no such job, or nothing to tell a status date from.
    """
    code = code_of(job)
    with access.reading() as book:
        day = changes_day(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        return StatusKnown(job_status(book, code, day), book.stamp(), closed_to)
