"""What a baseline change may not do: plan the past anew, or set a variance to zero."""

from collections import defaultdict
from collections.abc import Mapping
from datetime import date
from typing import Any, cast

from ledger.baseline.job_baseline import LOE, JobBaseline
from ledger.baseline.postings import Postings
from ledger.baseline.versions import Version
from ledger.domain.earned_value import Measurement, is_finished
from ledger.errors import Refused
from ledger.store.book import Book


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
    plans = postings.plans
    if plans:
        days, amounts = cast("list[date]", plans["day"]), cast("list[int]", plans["ms"])
        for part, when, ms in zip(plans["part"], days, amounts, strict=True):
            if when <= day:
                moved[str(part)] += ms
    return {part: ms for part, ms in moved.items() if ms}


def _refuse_equal(book: Book, baseline: JobBaseline, name: str, moved: tuple[str, int]) -> None:
    (part, ms), day = moved, baseline.status_date
    cells = [cell for (each, _), cell in baseline.cells.items() if each == part]
    planned = sum(baseline.planned(cell, day)[0] for cell in cells)
    booked = book.rows("baseline/work_begun", job=baseline.job, part=part, day=day)
    actual = int(booked[0][1]) if booked else 0
    if actual and planned + ms == actual:
        raise Refused(
            "variance_set_to_zero", name=name, package=part, day=day, planned_ms=planned + ms
        )
