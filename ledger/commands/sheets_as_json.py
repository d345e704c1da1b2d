"""Loads of timesheets for machines: hours of 4 places."""

from ledger.commands.as_json import Json, known_at
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
