"""Measurements that are taken as they are and may be slips: said when they are loaded."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ledger.baseline.job_baseline import JobBaseline
from ledger.baseline.standing_progress import COUNTED, StandingProgress
from ledger.domain.allocation import to_places
from ledger.errors import Fault
from ledger.jobs.jobs import job_card
from ledger.store.book import Book
from ledger.tables.small_tables import FileRow, ReadTable

Row = dict[str, Any]


def progress_slips(book: Book, job: str, table: ReadTable) -> list[Fault]:
    """Return a slip for each measurement above its quantity or before its package's start.

    So too where a percent is below what is earned since the budget changed, and where the first
    measure in another way would count as work since it changed. Called once the measurements are in
    the book.
    """
    known = book.records("baseline/packages_known", job=job)
    packages: dict[str, Row] = {row["work_package"]: row for row in known}
    begins = job_card(book, job).planned_start
    ends = [
        (row["work_package"], row["day"], row["quantity_at_completion"])
        for row in book.current("progress")
        if row["job"] == job and row["quantity_at_completion"]
    ]
    slips: list[Fault] = []
    for line in table.lines:
        package = packages.get(line["work_package"])
        slips += _early(table, line, package["planned_start"] if package else begins)
        if package and package["technique"] == "units_complete":
            slips += _above(table, line, _quantity(package, line, ends))
    changed = {row["work_package"] for row in known if row["name"]}
    changed |= {part for part, *_ in book.rows("baseline/budgets_changed", job=job)}
    return slips + list(_after_changes(book, job, table, changed))


def _after_changes(book: Book, job: str, table: ReadTable, changed: set[str]) -> Iterator[Fault]:
    """Yield the slips of packages whose budget or measure has changed; most jobs have none."""
    lines = [line for line in table.lines if line["work_package"] in changed]
    if not lines:
        return
    baseline = JobBaseline(book, job, max(line["day"] for line in lines))
    for day in sorted({line["day"] for line in lines}):
        standing = StandingProgress(baseline.counted_by(day))
        for line in lines:
            if line["day"] == day:
                yield from _below(table, line, standing)
                yield from _uncounted(table, line, standing)


def _below(table: ReadTable, line: FileRow, standing: StandingProgress) -> Iterator[Fault]:
    part, trade, percent = line["work_package"], line["trade"], line["percent"]
    changed_by = standing.changed_by(part)
    if percent is None or changed_by is None:
        return
    if standing.earns_more(part, trade, Fraction(percent)):
        written, now = f"{percent.normalize():f}", standing.percent(part, trade)
        assert now is not None
        what = (
            f'percent "{written}" is below what is earned of {part} since {changed_by} changed its '
            f"budget, {to_places(now, 1)} %; it earns nothing"
        )
        yield table.fault_at(line.number, what, "percent", written)


def _uncounted(table: ReadTable, line: FileRow, standing: StandingProgress) -> Iterator[Fault]:
    part = line["work_package"]
    anew = standing.measured_anew(part, line["trade"])
    if anew is None or line[COUNTED[anew.technique]] is None:
        return
    what = (
        f"{part} is measured by {anew.technique} since {anew.since} ({anew.name}) and was not "
        "measured so by that day; all of it counts as work since, load a measure of that day too"
    )
    yield table.fault_at(line.number, what, COUNTED[anew.technique])


def _quantity(package: Row, line: FileRow, ends: list[tuple[str, date, Decimal]]) -> Decimal:
    """Return the quantity that measures a package on the day of a line."""
    known = [
        (day, quantity)
        for code, day, quantity in ends
        if code == line["work_package"] and day <= line["day"]
    ]
    planned: Decimal = package["quantity"]
    return max(planned, max(known)[1]) if known else planned


def _above(table: ReadTable, line: FileRow, quantity: Decimal) -> list[Fault]:
    done = line["quantity_done"]
    if done is None or done <= quantity:
        return []
    written, whole = (f"{each.normalize():f}" for each in (done, quantity))
    what = (
        f'quantity_done "{written}" is above the quantity of {line["work_package"]}, {whole}; '
        "it counts as complete"
    )
    return [table.fault_at(line.number, what, "quantity_done", written)]


def _early(table: ReadTable, line: FileRow, start: date) -> list[Fault]:
    if line["day"] >= start:
        return []
    written = str(line["day"])
    what = f'date "{written}" is before the planned start of {line["work_package"]}, {start}'
    return [table.fault_at(line.number, what, "date", written)]
