"""The weeks' sheets as rows, each in its foreman's hand."""

from collections import defaultdict
from functools import cache

from tests.demo import _faults, _work, _yard

HEAD = (
    "sheet",
    "worker_id",
    "date",
    "hours",
    "start",
    "finish",
    "break_minutes",
    "booking_code",
    "job",
    "note",
    "pay_class",
    "trade",
    "rework",
)
Row = dict[str, str]

BY_CLOCK = frozenset({"145", "151", "153"})
BY_MINUTES = frozenset({"115", "142"})
SMALL_LETTERS = frozenset({"127", "165"})
# Codes that name no job by themselves: the line says it.
JOB_SAID = frozenset({"WX", "WAIT", "CRANE", "LATE", "TANKS"})
# Sheets that came in late: worker, yard's week, weeks late. The agency sends fortnights.
LATE = {
    ("107", 6): 1,
    ("142", 9): 1,
    ("160", 12): 2,
    ("124", 18): 1,
    ("115", 21): 2,
    ("148", 24): 1,
    ("133", 27): 1,
    ("162", 30): 3,
    ("140", 34): 1,
    ("109", 37): 1,
    ("153", 39): 1,
    **{(worker, week): 1 for worker in ("201", "202") for week in range(7, 27, 2)},
}
TANKS_WEEKS = range(22, 28)


@cache
def yard() -> _work.Yard:
    """Return the yard's run, made once."""
    return _work.run()


def rows_of_week(week: int) -> list[Row]:
    """Return the rows of the file of one of the yard's weeks (1 is the first), all text.

    The file holds what came in by then: the week's sheets but for the late ones, late sheets of
    earlier weeks, and spoilt lines put right. Values are in the order of HEAD.
    """
    rows: list[Row] = []
    for written in range(max(1, week - 4), week + 1):
        for row in _written_in(written):
            if written + LATE.get((_writer(row), written), 0) == week:
                rows.append(row)
    for number, fault in enumerate(_faults.FAULTS):
        if fault.again and fault.week + fault.again == week:
            rows += _faults.put_right(_clean(fault.week), fault.week, number)
    return rows


def _writer(row: Row) -> str:
    return row["sheet"].rpartition("/")[2].rstrip("bS")


@cache
def _by_week() -> dict[int, list[_work.Line]]:
    weeks: dict[int, list[_work.Line]] = defaultdict(list)
    for line in yard().lines:
        weeks[line.week].append(line)
    return weeks


@cache
def _clean(week: int) -> list[Row]:
    """Return the week's rows as they should have been."""
    rows = []
    by_worker: dict[str, list[_work.Line]] = defaultdict(list)
    for line in _by_week()[week]:
        by_worker[line.worker].append(line)
    for worker in sorted(by_worker):
        lines = sorted(by_worker[worker], key=lambda line: line.day)
        split = len({line.job for line in lines if line.job}) > 1
        clock: dict[object, int] = {}
        rows += [_row(line, place, split, clock) for place, line in enumerate(lines)]
    return rows


def _written_in(week: int) -> list[Row]:
    return _faults.spoilt(_clean(week), week)


def _row(line: _work.Line, place: int, split: bool, clock: dict[object, int]) -> Row:
    code = _code(line, place)
    said = split or code in JOB_SAID or code.startswith("G04")
    other_sheet = split and line.job == "SEDGE"
    row = dict.fromkeys(HEAD, "")
    row.update(
        sheet=f"{_yard.label(line.week)}/{line.worker}{'S' if other_sheet else ''}",
        worker_id=line.worker,
        date=str(line.day),
        booking_code=code.lower() if line.worker in SMALL_LETTERS else code,
        job=line.job if said else "",
        note=line.note,
        pay_class=line.pay_class,
        trade=line.trade,
        rework=line.rework,
    )
    if line.worker in BY_CLOCK and line.pay_class in {"normal", "overtime"}:
        row.update(_clocked(line, clock))
    else:
        row["hours"] = _hours(line)
    return row


def _code(line: _work.Line, place: int) -> str:
    painted = line.code == "C02" and line.week in TANKS_WEEKS
    return "TANKS" if painted and place % 2 else line.code


def _hours(line: _work.Line) -> str:
    whole, quarters = divmod(line.quarters, 4)
    if line.worker in BY_MINUTES:
        return f"{whole}:{quarters * 15:02d}"
    return f"{whole}{('', '.25', '.5', '.75')[quarters]}"


def _clocked(line: _work.Line, clock: dict[object, int]) -> Row:
    """Return start, finish and break: from seven, dinner at noon, evenings from half past four."""
    key = (line.day, line.pay_class)
    evening = line.pay_class == "overtime" and line.day.weekday() < 5
    start = clock.get(key, 990 if evening else 420)
    if start == 720:
        start = 750
    finish = start + line.quarters * 15
    over_noon = start < 720 < finish
    finish += 30 if over_noon else 0
    clock[key] = finish
    return {
        "start": _time(start),
        "finish": _time(finish),
        "break_minutes": "30" if over_noon else "",
    }


def _time(minutes: int) -> str:
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
