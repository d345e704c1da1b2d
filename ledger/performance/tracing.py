"""A figure of the overrun, or a place, opened down to its entries; and the figures of an entry.

What a figure holds of time worked is what of it counts under the figure by the rules of the
overrun; the rest, budgets and forecasts, is named beside it, and both add up to the figure.
"""

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.basis import Scope
from ledger.performance.measure import Measured
from ledger.performance.overrun import STEP, CountedUnder, Overrun, OverrunExplained
from ledger.performance.status_dates import default_status_date
from ledger.store.book import Book

PLACE = "place"
# All that is booked ends up in it.
FINAL = "anticipated_final"
Key = tuple[str, str | None, str | None]


@dataclass(frozen=True)
class FigureTraced:
    """A figure in ms, what of it is worked, the entries that are, and by name what is not.

    `whole` is the overrun that the figure is of.
    """

    job: str
    status_date: date
    group: str
    name: str
    ms: int
    worked_ms: int
    not_worked: dict[str, int]
    entries: list[dict[str, Any]] = field(repr=False)
    whole: Overrun = field(repr=False)


@dataclass(frozen=True)
class FiguresOfEntry:
    """Time of an entry at one place, and the figures of its job that it is in by a day.

    `figures` are None where the time is in no job, or is of a day after the status date.
    `not_approved` says that its place is a change outside the job's AC. `closed_to` ends the closed
    period that the figures are of, as known then.
    """

    job: str | None
    place: str
    cause: str | None
    rework: str | None
    ms: int
    status_date: date | None
    figures: CountedUnder | None
    change: str | None
    not_approved: bool
    daywork_sheets: tuple[str, ...]
    closed_to: date | None = None


def trace_figure(book: Book, job: str, day: date, group: str, name: str) -> FigureTraced:
    """Return a step, a mark or a place of a job with the entries whose hours are in it.

    Raises: Refused when the job has no such place.
    """
    explained = OverrunExplained(Measured(book, job, Scope(day)))
    whole = explained.result()
    figure = name if group != PLACE else _place(explained.measured, name)
    keys = _keys(explained, group, figure)
    entries = _entries(book, job, day, keys)
    worked = sum(
        each.ms
        for each in explained.measured.actuals.booked
        if (each.part, each.cause, each.rework) in keys
    )
    assert sum(int(row["ms"]) for row in entries) == worked
    rest = dict(explained.not_worked.get((group, figure), {}))
    rest = {piece: amount for piece, amount in rest.items() if amount}
    ms = worked if group == PLACE else _amount(whole, group, figure)
    assert ms == worked + sum(rest.values()), (group, figure, ms, worked, rest)
    return FigureTraced(job, day, group, figure, ms, worked, rest, entries, whole)


def _amount(whole: Overrun, group: str, name: str) -> int:
    return {STEP: whole.steps.amounts, "asked_by": whole.asked_by, "borne_by": whole.borne_by}[
        group
    ][name]


def _keys(explained: OverrunExplained, group: str, name: str) -> set[Key]:
    """Return the places, with causes, whose time counts in a figure."""
    booked = {(each.part, each.cause, each.rework) for each in explained.measured.actuals.booked}
    if group == PLACE:
        return {key for key in booked if key[0] == name}
    if name == FINAL:
        return booked
    return {key for key in booked if getattr(explained.figures_of(*key), group) == name}


def _place(measured: Measured, named: str) -> str:
    """Return a place of the job as it is booked to. Raises: Refused when it has no such place."""
    code, word = code_of(named), word_of(named)
    if word in {NON_PRODUCTIVE, UNTAGGED}:
        return word
    baseline = measured.baseline
    if code in baseline.changes or baseline.package(code) or code in measured.actuals.places:
        return code
    raise Refused("place_not_in_job", job=measured.job, place=named)


def _entries(book: Book, job: str, day: date, keys: set[Key]) -> list[dict[str, Any]]:
    if not keys:
        return []
    ordered = sorted(keys, key=str)
    return book.records(
        "performance/entries_of_figure",
        job=job,
        status_date=day,
        places=[place for place, _, _ in ordered],
        causes=[cause for _, cause, _ in ordered],
        reworks=[rework for _, _, rework in ordered],
    )


def days_of_jobs(
    book: Book, line: tuple[int, int], status_date: date | None
) -> dict[str | None, date | None]:
    """Return the jobs that the time of a sheet line stands in, each with the day of its figures.

    Without a status date the usual one of the job, or the line's own day if later. Time in no job
    is under None.
    """
    own: dict[str | None, date] = {}
    for row in _places(book, line):
        own[row["job"]] = max(row["day"], own.get(row["job"], row["day"]))
    return {job: None if job is None else _day(book, job, status_date, own[job]) for job in own}


def figures_of_line(
    book: Book, line: tuple[int, int], job: str | None, day: date | None
) -> list[FiguresOfEntry]:
    """Return where the time of a sheet line stands in a job, and the figures that it is in."""
    rows = [row for row in _places(book, line) if row["job"] == job]
    if job is None or day is None:
        return [_in_no_figure(row) for row in rows]
    explained = OverrunExplained(Measured(book, job, Scope(day)))
    return [_figures_of(row, explained) for row in rows]


def _places(book: Book, line: tuple[int, int]) -> list[dict[str, Any]]:
    return book.records("performance/places_of_entry", line_batch=line[0], line_row=line[1])


def _day(book: Book, job: str, status_date: date | None, own: date) -> date:
    if status_date is not None:
        return status_date
    try:
        return max(own, default_status_date(book, job))
    except Refused:
        return own


def _in_no_figure(row: dict[str, Any]) -> FiguresOfEntry:
    place = row["job"], row["booked_to"], row["cause"], row["rework"], int(row["ms"])
    return FiguresOfEntry(*place, None, None, None, not_approved=False, daywork_sheets=())


def _figures_of(row: dict[str, Any], explained: OverrunExplained) -> FiguresOfEntry:
    measured, place = explained.measured, row["booked_to"]
    counts = row["day"] <= measured.day
    return replace(
        _in_no_figure(row),
        status_date=measured.day,
        figures=explained.figures_of(place, row["cause"], row["rework"]) if counts else None,
        change=place if place in measured.baseline.changes else None,
        not_approved=measured.is_outside(place),
        daywork_sheets=tuple(row["daywork_sheets"]),
    )
