"""What a write would move: listed, and refused where it takes hours out of a job unasked."""

from collections.abc import Sequence

from ledger.domain.counting import hours_text
from ledger.errors import Refused, Remedy
from ledger.sheets.ending_outcomes import Move
from ledger.store.book import Book

# As many moves are listed, and as many places of one; the others are counted.
LISTED = 10
NAMED = 4


def refuse_hours_that_leave(book: Book) -> None:
    """Raises: Refused when the staged differences take time out of a job where it stands."""
    leaving = _moves(book, leaving=True)
    if not leaving:
        return
    files = book.rows("sheets/files_of_hours_moved")
    lost: dict[str, int] = {}
    for job, _, ms in files:
        lost[job] = lost.get(job, 0) + int(ms)
    jobs = " and ".join(f"{hours_text(ms)} h out of job {job}" for job, ms in sorted(lost.items()))
    job, file, _ = files[0]
    first = Remedy("correct_entries", file=_quoted(file), job=job)
    raise Refused("hours_leave_job", leaving=jobs, moves=tuple(listed(leaving)), remedy=first)


def moves_staged(book: Book) -> tuple[Move, ...]:
    """Return what the staged differences move."""
    return tuple(_moves(book))


def _moves(book: Book, *, leaving: bool = False) -> list[Move]:
    """Return what the staged differences move; `leaving`, what of it leaves its job."""
    return [
        Move(
            row["from_job"],
            row["from_place"],
            row["to_job"],
            row["to_place"],
            row["entries"],
            int(row["ms"]),
        )
        for row in book.records("sheets/hours_moved")
        if row["leaves_job"] or not leaving
    ]


def listed(moves: Sequence[Move]) -> list[str]:
    """Return the first moves in words, and a line for the rest."""
    lines = [
        f"  {_place(each.from_job, each.from_place)} -> {_place(each.to_job, each.to_place)}: "
        f"{hours_text(each.ms)} h"
        for each in moves[:LISTED]
    ]
    if rest := moves[LISTED:]:
        lines.append(f"  and {len(rest)} more: {hours_text(sum(each.ms for each in rest))} h")
    return lines


def named(places: str) -> str:
    """Return the first of some places, and how many more there are."""
    each = places.split(", ")
    rest = len(each) - NAMED
    return f"{', '.join(each[:NAMED])} and {rest} more" if rest > 0 else places


def _place(job: str | None, place: str) -> str:
    if job is not None:
        return f"{job} {named(place)}"
    return "untagged, no job" if place == "untagged" else str(place)


def _quoted(name: str) -> str:
    return f'"{name}"' if set(name) & set(" '()&;$") else name
