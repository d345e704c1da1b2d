"""What speaks for a suggested place, in words."""

from collections.abc import Mapping
from typing import Any

from ledger.domain.counting import counted

# Smaller shares of a trade's hours are not worth a word.
CREW_PERCENT = 10


def reason_of(row: Mapping[str, Any]) -> str:
    """Return in words what speaks for a place, the strongest kinds of evidence first."""
    return "; ".join(filter(None, (_note(row), _code(row), _worker(row), _crew(row), _plan(row))))


def _note(row: Mapping[str, Any]) -> str:
    if row["note_points"]:
        entries = counted(row["note_entries"], "entry", "entries")
        if row["note_points"] == 100:
            return f"same note on {entries} there"
        return f'a note {row["note_points"]} % like "{row["note_there"]}" on {entries} there'
    return "the note is like its title" if row["title_points"] else ""


def _code(row: Mapping[str, Any]) -> str:
    if row["code_entries"]:
        return f"same code on {counted(row['code_entries'], 'entry', 'entries')} tagged there"
    return "the code is like its own" if row["code_points"] else ""


def _worker(row: Mapping[str, Any]) -> str:
    worker = row["worker_id"]
    beside = "in the week before or after" if row["is_beside"] else ""
    if not row["days_there"]:
        return f"{worker} there {beside}" if beside else ""
    days = counted(row["days_worked"], "day", "days")
    there = f"{worker} there on {row['days_there']} of {days} that week"
    return f"{there} and {beside}" if beside else there


def _crew(row: Mapping[str, Any]) -> str:
    if row["trade"] is None or row["crew_percent"] < CREW_PERCENT:
        return ""
    return f"{row['crew_percent']} % of the hours of trade {row['trade']} that week"


def _plan(row: Mapping[str, Any]) -> str:
    """Return whether trade and dates are the place's, where it has any, and what of it is not."""
    kinds = (("trade", "is_of_trade"), ("dates", "is_in_dates"))
    fitting = [name for name, column in kinds if row[column]]
    against = [f"not its {name}" for name, column in kinds if row[column] is False]
    against += [] if row["is_free"] else ["another line there that day"]
    texts = [f"its {' and '.join(fitting)}"] if fitting else []
    return "; ".join([*texts, *against])
