"""Loads of timesheets, doubts and the lives of entries for machines: hours of 4 places."""

from decimal import Decimal

from ledger.commands.as_json import Json, known_at
from ledger.commands.doubts import Doubts
from ledger.commands.entries import Life
from ledger.commands.sheets import SheetsLoad
from ledger.domain.allocation import hours_of


def load_json(done: SheetsLoad) -> Json:
    """Return the counts of each file, the hours booked, and those of codes that are not known."""
    return {
        "files": [vars(each) for each in done.loaded.files],
        "booked_hours": hours_of(done.loaded.booked_ms, 4),
        "untagged": [{"code": each.code, "hours": hours_of(each.ms, 4)} for each in done.untagged],
        "known_at": known_at(done.stamp),
    }


def life_json(life: Life, named: str, *, of_line: bool) -> Json:
    """Return the life of an entry or of a sheet line, named as it was asked for."""
    rows = [
        {**{name: row[name] for name in row if name != "ms"}, "hours": _hours(row["ms"])}
        for row in life.rows
    ]
    what = "line" if of_line else "entry"
    return {what: named, "life": rows, "known_at": known_at(life.stamp)}


def _hours(ms: int | None) -> Decimal | None:
    return None if ms is None else hours_of(ms, 4)


def doubts_json(known: Doubts, *, caution: str) -> Json:
    """Return the doubts with the caution that stands beside them."""
    return {"doubts": known.rows, "caution": caution, "known_at": known_at(known.stamp)}
