"""Doubts for machines, with the notes on jobs' figures."""

from ledger.commands.as_json import Json, Words, known_at
from ledger.commands.doubts import Doubts


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
