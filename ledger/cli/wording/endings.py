"""How a write ended, in words: what moved, and which doubts its entries raise."""

from typing import TYPE_CHECKING

from ledger.cli.colour import marked
from ledger.domain.counting import counted, hours_text

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.commands.finishing import Finished
    from ledger.sheets.ending_outcomes import DoubtsRaised, KeptEntry, PlacesPosted
    from ledger.sheets.outcomes import LateLines

# As many entries that stay are listed; the others are counted.
LISTED = 10


def finished_lines(finished: "Finished") -> list[str]:
    """Return what is said at the end of a write."""
    return [*places_lines(finished.places), *doubts_lines(finished.doubts)]


def places_lines(places: "PlacesPosted") -> list[str]:
    from ledger.sheets.moves import listed

    lines = []
    if places.released:
        lines.append(f"{counted(places.released, 'held line', 'held lines')} booked")
    if places.matched:
        matched = counted(places.matched, "held line", "held lines")
        lines.append(f"{matched} matched: the job is now known, the same hours are booked")
    if places.named:
        named = counted(places.named, "held line", "held lines")
        lines.append(f"{named} matched: the worker is now known, the same hours are booked")
    if places.reissued:
        reissued = counted(places.reissued, "line waits", "lines wait")
        lines.append(
            f"{reissued} as a re-issue: the worker is now known, the sheet has other lines of that "
            "worker and day; see `fairhours reissues`"
        )
    if places.moves:
        entries = sum(move.entries for move in places.moves)
        moved = counted(entries, "entry", "entries")
        lines.append(f"{moved} moved, {hours_text(sum(move.ms for move in places.moves))} h:")
        lines += listed(places.moves)
    if places.late:
        entries = sum(move.entries for move in places.late)
        moved = counted(entries, "entry of a closed period", "entries of closed periods")
        hours = hours_text(sum(move.ms for move in places.late))
        lines.append(f"{moved} moved, {hours} h, as late adjustments:")
        lines += listed(places.late)
    return lines + _kept(places)


def _kept(places: "PlacesPosted") -> list[str]:
    claimed = sum(each.is_claimed for each in places.kept)
    closed = len(places.kept) - claimed
    of_closed = counted(closed, "entry of a closed period", "entries of closed periods")
    of_claims = counted(claimed, "claimed entry", "claimed entries")
    counts = [*([of_closed] if closed else []), *([of_claims] if claimed else [])]
    return [f"{each} not moved; see `fairhours kept`" for each in counts]


def kept_lines(kept: "Sequence[KeptEntry]") -> list[str]:
    """Return a line for each of the first entries that stay."""
    from ledger.sheets.moves import named

    lines = [
        f"  {each.entry}: {each.worker_id} on {each.day}, "
        f"{named(each.from_place or '-')} -> {named(each.to_place or '-')}, "
        f"{hours_text(each.ms)} h"
        for each in kept[:LISTED]
    ]
    return [*lines, *([f"  and {len(kept) - LISTED} more"] if len(kept) > LISTED else [])]


def doubts_lines(doubts: "DoubtsRaised") -> list[str]:
    """Return a line that says how many doubts of each kind were raised; none without any."""
    if not doubts.kinds:
        return []
    kinds = ", ".join(f"{count} {kind}" for kind, count in doubts.kinds.items())
    graver = f"{doubts.warned} to look at first"
    more = f"{graver}, " if doubts.warned else ""
    line = f"doubts: {kinds}; {more}see `fairhours doubts`"
    return [marked(line, graver) if doubts.warned else line]


def late_lines(late: "tuple[LateLines, ...]") -> list[str]:
    """Return a line for each closed period that a write booked or reversed lines of."""
    return [
        f"{counted(each.lines, 'line falls', 'lines fall')} in a closed period "
        f"(to {each.closed_to}): its figures stay, the difference is a late adjustment"
        for each in late
    ]
