"""Measurements that are taken as they are and may be slips: said when they are loaded."""

from datetime import date
from decimal import Decimal
from typing import Any

from ledger.errors import Fault
from ledger.jobs.jobs import job_card
from ledger.store.book import Book
from ledger.tables.small_tables import Line, ReadTable

Row = dict[str, Any]


def progress_slips(book: Book, job: str, table: ReadTable) -> list[Fault]:
    """Return a slip for each measurement above its quantity or before its package's start.

    Called once the measurements are in the book.
    """
    packages: dict[str, Row] = {
        row["work_package"]: row for row in book.records("baseline/packages_known", job=job)
    }
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
    return slips


def _quantity(package: Row, line: Line, ends: list[tuple[str, date, Decimal]]) -> Decimal:
    """Return the quantity that measures a package on the day of a line."""
    known = [
        (day, quantity)
        for code, day, quantity in ends
        if code == line["work_package"] and day <= line["day"]
    ]
    planned: Decimal = package["quantity"]
    return max(planned, max(known)[1]) if known else planned


def _above(table: ReadTable, line: Line, quantity: Decimal) -> list[Fault]:
    done = line["quantity_done"]
    if done is None or done <= quantity:
        return []
    written, whole = (f"{each.normalize():f}" for each in (done, quantity))
    what = (
        f'quantity_done "{written}" is above the quantity of {line["work_package"]}, {whole}; '
        "it counts as complete"
    )
    return [table.fault_at(line.number, what, "quantity_done", written)]


def _early(table: ReadTable, line: Line, start: date) -> list[Fault]:
    if line["day"] >= start:
        return []
    written = str(line["day"])
    what = f'date "{written}" is before the planned start of {line["work_package"]}, {start}'
    return [table.fault_at(line.number, what, "date", written)]
