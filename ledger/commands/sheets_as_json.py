"""Loads of timesheets and doubts for machines: hours of 4 places."""

from ledger.commands.as_json import Json, Words, known_at
from ledger.commands.doubts import Doubts
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


def doubts_json(known: Doubts, *, caution: str, reason: Words) -> Json:
    """Return the doubts with the caution that stands beside them; `reason` words the notes."""
    notes = [
        {
            **{name: note.doubt[name] for name in ("doubt", "severity", "kind", "day", "jobs")},
            "message": reason(note.reason),
            "rule": note.rule,
            "source": note.source,
            **{name: note.doubt[name] for name in ("settled_by", "settled_at", "reason")},
        }
        for note in known.notes
    ]
    return {
        "doubts": known.rows,
        "plausibility": notes,
        "caution": caution,
        "known_at": known_at(known.stamp),
    }
