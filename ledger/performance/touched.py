"""Measures of the parts of jobs that moved hours touch, before and after."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from ledger.domain.measures import Figure
from ledger.errors import Refused
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured, row_of
from ledger.performance.status_dates import default_status_date
from ledger.store.book import Book

MEASURES = ("bac", "ev", "ac", "cpi")
Touched = tuple[str, str, date]  # A job, a part of it, and the newest day of the job's hours.


@dataclass(frozen=True)
class PartMeasured:
    """A part's measures in hours by `MEASURES`, before and after; the whole job's without part."""

    job: str
    part: str | None
    status_date: date
    before: dict[str, Figure]
    after: dict[str, Figure]


def measures_touched(book: Book, touched: Iterable[Touched], before: int) -> list[PartMeasured]:
    """Return the measures of parts as known at a batch and now, each job's own last.

    The status date is the job's, or the newest day of the hours that move if that is later.
    """
    rows = []
    for job, group in groupby(touched, key=lambda each: each[0]):
        names = list(group)
        day = _status_date(book, job, names[0][2])
        then, now = (Measured(known, job, Scope(day)) for known in (book.known_by(before), book))
        for part in [*(name for _, name, _ in names), None]:
            measured = [_measures(each, part) for each in (then, now)]
            rows.append(PartMeasured(job, part, day, *measured))
    return rows


def _status_date(book: Book, job: str, newest: date) -> date:
    try:
        return max(default_status_date(book, job), newest)
    except Refused as refused:
        if refused.kind != "status_date_missing":
            raise
        return newest


def _measures(measured: Measured, part: str | None) -> dict[str, Figure]:
    """Return the measures of a part; without budget its time alone."""
    cells = [cell for cell in measured.cells.values() if part in (None, cell.part)]
    figures = row_of(cells).figures
    if part is not None and not figures["bac"]:
        return {**dict.fromkeys(MEASURES), "ac": measured.actuals.of_part(part)}
    return {name: figures[name] for name in MEASURES}
