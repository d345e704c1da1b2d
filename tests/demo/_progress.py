"""What was measured: by the fortnight, as each package's technique needs."""

from collections.abc import Iterator
from datetime import date

from tests.demo import _changes, _jobs, _work, _yard

HEAD = (
    "work_package",
    "date",
    "trade",
    "percent",
    "quantity_done",
    "quantity_at_completion",
    "milestone",
    "started",
    "finished",
    "estimate_to_complete_hours",
    "note",
)
# Foremen measure with hope: package and yard's week, and points of percent too many (or few).
HOPE = {
    ("H02", 4): 5,
    ("H02", 6): 6,
    ("H02", 8): 5,
    ("D05", 28): 8,
    ("D05", 30): 8,
    ("M04", 28): 10,
    ("M04", 30): 12,
    ("R04", 34): 6,
    ("W03", 36): -5,
    ("E05", 38): 7,
    ("C04", 38): 5,
    ("S15", 8): 5,
}
# Own estimates of what is still to come: package, yard's week, percent of what it then needed, why.
OWN = {
    ("H04", 16): (90, "three plates left, all twisted"),
    ("H06", 22): (80, "without what the inspector may find"),
    ("C01", 22): (85, ""),
    ("D03", 30): (95, "the edge planks are the slow ones"),
    ("M03", 30): (100, "brake still to come right"),
    ("M03", 34): (110, ""),
    ("D03", 34): (100, ""),
    ("W03", 36): (115, "linings behind the console"),
    ("D04", 38): (100, ""),
    ("C04", 40): (120, "two more coats if it stays damp"),
    ("T02", 42): (110, ""),
    ("D07", 42): (100, ""),
    ("S11", 10): (100, ""),
}
# More pieces than were drawn: package, quantity, from the yard's week on.
GREW = {"D03": (218, 30), "R03": (104, 36)}
MEASURED_CHANGES = {
    "CR09": 42,
    **dict.fromkeys(("CR01", "CR03", "CR04", "CR05", "CR08", "CR14", "CR15"), 100),
    **dict.fromkeys(("SR1", "SR2", "SR3"), 100),
}

Row = dict[str, str]


def rows(yard: _work.Yard, job: str, week: int) -> list[Row]:
    """Return a job's measurements of the fortnight that ends with a week."""
    found: list[Row] = []
    for package in _jobs.packages():
        if package.job == job and not package.kind:
            found += _measured(yard, package, week)
    for request in _changes.REQUESTS:
        if request.job == job and request.code in MEASURED_CHANGES:
            found += _change(yard, request.code, week)
    return sorted(found, key=lambda row: (row["date"], row["work_package"]))


def _row(code: str, day: date, **values: object) -> Row:
    row = dict.fromkeys(HEAD, "")
    return row | {"work_package": code, "date": str(day)} | {k: str(v) for k, v in values.items()}


def _friday(week: int) -> date:
    return _yard.day_of(week, 4)


def _share(yard: _work.Yard, code: str, day: date) -> int:
    return yard.shares.get((code, day), 0)


def _ended(yard: _work.Yard, code: str) -> date | None:
    """Return the day of the last task of a package, None while there is work left."""
    ends = [task.ended for task in yard.tasks if task.code == code and not task.rework]
    known = [day for day in ends if day is not None]
    return max(known) if len(known) == len(ends) else None


def _begun(yard: _work.Yard, code: str) -> date | None:
    begun = [task.begun for task in yard.tasks if task.code == code and task.begun]
    return min(begun, default=None)


def _measured(yard: _work.Yard, package: _jobs.Package, week: int) -> Iterator[Row]:
    begun, ended = _begun(yard, package.code), _ended(yard, package.code)
    last, before = _yard.day_of(week, 6), _yard.day_of(week - 2, 6)
    if begun is None or begun > last or (ended is not None and ended <= before):
        return
    technique = package.technique
    if technique == "weighted_milestone":
        yield from _milestones(yard, package, (before, last))
    elif technique == "fixed_formula":
        if before < begun:
            yield _row(package.code, begun, started=begun)
        if ended and ended <= last:
            yield _row(package.code, ended, finished=ended)
    elif ended and ended <= last:
        yield _done(package, ended)
    elif technique in {"percent_complete", "units_complete"}:
        yield _part(yard, package, week)
    own = OWN.get((package.code, week))
    open_yet = ended is None or ended > last
    if own and open_yet and technique not in {"percent_complete", "units_complete"}:
        yield _row(package.code, _friday(week), **_own(yard, package.code, week))


def _milestones(yard: _work.Yard, package: _jobs.Package, span: tuple[date, date]) -> Iterator[Row]:
    reached, (before, last) = 0, span
    days = sorted(day for code, day in yard.shares if code == package.code)
    for name, weight, _ in package.milestones:
        reached += weight
        found = [day for day in days if _share(yard, package.code, day) >= reached * 100]
        if found and before < found[0] <= last:
            yield _row(package.code, found[0], milestone=name)


def _done(package: _jobs.Package, ended: date) -> Row:
    if package.technique == "percent_complete":
        return _row(package.code, ended, percent=100, finished=ended)
    if package.technique == "units_complete":
        quantity = GREW.get(package.code, (package.quantity, 0))[0]
        grown = {"quantity_at_completion": quantity} if package.code in GREW else {}
        return _row(package.code, ended, quantity_done=quantity, finished=ended, **grown)
    return _row(package.code, ended, finished=ended)


def _part(yard: _work.Yard, package: _jobs.Package, week: int) -> Row:
    share, day = _share(yard, package.code, _friday(week)), _friday(week)
    own = _own(yard, package.code, week)
    if package.technique == "units_complete":
        quantity, since = GREW.get(package.code, (package.quantity, 99))
        whole = quantity if week >= since else package.quantity
        grown = {"quantity_at_completion": whole} if week >= since else {}
        return _row(package.code, day, quantity_done=whole * share // 10000, **grown, **own)
    hope = HOPE.get((package.code, week), 0)
    percent = max(0, min(95, (share // 100 + hope + 2) // 5 * 5))
    return _row(package.code, day, percent=percent, **own)


def _own(yard: _work.Yard, code: str, week: int) -> dict[str, object]:
    if (code, week) not in OWN:
        return {}
    percent, why = OWN[code, week]
    needs = sum(task.needs for task in yard.tasks if task.code == code and not task.rework)
    left = needs * (10000 - _share(yard, code, _friday(week))) // 10000
    hours = left * percent // 100 // 400
    return {"estimate_to_complete_hours": max(5, (hours + 2) // 5 * 5), "note": why}


def _change(yard: _work.Yard, code: str, week: int) -> Iterator[Row]:
    begun, ended = _begun(yard, code), _ended(yard, code)
    last, before = _yard.day_of(week, 6), _yard.day_of(week - 2, 6)
    if begun is None or begun > last or (ended is not None and ended <= before):
        return
    whole = MEASURED_CHANGES[code]
    if ended and ended <= last and whole == 100:
        yield _row(code, ended, percent=100, finished=ended)
    elif code != "CR09" or week <= 36:
        percent = _share(yard, code, _friday(week)) * whole // 10000 // 5 * 5
        yield _row(code, _friday(week), percent=percent)
