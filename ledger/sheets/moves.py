"""What a write would move: listed, and refused where it takes hours out of a job unasked."""

from typing import Any

from ledger.domain.allocation import hours_of
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

# As many moves are listed; the others are counted.
LISTED = 10


def refuse_hours_that_leave(book: Book) -> None:
    """Raises: Refused when the staged differences take time out of a job where it stands."""
    leaving = [row for row in book.records("sheets/hours_moved") if row["leaves_job"]]
    if not leaving:
        return
    files = book.rows("sheets/files_of_hours_moved")
    lost: dict[str, int] = {}
    for job, _, ms in files:
        lost[job] = lost.get(job, 0) + int(ms)
    jobs = " and ".join(f"{hours_of(ms)} h out of job {job}" for job, ms in sorted(lost.items()))
    job, file, _ = files[0]
    first = Remedy("correct_entries", file=_quoted(file), job=job)
    raise Refused("hours_leave_job", leaving=jobs, moves=tuple(_listed(leaving)), remedy=first)


def moves_shown(book: Book) -> list[str]:
    """Return lines to print of what the staged differences move, none when nothing moves."""
    moved = book.records("sheets/hours_moved")
    if not moved:
        return []
    entries, ms = sum(row["entries"] for row in moved), sum(int(row["ms"]) for row in moved)
    count = "1 entry moves" if entries == 1 else f"{entries} entries move"
    return [f"{count}, {hours_of(ms)} h:", *_listed(moved)]


def _listed(moved: list[dict[str, Any]]) -> list[str]:
    shown = [
        f"  {_place(row, 'from')} -> {_place(row, 'to')}: {hours_of(int(row['ms']))} h"
        for row in moved[:LISTED]
    ]
    if rest := moved[LISTED:]:
        hours = hours_of(sum(int(row["ms"]) for row in rest))
        shown.append(f"  and {len(rest)} more: {hours} h")
    return shown


def _place(row: dict[str, Any], side: str) -> str:
    job, place = row[f"{side}_job"], row[f"{side}_place"]
    if job is not None:
        return f"{job} {place}"
    return "untagged, no job" if place == "untagged" else str(place)


def _quoted(name: str) -> str:
    return f'"{name}"' if set(name) & set(" '()&;$") else name
