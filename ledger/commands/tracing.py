"""Traces: the life of an entry and the figures that it is in; a figure opened to its entries."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from ledger.commands.access import ReadAccess
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.performance import tracing as of_figures
from ledger.performance.status_dates import status_date_of
from ledger.performance.tracing import FiguresOfEntry, FigureTraced
from ledger.sheets import tracing
from ledger.store.book import Book, Stamp


@dataclass(frozen=True)
class EntryLife(Outcome):
    """The life of an entry or a sheet line, a row an event, and the figures that it is in."""

    rows: list[dict[str, Any]]
    figures: tuple[FiguresOfEntry, ...]
    stamp: Stamp


@dataclass(frozen=True)
class FigureKnown(Outcome):
    """A figure with its entries, the batch it is known at, and the end of its period if closed."""

    traced: FigureTraced
    stamp: Stamp
    closed_to: date | None


def trace(
    access: ReadAccess, named: str, status_date: date | None = None, *, of_line: bool = False
) -> EntryLife:
    """Return the life of an entry, or of a sheet line, and the figures that its time is in."""
    with access.reading() as book:
        rows = tracing.life(book, named, of_line=of_line)
        line = tracing.line_of(book, named, of_line=of_line)
        stamp = book.stamp()
        return EntryLife(rows, tuple(_figures(access, book, line, status_date)), stamp)


def _figures(
    access: ReadAccess, book: Book, line: tuple[int, int], status_date: date | None
) -> list[FiguresOfEntry]:
    """Return the figures of each job as the job's own figures are known: of a closed period then.

    What was recorded later is a late adjustment, and in no figure of that day.
    """
    figures: list[FiguresOfEntry] = []
    now = book.upto
    for job, day in of_figures.days_of_jobs(book, line, status_date).items():
        closed_to = access.as_closed(book, job, day) if job and day else None
        in_job = of_figures.figures_of_line(book, line, job, day)
        book.upto = now
        if closed_to and not in_job:
            late = of_figures.figures_of_line(book, line, job, day)
            in_job = [replace(each, figures=None) for each in late]
        figures += [replace(each, closed_to=closed_to) for each in in_job]
    return figures


def trace_figure(
    access: ReadAccess, job: str, status_date: date | None, group: str, name: str
) -> FigureKnown:
    """Return a step, a mark or a place of a job with the entries whose hours are in it.

    Raises: Refused when there is no such job or place, or nothing to tell a status date from.
    """
    code = code_of(job)
    with access.reading() as book:
        day = status_date_of(book, code, status_date)
        closed_to = access.as_closed(book, code, day)
        traced = of_figures.trace_figure(book, code, day, group, name)
        return FigureKnown(traced, book.stamp(), closed_to)
