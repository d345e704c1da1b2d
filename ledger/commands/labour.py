"""What labour took against what it earned: variances by trade, and productivity lost."""

from dataclasses import dataclass
from datetime import date

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.domain.parsing import parse_date
from ledger.errors import Refused
from ledger.outcomes import Outcome
from ledger.performance.labour_variances import LabourVariances, labour_variances_of
from ledger.performance.measured_mile import Mile, PackageDays, mile_of
from ledger.performance.status_dates import status_date_of
from ledger.store.book import Stamp


@dataclass(frozen=True)
class LabourVariancesKnown(Outcome):
    """Labour variances, the batch they are known at, and the end of the period if closed."""

    variances: LabourVariances
    stamp: Stamp
    closed_to: date | None


@dataclass(frozen=True)
class MileKnown(Outcome):
    """A measured mile, and the batch it is known at."""

    measured: Mile
    stamp: Stamp


def labour_variances(
    access: ReadAccess, job: str, status_date: date | None
) -> LabourVariancesKnown:
    """Return by trade why the labour cost of a job differs from what its work earned.

    Raises: Refused as `performance` does, and while cost is undefined.
    """
    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        return LabourVariancesKnown(labour_variances_of(book, code, day), book.stamp(), closed_to)


def measured_mile(access: ReadAccess, job: str, least_affected: str, affected: str) -> MileKnown:
    """Return the hours lost in one stretch of work against another, each as PACKAGE:FROM..TO.

    Raises: Refused when a stretch is unreadable, and as `mile_of` does.
    """
    spans = [span_of(each) for each in (least_affected, affected)]
    with access.reading() as book:
        status_date_of(book, code_of(job), spans[0].last)
        return MileKnown(mile_of(book, code_of(job), *spans), book.stamp())


def span_of(text: str) -> PackageDays:
    """Return a stretch of work as typed. Raises: Refused when it is unreadable."""
    package, _, days = text.rpartition(":")
    first, _, last = days.partition("..")
    try:
        span = PackageDays(code_of(package), parse_date(first), parse_date(last))
    except ValueError:
        raise Refused("span_unreadable", given=text) from None
    if not span.package:
        raise Refused("span_unreadable", given=text)
    if span.last < span.first:
        raise Refused("span_turned", given=text)
    return span
