"""The lines that foremen get wrong, each with what should become of it.

A fault spoils a line that would have been good, or adds one. What should become of it: `held` with
a reason, `untagged`, or `doubt`: booked, and yet somebody should look at it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from tests.demo import _yard

Row = dict[str, str]


@dataclass(frozen=True)
class Fault:
    """A fault: the yard's week of the line, who wrote it, its kind and what was written.

    A line held is handed in again, put right, `again` weeks later (0: never).
    """

    week: int
    worker: str
    kind: str
    written: str
    becomes: str
    again: int = 0


HELD_DATE, HELD_HOURS = "held: date_unreadable", "held: hours_unreadable"
FAULTS = (
    Fault(1, "122", "hours with a decimal comma", "6,5", HELD_HOURS, 1),
    Fault(1, "124", "hours left blank", "", "held: hours_missing", 1),
    Fault(2, "124", "code mistyped", "HO2", "untagged"),
    Fault(2, "112", "half an hour written as a fraction", "1/2", HELD_HOURS, 2),
    Fault(3, "122", "same line twice on the sheet", "", "doubt"),
    Fault(3, "160", "ditto for the code", '"', "untagged"),
    Fault(4, "142", "ditto for the date", '"', HELD_DATE, 2),
    Fault(4, "999", "unknown worker", "day labourer, cash", "held: worker_unknown"),
    Fault(5, "135", "time over midnight", "21:00-02:30", "doubt"),
    Fault(5, "109", "line without a code", "", "untagged"),
    Fault(6, "122", "sick and at work on one day", "", "doubt"),
    Fault(7, "127", "more than a day of hours", "25", "held: over_24_hours", 1),
    Fault(8, "104", "double entry on two sheets", "", "doubt"),
    Fault(8, "109", "letter O for a nought in the number", "1O9", "held: worker_unknown", 1),
    Fault(9, "124", "day written in words", "Thursday", HELD_DATE, 1),
    Fault(9, "151", "finish before start by a slip of the pen", "13:00-12:00", "doubt"),
    Fault(10, "201", "line on a Sunday", "", "doubt"),
    Fault(10, "145", "ditto for the hours", '"', HELD_HOURS, 1),
    Fault(11, "202", "code of a package that is finished", "H01", "doubt"),
    Fault(11, "115", "hours with the letter h", "8h", HELD_HOURS, 2),
    Fault(12, "140", "job mistyped", "FERY", "untagged"),
    Fault(12, "107", "31st of a month of thirty days", "31.04.", HELD_DATE, 3),
    Fault(13, "109", "a package of the other job", "S11", "untagged"),
    Fault(13, "162", "hours left blank", "", "held: hours_missing", 1),
    Fault(14, "122", "double entry on two sheets", "", "doubt"),
    Fault(14, "135", "a day too long", "11", "doubt"),
    Fault(23, "165", "code mistyped", "CO1", "untagged"),
    Fault(16, "124", "two digits swapped in the year", "2062", "held: date_out_of_range"),
    Fault(16, "133", "hours as from and to", "7-3.30", HELD_HOURS, 1),
    Fault(17, "151", "both jobs in the same hours", "09:00-12:00", "doubt"),
    Fault(17, "201", "same line twice on the sheet", "", "doubt"),
    Fault(18, "142", "code mistyped", "M 03", "untagged"),
    Fault(
        18, "998", "unknown worker", "brother of 162, helped with staging", "held: worker_unknown"
    ),
    Fault(19, "107", "30 February", "2026-02-30", HELD_DATE),
    Fault(19, "202", "time over midnight", "20:30-01:00", "doubt"),
    Fault(20, "160", "hours with a decimal comma", "7,5", HELD_HOURS, 1),
    Fault(20, "127", "line without a code", "", "untagged"),
    Fault(21, "104", "no worker's number", "", "held: worker_missing", 1),
    Fault(21, "112", "two codes in one line", "D01/D02", "untagged"),
    Fault(22, "120", "a leaver's number", "", "doubt"),
    Fault(22, "145", "break longer than the shift", "07:00-07:30", HELD_HOURS),
    Fault(23, "115", "code mistyped", "DO3", "untagged"),
    Fault(23, "135", "hours with two points", "8.0.5", HELD_HOURS, 1),
    Fault(24, "140", "a job that has ended", "S13", "doubt"),
    Fault(24, "162", "line on a Sunday", "", "doubt"),
    Fault(25, "109", "code of a package that is finished", "W01", "doubt"),
    Fault(25, "122", "no date", "", "held: date_missing", 1),
    Fault(26, "153", "ditto for the code", "do.", "untagged"),
    Fault(26, "107", "hours in words", "all day", HELD_HOURS, 1),
    Fault(27, "120", "a leaver's number", "", "doubt"),
    Fault(27, "148", "double entry on two sheets", "", "doubt"),
    Fault(28, "112", "on leave and at work on one day", "", "doubt"),
    Fault(28, "165", "hours below nought", "-2", HELD_HOURS),
    Fault(29, "133", "on leave and at work on one day", "", "doubt"),
    Fault(29, "151", "code mistyped", "EO3", "untagged"),
    Fault(30, "135", "nought hours", "0", "doubt"),
    Fault(30, "148", "code of a package that is finished", "M01", "doubt"),
    Fault(31, "109", "hours with a decimal comma", "2,25", HELD_HOURS, 1),
    Fault(32, "115", "a request nobody made", "CR21", "untagged"),
    Fault(32, "142", "more than a day of hours", "85", "held: over_24_hours", 1),
    Fault(33, "162", "cause of rework unknown", "bad luck", "doubt"),
    Fault(33, "104", "double entry on two sheets", "", "doubt"),
    Fault(34, "997", "unknown worker", "pupil on trial, two days", "held: worker_unknown"),
    Fault(34, "107", "a day too long", "12", "doubt"),
    Fault(35, "153", "both jobs in the same hours", "08:00-11:00", "doubt"),
    Fault(35, "127", "a change that is stopped", "CR09", "doubt"),
    Fault(36, "115", "day before the month", "12/09/2026", HELD_DATE, 1),
    Fault(37, "145", "time without minutes", "7-11", "held: times_unreadable", 1),
    Fault(38, "112", "code mistyped", "D0", "untagged"),
    Fault(38, "120", "a leaver's number", "", "doubt"),
    Fault(39, "160", "half an hour written as a fraction", "3 1/2", HELD_HOURS, 1),
    Fault(39, "107", "a change that is declined", "CR06", "doubt"),
    Fault(40, "148", "line on a Sunday", "", "doubt"),
    Fault(40, "151", "last year's date", "2025", "doubt"),
    Fault(41, "109", "hours left blank", "", "held: hours_missing", 1),
    Fault(41, "140", "line without a code", "", "untagged"),
    Fault(42, "115", "31st of a month of thirty days", "31.09.", HELD_DATE),
    Fault(42, "162", "same line twice on the sheet", "", "doubt"),
)


def spoilt(rows: list[Row], week: int) -> list[Row]:
    """Return the lines written in a week with the week's faults among them."""
    for number, fault in enumerate(FAULTS):
        if fault.week == week:
            rows = _spoil(rows, fault, number)
    return rows


def put_right(rows: list[Row], week: int, number: int) -> list[Row]:
    """Return the line that a fault of a week spoilt, as it should have been, on its own slip."""
    place = _place(rows, FAULTS[number], number)
    if place is None or FAULTS[number].week != week:
        return []
    return [{**rows[place], "sheet": rows[place]["sheet"] + " slip"}]


def _place(rows: list[Row], fault: Fault, number: int) -> int | None:
    """Return which line the fault spoils: one of the worker's on a package, by hours."""
    found = [
        place
        for place, row in enumerate(rows)
        if row["worker_id"] == fault.worker
        and row["pay_class"] == "normal"
        and row["booking_code"].upper() not in {"TALK", "CLEAN", "SLIP", "TANKS"}
        and "drum bore" not in row["note"]
        and not row["rework"]
    ]
    return found[number % len(found)] if found else None


def _spoil(rows: list[Row], fault: Fault, number: int) -> list[Row]:
    if fault.kind in ADDED:
        return [*rows, ADDED[fault.kind](rows, fault, number)]
    place = _place(rows, fault, number)
    assert place is not None, fault
    row = dict(rows[place])
    _write(row, fault)
    if fault.kind in {"same line twice on the sheet", "double entry on two sheets"}:
        return [*rows[: place + 1], row, *rows[place + 1 :]]
    return [*rows[:place], row, *rows[place + 1 :]]


def _write(row: Row, fault: Fault) -> None:
    """Write the fault into a line."""
    kind, written = fault.kind, fault.written
    if kind == "double entry on two sheets":
        row["sheet"] += "b"
    elif kind in BY_COLUMN:
        row[BY_COLUMN[kind]] = written
        row["job"] = "SEDGE" if kind == "a job that has ended" else row["job"]
    elif kind in {"two digits swapped in the year", "last year's date"}:
        row["date"] = written + row["date"][4:]
    elif ("-" in written and ":" in written) or kind == "time without minutes":
        row["hours"] = ""
        row["start"], row["finish"] = written.split("-")
        row["break_minutes"] = "45" if kind == "break longer than the shift" else ""
    elif kind != "same line twice on the sheet":
        row.update(hours=written, start="", finish="", break_minutes="")


BY_COLUMN = {
    "code mistyped": "booking_code",
    "ditto for the code": "booking_code",
    "line without a code": "booking_code",
    "two codes in one line": "booking_code",
    "code of a package that is finished": "booking_code",
    "a request nobody made": "booking_code",
    "a job that has ended": "booking_code",
    "a change that is stopped": "booking_code",
    "a change that is declined": "booking_code",
    "job mistyped": "job",
    "ditto for the date": "date",
    "day written in words": "date",
    "31st of a month of thirty days": "date",
    "30 February": "date",
    "no date": "date",
    "day before the month": "date",
    "letter O for a nought in the number": "worker_id",
    "no worker's number": "worker_id",
    "cause of rework unknown": "rework",
}


def _added(rows: list[Row], fault: Fault, **values: str) -> Row:
    row = dict.fromkeys(rows[0], "")
    row.update(
        sheet=f"{_yard.label(fault.week)}/{fault.worker}",
        worker_id=fault.worker,
        date=str(_yard.day_of(fault.week, 2)),
        pay_class="normal",
    )
    row.update(values)
    return row


def _unknown_worker(rows: list[Row], fault: Fault, number: int) -> Row:
    return _added(rows, fault, hours="8", booking_code="G04", note=fault.written)


def _leaver(rows: list[Row], fault: Fault, number: int) -> Row:
    return _added(rows, fault, hours="4", booking_code="G04", note="old number on the clock card")


def _sunday(rows: list[Row], fault: Fault, number: int) -> Row:
    place = _place(rows, fault, number)
    code = rows[place]["booking_code"] if place is not None else "G04"
    job = rows[place]["job"] if place is not None else ""
    day = _yard.day_of(fault.week) + timedelta(days=6)
    return _added(rows, fault, date=str(day), hours="4", booking_code=code, job=job)


def _away_and_at_work(rows: list[Row], fault: Fault, number: int) -> Row:
    day = next(
        row["date"]
        for row in rows
        if row["worker_id"] == fault.worker and row["pay_class"] in {"leave", "sick"}
    )
    return _added(
        rows, fault, date=day, hours="3", booking_code="G04", note="came in for the crane"
    )


def _both_jobs(rows: list[Row], fault: Fault, number: int) -> Row:
    start, finish = fault.written.split("-")
    code = "S15" if fault.worker == "151" else "S20"
    return _added(rows, fault, start=start, finish=finish, booking_code=code, job="SEDGE")


def _of_the_other_job(rows: list[Row], fault: Fault, number: int) -> Row:
    return _added(rows, fault, hours="2", booking_code=fault.written, job="FERRY")


ADDED: dict[str, Callable[[list[Row], Fault, int], Row]] = {
    "unknown worker": _unknown_worker,
    "a leaver's number": _leaver,
    "line on a Sunday": _sunday,
    "sick and at work on one day": _away_and_at_work,
    "on leave and at work on one day": _away_and_at_work,
    "both jobs in the same hours": _both_jobs,
    "a package of the other job": _of_the_other_job,
}
