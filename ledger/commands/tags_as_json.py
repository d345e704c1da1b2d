"""What is left to tag, and how much is tagged, for machines: hours of 4 places, percent."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.tags import HoursByTagging, LeftToTag
from ledger.domain.allocation import hours_of, to_places

SOURCES = ("booked", "code", "rule", "hand", "untagged", "doubtful")


def untagged_json(left: LeftToTag) -> Json:
    """Return the rows of what is left to tag, and the sums."""
    doubtful = sum(int(row["ms"]) for row in left.rows if row["why"] == "doubtful")
    whole = sum(int(row["ms"]) for row in left.rows)
    return {
        "job": left.job,
        "rows": [_row(row, left.by) for row in left.rows],
        "untagged_hours": hours_of(whole - doubtful, 4),
        "doubtful_hours": hours_of(doubtful, 4),
        "known_at": known_at(left.stamp),
    }


def _row(row: Mapping[str, Any], by: str) -> Json:
    return {
        "why": row["why"],
        by: row["key"],
        "job": row["job"],
        "hours": hours_of(int(row["ms"]), 4),
        **{name: row[name] for name in ("entries", "workers", "first_day", "last_day")},
    }


def tagging_json(tagged: HoursByTagging) -> Json:
    """Return the hours of each week by what says where they belong, and the share tagged."""
    return {
        "job": tagged.job,
        "weeks": [
            {
                "week": row["week"],
                **{f"{name}_hours": hours_of(int(row[f"{name}_ms"]), 4) for name in SOURCES},
                "tagged_percent": tagged_percent(row, 4),
            }
            for row in tagged.weeks
        ],
        "known_at": known_at(tagged.stamp),
    }


def tagged_percent(row: Mapping[str, Any], places: int) -> Decimal | None:
    """Return the share of the hours booked that is tagged, in percent; None without hours."""
    booked, untagged = int(row["booked_ms"]), int(row["untagged_ms"])
    return to_places(Fraction(100 * (booked - untagged), booked), places) if booked else None
