"""Entries that were reversed or corrected, in words."""

from ledger.cli.wording.endings import finished_lines, late_lines
from ledger.commands.entries import EntriesPutRight, EntriesRebooked, LoadsTakenBack
from ledger.domain.counting import counted, hours_text
from ledger.sheets.outcomes import (
    EntriesCorrected,
    EntriesReversed,
    LoadReversed,
    LoadsReversed,
    ReversalsUndone,
)

NAMED_AT_MOST = 5
ENDED_AS_BOOKED = "held lines since matched with its lines"
COUNTED_AS_BOOKED = "lines counted as already booked in later loads"


def put_right_lines(done: EntriesPutRight) -> list[str]:
    """Return what is said of entries reversed, or of reversals undone."""
    lines = _undone(done.done) if isinstance(done.done, ReversalsUndone) else _reversed(done.done)
    return lines + finished_lines(done.finished)


def taken_back_lines(done: LoadsTakenBack) -> list[str]:
    """Return what is said of loads that were reversed whole."""
    return _loads(done.done) + finished_lines(done.finished)


def rebooked_lines(done: EntriesRebooked) -> list[str]:
    """Return what is said of entries that were corrected."""
    return _corrected(done.done) + finished_lines(done.finished)


def _reversed(done: EntriesReversed) -> list[str]:
    count = counted(len(done.entries), "entry", "entries")
    lines = [f"{count} reversed; `fairhours trace {done.entries[0]}`", *late_lines(done.late)]
    if done.of_sheet is None:
        return lines
    entry, sheet = done.of_sheet
    return [
        *lines,
        f"to correct it, undo the reversal and use `fairhours correct entry {entry} field=value`; "
        f"a file with only the right line under sheet {sheet} waits as a re-issue "
        "that would reverse the worker's other hours of the day",
    ]


def _undone(done: ReversalsUndone) -> list[str]:
    count = counted(done.count, "reversal", "reversals")
    return [f"{count} undone; `fairhours trace {done.named[0]}`"]


def _loads(done: LoadsReversed) -> list[str]:
    ended = counted(done.reissues_ended, "re-issue", "re-issues")
    return [
        *map(_load, done.loads),
        *(
            f"  {place}: {counted(entries, 'entry', 'entries')}, {hours_text(ms)} h"
            for place, entries, ms in done.places
        ),
        *([f"{ended} of it rejected"] if done.reissues_ended else []),
        *late_lines(done.late),
        *_replaced(done.replaced),
        *_files_to_reload(ENDED_AS_BOOKED, done.ended_as_booked),
        *_files_to_reload(COUNTED_AS_BOOKED, done.sharing),
    ]


def _load(load: LoadReversed) -> str:
    ended = f"; {counted(load.held, 'held line', 'held lines')} ended" if load.held else ""
    return (
        f"{load.file} (batch {load.batch}, {load.recorded_at:%Y-%m-%d}): "
        f"{counted(load.entries, 'entry', 'entries')} reversed, {hours_text(load.ms)} h{ended}"
    )


def _replaced(entries: tuple[tuple[str, int], ...]) -> list[str]:
    if not entries:
        return []
    ids = " ".join(entry for entry, _ in entries[:NAMED_AT_MOST])
    hours = hours_text(sum(ms for _, ms in entries))
    return [
        f"still reversed, replaced by its re-issue: {ids}{_more(len(entries))} ({hours} h); "
        "`fairhours undo reversal` restores them"
    ]


def _files_to_reload(what: str, files: tuple[str, ...]) -> list[str]:
    if not files:
        return []
    names = f"{', '.join(files[:NAMED_AT_MOST])}{_more(len(files))}"
    return [f"{what}: {names}; load these files again if they share lines with it"]


def _more(count: int) -> str:
    rest = count - NAMED_AT_MOST
    return f" and {rest} more" if rest > 0 else ""


def _corrected(done: EntriesCorrected) -> list[str]:
    entries, before, after = (
        sum(getattr(move, name) for move in done.moves) for name in ("entries", "ms_from", "ms_to")
    )
    summary = f"{counted(entries, 'entry', 'entries')} corrected, {_change(before, after)}"
    if entries == 1:
        summary = (
            f"entry {done.first} corrected, now {done.now}: "
            f"{_change(before, after)}; `fairhours trace {done.first}`"
        )
    moves = [
        f"  {_move(move.place_from, move.place_to)}: "
        f"{counted(move.entries, 'entry', 'entries')}, {_change(move.ms_from, move.ms_to)}"
        for move in done.moves
    ]
    unchanged = counted(done.as_they_are, "entry", "entries")
    rest = [f"{unchanged} unchanged"] if done.as_they_are else []
    return [summary, *moves, *late_lines(done.late), *rest]


def _move(before: str, after: str) -> str:
    return before if before == after else f"{before} -> {after}"


def _change(before: int, after: int) -> str:
    if before == after:
        return f"{hours_text(after)} h"
    return f"{hours_text(before)} h -> {hours_text(after)} h"
