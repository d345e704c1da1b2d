"""Entries tagged by hand, in words."""

from collections.abc import Sequence

from ledger.cli.tables import as_table
from ledger.cli.wording.endings import finished_lines
from ledger.commands.tags import EntriesReplaced, TagsOfFile
from ledger.domain.allocation import to_places
from ledger.domain.counting import counted, grouped, hours_text
from ledger.domain.measures import Figure
from ledger.performance.touched import MEASURES, PartMeasured
from ledger.sheets.moves import listed
from ledger.sheets.outcomes import ClosedEntry, EntriesTagged

LISTED = 10
HOUR = 3_600_000


def tagged_lines(done: EntriesReplaced) -> list[str]:
    """Return what is said of entries that were tagged."""
    return [
        *entries_lines(done.done),
        *measures_lines(done.measures),
        *finished_lines(done.finished),
    ]


def loaded_lines(done: TagsOfFile) -> list[str]:
    """Return what is said of entries that a file tagged."""
    file = done.file
    rows = counted(file.rows, "row", "rows")
    return [
        f"{file.file}: {rows}, {file.without_place} without a place",
        *entries_lines(file.done),
        *measures_lines(done.measures),
        *finished_lines(done.finished),
    ]


def entries_lines(done: EntriesTagged) -> list[str]:
    """Return what is said of the entries that were tagged, moved, or left."""
    lines = []
    if done.entries:
        entries = counted(done.entries, "entry", "entries")
        trace = f"; `fairhours trace {done.first}`" if done.entries == 1 else ""
        lines.append(f"{entries} tagged by hand, {hours_text(done.ms)} h{trace}")
    lines += listed(done.moves)
    if done.as_before:
        lines.append(f"{counted(done.as_before, 'entry', 'entries')} tagged so already")
    if done.late:
        late = counted(done.late, "entry of a closed period", "entries of closed periods")
        lines.append(f"{late}: the closed figures stay, the difference is a late adjustment")
    lines += closed_lines(done.closed, "not tagged; --with-closed tags them")
    return lines + claimed_lines(done.claimed)


def claimed_lines(claimed: Sequence[ClosedEntry]) -> list[str]:
    """Return how many claimed entries stay, and a line for each of the first."""
    entries = counted(len(claimed), "claimed entry", "claimed entries")
    return _listed(claimed, f"{entries} not tagged; correct or reverse what was claimed wrongly:")


def closed_lines(closed: Sequence[ClosedEntry], why: str) -> list[str]:
    """Return how many entries of closed periods stay, and a line for each of the first."""
    entries = counted(len(closed), "entry of a closed period", "entries of closed periods")
    return _listed(closed, f"{entries} {why}:")


def _listed(closed: Sequence[ClosedEntry], head: str) -> list[str]:
    if not closed:
        return []
    lines = [
        f"  {each.entry}: {each.worker_id} on {each.day}, {hours_text(each.ms)} h"
        for each in closed[:LISTED]
    ]
    more = [f"  and {len(closed) - LISTED} more"] if len(closed) > LISTED else []
    return [head, *lines, *more]


def measures_lines(measures: Sequence[PartMeasured]) -> list[str]:
    """Return a table of measures, before and after, for each status date."""
    lines = []
    for day in sorted({each.status_date for each in measures}):
        rows = [_row(each) for each in measures if each.status_date == day]
        table = as_table(("", "BAC h", "EV h", "AC h", "CPI"), rows)
        lines += [f"measures on {day}, before -> after:", *table.splitlines()]
    return lines


def _row(measured: PartMeasured) -> list[str]:
    name = f"{measured.job} {measured.part}" if measured.part else f"{measured.job}, whole job"
    return [
        name,
        *(_change(each, measured.before[each], measured.after[each]) for each in MEASURES),
    ]


def _change(name: str, before: Figure, after: Figure) -> str:
    texts = [_text(name, value) for value in (before, after)]
    return texts[0] if texts[0] == texts[1] else " -> ".join(texts)


def _text(name: str, value: Figure) -> str:
    if value is None:
        return "-"
    return grouped(to_places(value, 3) if name == "cpi" else to_places(value, 2, HOUR))
