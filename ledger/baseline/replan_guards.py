"""What a baseline change may not do: plan the past anew, or set a variance to zero."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from ledger.baseline.job_baseline import LOE, JobBaseline
from ledger.baseline.postings import UNDISTRIBUTED, PackageTrade, Postings, standing_plan
from ledger.baseline.versions import Version
from ledger.domain.earned_value import Measurement, is_finished
from ledger.errors import Refused
from ledger.store.book import Book


@dataclass(frozen=True)
class PlannedByDay:
    """What is planned of a part by the day of a baseline change, in ms, before it and after."""

    part: str
    day: date
    before_ms: int
    after_ms: int


def refuse_technique(
    baseline: JobBaseline, rows: list[dict[str, Any]], version: Version, previous: Version | None
) -> None:
    """Raises: Refused when begun work would be measured otherwise without being authorised.

    The change authorises it by a row of that package, of 0 hours if none move, and a reference.
    """
    part, name, day = version.package["work_package"], rows[0]["name"], rows[0]["day"]
    if previous is None or previous.package["technique"] == version.package["technique"]:
        return
    if any(row["work_package"] == part and (row["reference"] or "").strip() for row in rows):
        return
    if (since := _begun(baseline, part, day)) is not None:
        raise Refused("technique_kept", name=name, package=part, since=since)


def _begun(baseline: JobBaseline, part: str, day: date) -> date | None:
    """Return since when a package has been worked on or measured, by a day; None if not yet."""
    days = [
        measure.day
        for _, measure in baseline.measures.get(part, [])
        if measure.day <= day and _says_begun(measure)
    ]
    booked = baseline.book.rows("baseline/work_begun", job=baseline.job, part=part, day=day)
    return min([*days, *(row[0] for row in booked)], default=None)


def _says_begun(measure: Measurement) -> bool:
    return bool(
        measure.percent
        or measure.quantity_done
        or measure.milestone
        or measure.started
        or measure.finished
    )


def refuse_past(name: str, day: date, version: Version, previous: Version | None) -> None:
    """Raises: Refused when a date by the day of the change is another than it was."""
    part, start = version.package["work_package"], version.package["planned_start"]
    was = previous.package["planned_start"] if previous else None
    if start != was and (start < day if previous is None else start <= day):
        raise _past(name, part, f"planned_start {start}", day)
    before = {(m.milestone, m.planned_date) for m in previous.milestones} if previous else set()
    for each in version.milestones:
        planned = each.planned_date
        is_past = planned < day if previous is None else planned <= day
        if is_past and (each.milestone, planned) not in before:
            raise _past(name, part, f'milestone "{each.milestone}" of {planned}', day)


def _past(name: str, part: str, what: str, day: date) -> Refused:
    return Refused("replan_past", name=name, package=part, what=what, day=day)


def refuse_variances_set(
    book: Book, baseline: JobBaseline, rows: list[dict[str, Any]], postings: Postings
) -> None:
    """Raises: Refused when hours are added to what is complete, or make planned equal the actual.

    What is over or under stays so: a baseline change is for the work to come.
    """
    name, day = rows[0]["name"], rows[0]["day"]
    added: dict[str, int] = defaultdict(int)
    for row in rows:
        added[row["work_package"]] += row["ms"]
    for part, ms in added.items():
        if ms > 0 and _is_complete(baseline, part, day):
            raise Refused("hours_on_complete", name=name, package=part, added_ms=ms)
    for part, ms in _moved_by(postings, day).items():
        _refuse_equal(book, baseline, name, (part, ms))


def _is_complete(baseline: JobBaseline, part: str, day: date) -> bool:
    """Return whether all trades of a package with a budget are earned or reported finished."""
    if baseline.technique(part) == LOE:
        return False
    cells = [
        cell
        for (name, _), cell in baseline.cells.items()
        if name == part and sum(change.ms for change in cell.changes) > 0
    ]
    return bool(cells) and all(
        (now := baseline.earned(cell, day)).earned_ms >= now.budget_ms
        or is_finished(baseline.measures_of(part, cell.trade), day)
        for cell in cells
    )


def _moved_by(postings: Postings, day: date) -> Mapping[str, int]:
    """Return by package what the postings move in its plan up to the day of the change."""
    moved: dict[str, int] = defaultdict(int)
    for part, trade in _planned_in(postings):
        moved[part] += _by(postings.planned(part, trade), day)
    return {part: ms for part, ms in moved.items() if ms}


def _refuse_equal(book: Book, baseline: JobBaseline, name: str, moved: tuple[str, int]) -> None:
    (part, ms), day = moved, baseline.status_date
    planned = _planned_by(baseline, part)
    booked = book.rows("baseline/work_begun", job=baseline.job, part=part, day=day)
    actual = int(booked[0][1]) if booked else 0
    if actual and planned + ms == actual:
        raise Refused(
            "variance_set_to_zero", name=name, package=part, day=day, planned_ms=planned + ms
        )


def refuse_planned_taken(baseline: JobBaseline, name: str, postings: Postings) -> None:
    """Raises: Refused when less of a package would be planned by the day of the change.

    What is late stays late where it is; hours move out of the plan of later days. As of a day
    before the package was last measured they do not move out at all. Undistributed hours are work
    of nobody yet: what of them was due goes with them.
    """
    day = baseline.status_date
    for part, trade in sorted(_planned_in(postings), key=str):
        if part == UNDISTRIBUTED:
            continue
        moved = postings.planned(part, trade)
        if (taken := _by(moved, day)) < 0:
            plan = standing_plan(baseline.book, baseline.job, PackageTrade(part, trade, ""))
            free = sum(ms for when, ms in plan.items() if when > day)
            raise Refused(
                "planned_stays",
                name=name,
                package=part,
                day=day,
                free_ms=free,
                taken_ms=free - taken,
            )
        measured = _measured_on(baseline, part)
        if measured is not None and measured > day and _by(moved, measured) < 0:
            raise Refused("measured_since", name=name, package=part, measured=measured)


def moved_by_day(baseline: JobBaseline, postings: Postings) -> tuple[PlannedByDay, ...]:
    """Return what is planned of each part by the day of a change before and after, if it moves."""
    day = baseline.status_date
    return tuple(
        PlannedByDay(part, day, before, before + ms)
        for part, ms in sorted(_moved_by(postings, day).items())
        for before in [_planned_by(baseline, part)]
    )


def _planned_by(baseline: JobBaseline, part: str) -> int:
    cells = [cell for (each, _), cell in baseline.cells.items() if each == part]
    return sum(baseline.planned(cell, baseline.status_date)[0] for cell in cells)


def _planned_in(postings: Postings) -> set[tuple[str, str | None]]:
    """Return the parts and trades whose plan the postings move."""
    if not postings.plans:
        return set()
    cells = zip(postings.plans["part"], postings.plans["trade"], strict=True)
    return {(str(part), cast("str | None", trade)) for part, trade in cells}


def _by(plan: Mapping[date, int], day: date) -> int:
    return sum(ms for when, ms in plan.items() if when <= day)


def _measured_on(baseline: JobBaseline, part: str) -> date | None:
    """Return the last day on which a package, or its base, was measured."""
    package = baseline.package(part)
    base = (package and package["base_package"]) or part
    days = [each.day for _, each in baseline.measures.get(base, []) if _says_begun(each)]
    return max(days, default=None)
