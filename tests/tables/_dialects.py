"""Entries written in any layout and dialect: what a yard's foremen might hand in."""

import csv
import io
import random
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from hypothesis import strategies as st

from tests.tables._workbooks import ods, xlsx

MINUTE = 60_000
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
ENDS = {"lf": "\n", "crlf": "\r\n", "cr": "\r"}


@dataclass(frozen=True, order=True)
class Entry:
    """What is booked: worker, day, whole minutes, code and note."""

    worker: str
    day: date
    minutes: int
    code: str
    note: str = ""


@dataclass(frozen=True)
class Dialect:
    """One way of writing a sheet."""

    shape: str = "long"
    delimiter: str = ","
    decimal_mark: str = "."
    date_order: str = "ymd"
    duration: str = "any"
    encoding: str = "utf-8"
    mark: bool = False
    end: str = "lf"
    quote_all: bool = False
    titles: int = 0
    date_heads: bool = False
    seed: int = 0
    ending: str = "csv"


# Quarters of an hour are exact in every form: 0.25 h is 15 minutes.
ENTRIES = st.lists(
    st.builds(
        Entry,
        st.sampled_from(["A1", "B2"]),
        st.dates(date(2024, 1, 1), date(2026, 12, 31)),
        st.integers(0, 96).map(lambda quarters: quarters * 15),
        st.sampled_from(["DECK", "FRAME", "SHED"]),
        st.sampled_from(["", "für", "a, b; c", 'say "x"', "two\nlines", "tab\there", "'"]),
    ),
    min_size=1,
    max_size=10,
)
DIALECTS = st.builds(
    Dialect,
    st.sampled_from(["long", "grid"]),
    st.sampled_from([",", ";", "\t", "|"]),
    st.sampled_from([".", ","]),
    st.sampled_from(["ymd", "dmy", "mdy"]),
    st.sampled_from(["any", "decimal", "h.mm", "minutes"]),
    st.sampled_from(["utf-8", "utf-16-le", "utf-16-be", "windows-1252"]),
    st.booleans(),
    st.sampled_from(sorted(ENDS)),
    st.booleans(),
    st.integers(0, 3),
    st.booleans(),
    st.integers(0, 9),
    st.sampled_from(["csv", "csv", "csv", "xlsx", "ods"]),
)
HEADS = {
    "worker_id": "Hand",
    "date": "On",
    "hours": "Took",
    "booking_code": "For",
    "note": "Remark",
    "week_starting": "Week from",
}


def layout_of(dialect: Dialect) -> str:
    """Return the layout by which a sheet in the dialect is read."""
    fields = ["worker_id", "booking_code", "note"]
    fields += ["date", "hours"] if dialect.shape == "long" else []
    fields += ["week_starting"] if dialect.shape == "grid" and not dialect.date_heads else []
    delimiter = "tab" if dialect.delimiter == "\t" else dialect.delimiter
    keys = {
        "shape": dialect.shape,
        "delimiter": delimiter,
        "decimal_mark": dialect.decimal_mark,
        "date_order": dialect.date_order,
        "duration": dialect.duration,
        "encoding": _named_encoding(dialect),
    }
    lines = [f'{name} = "{value}"' for name, value in keys.items()]
    lines += ["date_heads = true"] if dialect.shape == "grid" and dialect.date_heads else []
    lines += ["[columns]", *(f'{name} = "{HEADS[name]}"' for name in fields)]
    return "\n".join(lines) + "\n"


def _named_encoding(dialect: Dialect) -> str:
    return "utf-16" if dialect.mark and "16" in dialect.encoding else dialect.encoding


def write_sheet(folder: Path, entries: Sequence[Entry], dialect: Dialect) -> Path:
    """Write entries as one file in a dialect."""
    head, rows = (_long if dialect.shape == "long" else _grid)(entries, dialect)
    order = list(range(len(head)))
    random.Random(dialect.seed).shuffle(order)
    table = [[row[place] for place in order] for row in (head, *rows)]
    titles = [[f"Sheet of hours, {number}"] for number in range(dialect.titles)]
    path = folder / f"sheet.{dialect.ending}"
    if dialect.ending != "csv":
        cells = [[cell or None for cell in row] for row in (*titles, *table)]
        return {"xlsx": xlsx, "ods": ods}[dialect.ending](path, {"Sheet": cells})
    path.write_bytes(_encoded([*titles, *table], dialect))
    return path


def _encoded(rows: Sequence[Sequence[str]], dialect: Dialect) -> bytes:
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=dialect.delimiter,
        quoting=csv.QUOTE_ALL if dialect.quote_all else csv.QUOTE_MINIMAL,
        lineterminator=ENDS[dialect.end],
    )
    # A line end within a note is quoted only if it is of the file's own kind.
    writer.writerows([[cell.replace("\n", ENDS[dialect.end]) for cell in row] for row in rows])
    # The mark is the first letter; Windows-1252 has none.
    mark = "\ufeff" if dialect.mark and dialect.encoding != "windows-1252" else ""
    return (mark + out.getvalue()).encode(dialect.encoding)


def _day(day: date, dialect: Dialect) -> str:
    separator = "./-"[dialect.seed % 3]
    parts = {"y": str(day.year), "m": str(day.month), "d": f"{day.day:02}"}
    return separator.join(parts[each] for each in dialect.date_order)


def _hours(minutes: int, dialect: Dialect) -> str:
    whole, rest = divmod(minutes, 60)
    decimal = f"{whole}{dialect.decimal_mark}{rest * 100 // 60:02}"
    if dialect.duration == "minutes":
        return str(minutes)
    if dialect.duration == "h.mm":
        return f"{whole}.{rest:02}"
    if dialect.duration == "any" and dialect.seed % 2:
        return f"{whole}:{rest:02}"
    return decimal


def _long(entries: Sequence[Entry], dialect: Dialect) -> tuple[list[str], list[list[str]]]:
    head = [HEADS[name] for name in ("worker_id", "date", "hours", "booking_code", "note")]
    rows = [
        [each.worker, _day(each.day, dialect), _hours(each.minutes, dialect), each.code, each.note]
        for each in entries
    ]
    return head, rows


def _grid(entries: Sequence[Entry], dialect: Dialect) -> tuple[list[str], list[list[str]]]:
    """Return a row for each worker, week, code and note; equal ones of a day take a row more."""
    rows: dict[tuple[str, date, str, str, int], dict[date, str]] = defaultdict(dict)
    for each in entries:
        monday = each.day - timedelta(days=each.day.weekday())
        nth = 0
        while each.day in rows[each.worker, monday, each.code, each.note, nth]:
            nth += 1
        row = rows[each.worker, monday, each.code, each.note, nth]
        row[each.day] = _hours(each.minutes, dialect)
    start = [HEADS["worker_id"], HEADS["booking_code"], HEADS["note"]]
    if dialect.date_heads:
        days = sorted({day for row in rows.values() for day in row})
        head = [*start, *(_day(day, dialect) for day in days)]
        return head, [
            [worker, code, note, *(row.get(day, "") for day in days)]
            for (worker, _, code, note, _), row in rows.items()
        ]
    head = [*start, HEADS["week_starting"], *WEEKDAYS]
    return head, [
        [worker, code, note, _day(monday, dialect)]
        + [row.get(monday + timedelta(days=at), "") for at in range(7)]
        for (worker, monday, code, note, _), row in rows.items()
    ]
