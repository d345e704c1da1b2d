"""A job over time: as known now, as its period was closed, or each period as known then."""

from dataclasses import dataclass, replace
from datetime import date

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.domain.schedule import TimeFigures
from ledger.outcomes import Outcome
from ledger.performance.completeness import Completeness, completeness
from ledger.performance.measure import Measured
from ledger.performance.series import OverTime, Series, SeriesAsked
from ledger.performance.status_dates import status_date_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class SeriesKnown(Outcome):
    """A job over time, the batch it is known at, and the end of its period if closed.

    `time` is where it stood in time at the end of each week; none by month, or as known then.
    """

    series: Series
    time: list[TimeFigures]
    completeness: Completeness
    stamp: Stamp
    closed_to: date | None


def series(access: ReadAccess, asked: SeriesAsked) -> SeriesKnown:
    """Return what was planned, earned and booked of a job by the end of each week or month.

    Raises: Refused when there is no such job, or nothing to tell a status date from.
    """
    job = code_of(asked.job)
    with access.reading() as book:
        day = status_date_of(book, job, asked.status_date)
        closed_to = access.as_closed(book, job, day)
        asked = replace(asked, job=job, status_date=day)
        over_time = OverTime(book, asked)
        chosen = over_time.as_known_then if asked.as_known_then else over_time.series
        time = [] if asked.as_known_then else over_time.time
        daily = Measured(book, job, replace(asked.scope, every="day"))
        return SeriesKnown(chosen, time, completeness(book, daily), book.stamp(), closed_to)
