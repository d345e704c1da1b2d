"""How a write ended, in words: what moved, and which doubts its entries raise."""

from typing import TYPE_CHECKING

from ledger.cli.colour import marked
from ledger.cli.wording.counting import counted
from ledger.domain.allocation import hours_of

if TYPE_CHECKING:
    from ledger.commands.finishing import Finished
    from ledger.sheets.outcomes import DoubtsRaised, LateLines, PlacesPosted


def finished_lines(finished: "Finished") -> list[str]:
    """Return what is said at the end of a write."""
    return [*places_lines(finished.places), *doubts_lines(finished.doubts)]


def places_lines(places: "PlacesPosted") -> list[str]:
    from ledger.sheets.moves import listed

    lines = []
    if places.released:
        lines.append(f"{counted(places.released, 'held line is', 'held lines are')} booked now")
    if places.matched:
        ended = counted(places.matched, "held line", "held lines")
        lines.append(f"{ended} ended: the job is known now, and a line that reads so is booked")
    if places.moves:
        entries = sum(move.entries for move in places.moves)
        moved = counted(entries, "entry moves", "entries move")
        lines.append(f"{moved}, {hours_of(sum(move.ms for move in places.moves))} h:")
        lines += listed(places.moves)
    if places.kept:
        stay = "entry of a closed period stays", "entries of closed periods stay"
        lines.append(
            f"{counted(places.kept, *stay)} where booked; `fairhours kept` lists what would move"
        )
    return lines


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
        f"{counted(each.lines, 'line is of a day', 'lines are of days')} in a closed period "
        f"(to {each.closed_to}): its figures stay, the difference is a late adjustment"
        for each in late
    ]
