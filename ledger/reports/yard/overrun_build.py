"""Why a job's hours changed, for the yard, made from the book."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from ledger.changes.requests import Change
from ledger.domain.change_life import APPROVALS
from ledger.domain.overrun import ASKED_BY, BORNE_BY, STEPS
from ledger.errors import Refused
from ledger.performance.basis import FOUR_WEEKS, Scope
from ledger.performance.completeness import completeness
from ledger.performance.measure import Measured
from ledger.performance.overrun import ORIGINAL_WORK, VARIATIONS, Overrun, OverrunExplained
from ledger.performance.status_dates import status_date_of
from ledger.reports.commands_named import NONE, Commands, Remade
from ledger.reports.identity import stamp_of, yard_of
from ledger.reports.yard.overrun import (
    BEARERS,
    ChangeOverTime,
    MarkRow,
    PartRow,
    StepRow,
    WeekRow,
    YardOverrun,
)
from ledger.store.book import Book

DECIDING = (*sorted(APPROVALS), "declined", "disputed", "counter_offer", "withdrawn")


def build_overrun(
    book: Book,
    job: str,
    status_date: date | None,
    last_date: date | None = None,
    commands: Commands = NONE,
) -> YardOverrun:
    """Return why the hours of a job changed by a day, beside what was so on an earlier day.

    Left out, the earlier day is four weeks before. Raises: Refused as `overrun` does.
    """
    day = status_date_of(book, job, status_date)
    measured = Measured(book, job, Scope(day))
    explained = OverrunExplained(measured)
    now, last_day = explained.result(), last_date or day - FOUR_WEEKS
    last = _as_of(book, job, last_day)
    stamp = stamp_of(book)
    return YardOverrun(
        yard=yard_of(book),
        job=job,
        title=measured.baseline.card.title,
        status_date=day,
        last_date=last_day if last else None,
        known_at=stamp,
        remade_by=commands.makes(Remade("overrun", stamp.sequence, day, job, since=last_date)),
        rehearsal=book.rehearsal,
        is_incomplete=bool(completeness(book, measured).reasons),
        planned_start=measured.baseline.card.planned_start,
        steps=tuple(_steps(now, last)),
        asked_by=_marks(ASKED_BY, now.asked_by, last.asked_by if last else None),
        borne_by=_marks(BORNE_BY, now.borne_by, last.borne_by if last else None),
        parts=tuple(_parts(measured)),
        weeks=tuple(_weeks(explained)),
        changes=tuple(_changes(measured)),
        booked_ms=measured.actuals.total,
    )


def _as_of(book: Book, job: str, day: date) -> Overrun | None:
    """Return the overrun on an earlier day; None before there was a baseline."""
    try:
        overrun = OverrunExplained(Measured(book, job, Scope(day))).result()
    except Refused:
        return None
    return overrun if overrun.steps.amounts["original_budget"] else None


def _steps(now: Overrun, last: Overrun | None) -> Iterator[StepRow]:
    for step in STEPS:
        then = last.steps.amounts[step] if last else None
        to_date, to_come = now.steps.to_date.get(step), now.steps.to_come.get(step)
        yield StepRow(step, now.steps.amounts[step], to_date, to_come, then)


def _marks(
    names: tuple[str, ...], now: Mapping[str, int], last: Mapping[str, int] | None
) -> tuple[MarkRow, ...]:
    return tuple(MarkRow(name, now[name], last[name] if last else None) for name in names)


def _parts(measured: Measured) -> Iterator[PartRow]:
    """Yield every place with what it was estimated at and where it will end."""
    sums: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    kinds: dict[str, str] = {}
    for cell in measured.cells.values():
        kinds[cell.part] = {"work": "package"}.get(cell.kind, cell.kind)
        for place, amount in enumerate((cell.original, cell.ac, cell.forecast)):
            sums[cell.part][place] += amount
    for code, (original, booked, forecast) in sorted(sums.items()):
        yield PartRow(code, _title(measured, code), kinds[code], original, booked, forecast)
    for code in measured.unapproved.codes:
        _, actual, forecast = measured.unapproved.amounts(code)
        yield PartRow(code, _title(measured, code), "request", 0, actual, forecast)
    pot = measured.contingency
    if pot.original or pot.left:
        yield PartRow("contingency", "", "contingency", pot.original, 0, pot.left)


def _title(measured: Measured, code: str) -> str:
    if code in measured.baseline.changes:
        return measured.baseline.changes[code].facts["title"]
    package = measured.baseline.package(code)
    return package["title"] if package else ""


def _weeks(explained: OverrunExplained) -> Iterator[WeekRow]:
    """Yield what was booked week by week, from the first to the last with hours."""
    measured = explained.measured
    calendar = measured.baseline.calendar
    weeks: dict[date, list[int]] = defaultdict(lambda: [0] * len(BEARERS))
    for each in measured.actuals.booked:
        bearer = _bearer(explained, each.part, each.cause, each.rework)
        weeks[calendar.week_end(each.day)][BEARERS.index(bearer)] += each.amount
    day, last = min(weeks, default=None), max(weeks, default=None)
    while day is not None and last is not None and day <= last:
        yield WeekRow(day, tuple(weeks[day]))
        day += timedelta(days=7)


def _bearer(explained: OverrunExplained, part: str, cause: str | None, rework: str | None) -> str:
    """Return whose the hours of a place are, as they were worked."""
    figures = explained.figures_of(part, cause, rework)
    if figures.step == ORIGINAL_WORK:
        return "contract"
    if figures.borne_by in {"instructed_price_open", "at_risk", "undecided"}:
        return "open"
    if figures.step == VARIATIONS:
        changes = explained.measured.baseline.changes
        return "yard" if changes[part].facts["change_basis"] == "no_charge" else "owner"
    return "owner" if figures.borne_by == "owner" else "yard"


def _changes(measured: Measured) -> Iterator[ChangeOverTime]:
    """Yield each change asked for by the day, in that order."""
    asked = [
        change
        for change in measured.baseline.changes.values()
        if change.facts["requested_on"] <= measured.day
    ]
    for change in sorted(asked, key=lambda each: (each.facts["requested_on"], each.code)):
        yield _change(measured, change)


def _change(measured: Measured, change: Change) -> ChangeOverTime:
    code, day = change.code, measured.day
    events = [event for event in change.events if event.day <= day]
    instructed = [event.day for event in events if event.name == "instructed"]
    decided = [event for event in events if event.name in DECIDING]
    days = [each.day for each in measured.actuals.booked if each.part == code and each.ms]
    cells = [cell for cell in measured.cells.values() if cell.part == code]
    outside = code in measured.unapproved.codes
    forecast = sum(cell.forecast for cell in cells)
    return ChangeOverTime(
        code,
        change.facts["title"],
        change.facts["origin"],
        change.state(day).price(day),
        change.facts["requested_on"],
        min(instructed, default=None),
        decided[-1].day if decided else None,
        decided[-1].name if decided else "",
        min(days, default=None),
        max(days, default=None),
        sum(change.added_ms(change.latest_revision(day)).values()) or None,
        measured.actuals.of_part(code),
        measured.unapproved.amounts(code)[2] if outside else forecast,
    )
