"""The days off and on of job.toml, written out by day."""

import json
from datetime import date
from typing import Any

from ledger.domain.calendar import days_between
from ledger.inputs.job_tables import Checks, beside, keys_of
from ledger.inputs.job_values import Check, as_written, date_of, weight_of
from ledger.inputs.small_files import Row
from ledger.tables.toml_keys import KeyPath, TomlFile

OF_DAYS_OFF = ("from", "to")
OF_DAYS_ON = ("date", "from", "to", "weight")
CHECKS: dict[str, Check] = {
    **dict.fromkeys(("date", "from", "to"), date_of),
    "weight": weight_of,
}
LONGEST_DAYS = 3 * 366
FULL_DAY = "1"


def days_listed(file: TomlFile, job: Row) -> tuple[list[str], dict[str, str]]:
    """Return the days off, and the days worked with their weights; a day of both is a fault."""
    off = _listed(file, job, "days_off", OF_DAYS_OFF)
    on = _listed(file, job, "days_on", OF_DAYS_ON)
    for day in sorted(off.keys() & on.keys()):
        file.fault(("job", "days_on"), f"{day} is in days_off and in days_on; leave one out")
    return sorted(off), dict(sorted(on.items()))


def kept_days(days: dict[str, str]) -> str:
    """Return days with their weights as JSON: a list where all are full."""
    return json.dumps(days if set(days.values()) - {FULL_DAY} else list(days))


def _listed(file: TomlFile, job: Row, name: str, keys: tuple[str, ...]) -> dict[str, str]:
    path, dates = beside(file, job, name)
    if dates is None:
        return {}
    if not isinstance(dates, list):
        file.fault(path, f"{name} {as_written(dates)} is not a list of dates; write [2026-05-31]")
        return {}
    weights: dict[str, str] = {}
    for place, each in enumerate(dates):
        # A list of dates on one line has one place in the file.
        where = (*path, place) if isinstance(each, dict) else path
        try:
            weights |= _days(file, where, each, (name, keys))
        except ValueError as error:
            file.fault(where, f"{name} {error}")
    return weights


def _days(
    file: TomlFile, path: KeyPath, entry: Any, named: tuple[str, tuple[str, ...]]
) -> dict[str, str]:
    """Return the days of a date or of a table with `from` and `to`, with their weights."""
    name, keys = named
    if not isinstance(entry, dict):
        return {str(date_of(entry)): FULL_DAY}
    read = keys_of(file, path, entry, keys, _checks(keys))
    span = _span(read, entry)
    if span is None:
        what = "a date, or from and to" if "date" in keys else "from and to"
        file.fault(path, f"{name} has no day; give {what}")
        return {}
    first, last = span
    if not first or not last:
        return {}
    if not 0 <= (last - first).days < LONGEST_DAYS:
        why = "is before" if last < first else "is over three years after"
        file.fault(path, f"{name}: to {last} {why} from {first}")
        return {}
    return {str(day): read.get("weight") or FULL_DAY for day in days_between(first, last)}


def _span(read: Row, entry: Row) -> tuple[date | None, date | None] | None:
    """Return the first and the last day, None for what does not fit; None without them."""
    if set(entry) >= {"date"} and not set(entry) & {"from", "to"}:
        return read["date"], read["date"]
    if set(entry) >= {"from", "to"} and "date" not in entry:
        return read["from"], read["to"]
    return None


def _checks(keys: tuple[str, ...]) -> Checks:
    return {name: CHECKS[name] for name in keys}
