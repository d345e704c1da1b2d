"""Likely places of what is left to tag, for machines: hours of 4 places, points of 100."""

from collections.abc import Callable, Mapping
from itertools import groupby
from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.suggestions import TagsSuggested
from ledger.domain.allocation import hours_of

LEFT = ("why", "code", "job", "worker_id", "from_day", "last_day", "note")
EVIDENCE = (
    *("note_points", "note_entries", "note_there", "title_points", "code_points", "code_entries"),
    *("days_there", "days_worked", "is_beside", "trade", "crew_percent", "is_of_trade"),
    *("is_in_dates", "is_free"),
)
Row = Mapping[str, Any]


def suggested_json(suggested: TagsSuggested, reason_of: Callable[[Row], str]) -> Json:
    """Return what is left to tag, each with its likely places and why, in words and figures."""
    groups = groupby(suggested.rows, key=lambda row: [row[name] for name in LEFT])
    return {
        "job": suggested.job,
        "by": suggested.by,
        "rows": [_group(list(rows), reason_of) for _, rows in groups],
        "known_at": known_at(suggested.stamp),
    }


def _group(rows: list[Row], reason_of: Callable[[Row], str]) -> Json:
    first = rows[0]
    return {
        "key": _key(first),
        **{name: first[name] for name in LEFT},
        "hours": hours_of(int(first["ms"]), 4),
        "entries": first["entries"],
        "suggestions": [
            {
                "job": row["place_job"],
                "booked_to": row["booked_to"],
                "cause": row["cause"],
                "score": row["score"],
                "reason": reason_of(row),
                "evidence": {name: row[name] for name in EVIDENCE},
            }
            for row in rows
        ],
    }


def _key(row: Row) -> str:
    """Return what a row is of: worker, days, code, job and note."""
    days = f"{row['from_day']} to {row['last_day']}"
    words = (row["worker_id"], days, row["code"], row["job"], row["note"])
    return " ".join(str(each) for each in words if each)
