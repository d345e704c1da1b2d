"""What a baseline change may not do: plan the past anew, or set a variance to zero."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from ledger.baseline.job_baseline import LOE, JobBaseline
from ledger.baseline.postings import (
    POTS,
    UNDISTRIBUTED,
    WITHOUT_PLAN,
    PackageTrade,
    Postings,
    standing_plan,
)
from ledger.baseline.versions import PackageVersion
from ledger.domain.earned_value import Measurement, is_finished
from ledger.errors import Refused


@dataclass(frozen=True)
class PlannedByDay:
    """What is planned of a part by the day of a baseline change, in ms, before it and after."""

    part: str
    day: date
    before_ms: int
    after_ms: int


def refuse_technique(
    baseline: JobBaseline,
    rows: list[dict[str, Any]],
    version: PackageVersion,
    previous: PackageVersion | None,
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


def refuse_past(
    name: str, day: date, version: PackageVersion, previous: PackageVersion | None
) -> None:
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
    baseline: JobBaseline, rows: list[dict[str, Any]], rescoped: Collection[str]
) -> None:
    """Raises: Refused when hours are added to what is complete, or a pot's to what is over.

    What is over stays so: a baseline change is for the work to come. Hours for more work name it:
    `rescoped` are the packages whose scope the change replans.
    """
    name, day = rows[0]["name"], rows[0]["day"]
    moved: dict[str, int] = defaultdict(int)
    for row in rows:
        moved[row["work_package"]] += row["ms"]
    is_drawn = any(ms < 0 and _is_pot(baseline, part) for part, ms in moved.items())
    for part, ms in moved.items():
        if ms > 0 and _is_complete(baseline, part, day):
            raise Refused("hours_on_complete", name=name, package=part, added_ms=ms)
        if ms > 0 and is_drawn and part not in rescoped:
            _refuse_covering(baseline, name, part, ms)


def _is_pot(baseline: JobBaseline, part: str) -> bool:
    package = baseline.package(part)
    return part in POTS or (package is not None and package["package_kind"] in WITHOUT_PLAN)


def is_rescoped(
    rows: list[dict[str, Any]], version: PackageVersion, previous: PackageVersion | None
) -> bool:
    """Return whether a change replans what a package is: its work, quantity or measure.

    It names the package in a row of its own, with a reference. A package that is new has no past.
    """
    part = version.package["work_package"]
    if previous is None:
        return True
    named = any(row["work_package"] == part and (row["reference"] or "").strip() for row in rows)
    return named and _scope(version) != _scope(previous)


def _scope(version: PackageVersion) -> tuple[object, ...]:
    package = version.package
    what = ("title", "technique", "quantity", "start_share", "base_package", "package_kind")
    return (*(package.get(each) for each in what), version.weights)


def _refuse_covering(baseline: JobBaseline, name: str, part: str, added_ms: int) -> None:
    day = baseline.status_date
    booked = baseline.book.rows("baseline/work_begun", job=baseline.job, part=part, day=day)
    booked_ms = int(booked[0][1]) if booked else 0
    cells = [cell for (each, _), cell in baseline.cells.items() if each == part]
    earned_ms = sum(baseline.earned(cell, day).earned_ms for cell in cells)
    if booked_ms > earned_ms:
        raise Refused(
            "hours_on_overrun",
            name=name,
            package=part,
            added_ms=added_ms,
            booked_ms=booked_ms,
            earned_ms=earned_ms,
            day=day,
        )


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
    moved: dict[str, int] = defaultdict(int)
    for part, trade in _planned_in(postings):
        moved[part] += _by(postings.planned(part, trade), day)
    return tuple(
        PlannedByDay(part, day, before, before + ms)
        for part, ms in sorted(moved.items())
        for before in [_planned_by(baseline, part)]
        if ms
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
