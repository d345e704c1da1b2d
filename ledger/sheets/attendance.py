"""Times of an attendance clock, a third side beside what is booked and what is paid."""

from collections import defaultdict
from datetime import date
from itertools import pairwise
from typing import Any

from ledger.domain.parsing import MS_PER_MINUTE, parse_hours
from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import Row, columns_of
from ledger.inputs.yard_files import file_loaded
from ledger.sheets.doubts import doubts_known
from ledger.sheets.outcomes import AttendanceLoaded, WorkerDayChanged
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable

MS_PER_DAY = 86_400_000
WorkerDay = tuple[str, date]


def load_attendance(book: Book, batch: Batch, file: InputFile) -> FileLoaded:
    """Add clocked times; a worker's day in a file takes the place of that day as it was before.

    Raises: Faults, naming every line that cannot be right; then nothing is loaded.
    """
    table = read_input(book, file, columns.ATTENDANCE)
    days: dict[WorkerDay, list[Row]] = defaultdict(list)
    for line in table.lines:
        if line["worker_id"] and line["day"] and line["clock_in"] and line["clock_out"]:
            days[line["worker_id"], line["day"]].append(_timed(table, line))
    _refuse_overlaps(table)
    before = _before(book, days)
    changed = {key: rows for key, rows in days.items() if _times(rows) != before.get(key, [])}
    _refuse_twice_in_command(book, batch, table, changed)
    table.settle()
    batch.append("attendance", columns_of([row for rows in changed.values() for row in rows]))
    return file_loaded(table, [_loaded(book, days, before, changed)])


def _timed(table: ReadTable, line: FileRow) -> Row:
    """Return a row with its time clocked; an out that is not after the in is of the next day."""
    start, finish = _span(line)
    pause = (line["break_minutes"] or 0) * MS_PER_MINUTE
    if pause > finish - start:
        table.fault(
            line.number, f"break_minutes {line['break_minutes']} is longer than the time clocked"
        )
    return {**line.values, "break_minutes": line["break_minutes"], "ms": finish - start - pause}


def _span(line: FileRow) -> tuple[int, int]:
    start, finish = parse_hours(line["clock_in"]), parse_hours(line["clock_out"])
    return start, finish + (MS_PER_DAY if finish <= start else 0)


def _refuse_overlaps(table: ReadTable) -> None:
    """Refuse times of a worker that overlap, past midnight too."""
    spans: dict[str, list[tuple[int, int, FileRow]]] = defaultdict(list)
    for line in table.lines:
        if line["worker_id"] and line["day"] and line["clock_in"] and line["clock_out"]:
            start, finish = _span(line)
            midnight = line["day"].toordinal() * MS_PER_DAY
            spans[line["worker_id"]].append((midnight + start, midnight + finish, line))
    for worker, of_worker in spans.items():
        of_worker.sort(key=lambda span: (span[0], span[1], span[2].number))
        for (_, until, earlier), (start, _, later) in pairwise(of_worker):
            if start < until:
                first, last = sorted((earlier.number, later.number))
                table.fault(last, f"the times of worker {worker} overlap those on line {first}")


def _before(book: Book, days: dict[WorkerDay, list[Row]]) -> dict[WorkerDay, list[Any]]:
    """Return the times that the book has of the same workers and days."""
    known: dict[WorkerDay, list[Row]] = defaultdict(list)
    for row in book.current("attendance"):
        key = row["worker_id"], row["day"]
        if key in days:
            known[key].append(row)
    return {key: _times(rows) for key, rows in known.items()}


def _times(rows: list[Row]) -> list[tuple[Any, ...]]:
    return sorted((row["clock_in"], row["clock_out"], row["break_minutes"] or 0) for row in rows)


def _refuse_twice_in_command(
    book: Book, batch: Batch, table: ReadTable, changed: dict[WorkerDay, list[Row]]
) -> None:
    """Refuse a worker's day that another file of the same command has with other times."""
    here = {
        (worker, day)
        for worker, day in book.rows("sheets/attendance_of_batch", batch=batch.sequence)
    }
    for line in table.lines:
        worker, day = line["worker_id"], line["day"]
        if (worker, day) in here and (worker, day) in changed:
            what = f"worker {worker} on {day} is in another file of this command, with other times"
            table.fault(line.number, f"{what}; put them into one file")


def _loaded(
    book: Book,
    days: dict[WorkerDay, list[Row]],
    before: dict[WorkerDay, list[Any]],
    changed: dict[WorkerDay, list[Row]],
) -> AttendanceLoaded:
    others = sorted(key for key in changed if key in before)
    crew = {row["worker_id"] for row in book.current("crew")}
    return AttendanceLoaded(
        len(changed) - len(others),
        tuple(WorkerDayChanged(*key, before[key], _times(changed[key])) for key in others),
        len(days) - len(changed),
        tuple(sorted({worker for worker, _ in days} - crew)),
        _apart(book, days),
    )


def _apart(book: Book, days: dict[WorkerDay, list[Row]]) -> int:
    """Return on how many of these days booked and clocked time are apart."""
    return sum(
        each["kind"] == "attendance"
        and not each["settled_by"]
        and (each["worker_id"], each["day"]) in days
        for each in doubts_known(book)
    )
