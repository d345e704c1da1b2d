"""Held lines and re-issues that were ended, in words."""

from typing import TYPE_CHECKING

from ledger.cli.wording.endings import doubts_lines, finished_lines
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.commands.held_file import HeldLoaded
    from ledger.commands.held_lines import LinesPutRight, ReissuesConfirmed, ReissuesRejected
    from ledger.sheets.outcomes import LinesEnded, Reissue

STEPS = {
    "keep": "kept",
    "reverse": "reversed",
    "book": "booked",
    "restore": "restored",
    "end": "held earlier and rejected",
    "wait": "still held",
}


def put_right_lines(done: "LinesPutRight") -> list[str]:
    """Return what is said of held lines that were ended."""
    return ended_lines(done.ended) + finished_lines(done.finished)


def ended_lines(ended: "LinesEnded") -> list[str]:
    """Return how many lines ended in which way, and how many wait as part of a re-issue."""
    ways = [(getattr(ended, way), way) for way in WAYS if getattr(ended, way)]
    lines = []
    if ways:
        (count, way), *more = ways
        first = f"{counted(count, 'held line', 'held lines')} {way}"
        lines.append(", ".join([first, *(f"{count} {way}" for count, way in more)]))
    if ended.in_reissues:
        waiting = counted(ended.in_reissues, "held line", "held lines")
        lines.append(f"{waiting} corrected, still held as part of a re-issue")
    return lines


WAYS = ("released", "corrected", "matched", "rejected")


def confirmed_lines(done: "ReissuesConfirmed") -> list[str]:
    """Return what is said of re-issues that count."""
    lines = []
    for each in done.reissues:
        steps = [f"{each.steps[step]} {STEPS[step]}" for step in STEPS if each.steps.get(step)]
        lines.append(f"{_title(each.of)}: {', '.join(steps)}")
        lines += [
            f"re-issue {other} in {file} of the same sheet is still open; reject it if it is older"
            for other, file in each.waiting
        ]
    return lines + finished_lines(done.finished)


def rejected_lines(done: "ReissuesRejected") -> list[str]:
    """Return what is said of re-issues that do not count."""
    lines = [
        f"{_title(each.of)}: rejected, {counted(each.lines, 'new line', 'new lines')} with it"
        for each in done.reissues
    ]
    return lines + finished_lines(done.finished)


def _title(reissue: "Reissue") -> str:
    return f"re-issue {reissue.reissue}, sheet {reissue.sheet} in {reissue.file}"


def corrections_lines(done: "HeldLoaded") -> list[str]:
    """Return what is said of a file of corrections."""
    file = done.file
    lines = ended_lines(file.ended)
    if file.ended_before:
        lines.append(f"already ended, left as they are: {', '.join(file.ended_before)}")
    lines.append(
        f"{file.without_correction} of {counted(file.rows, 'line', 'lines')} without a correction"
    )
    return [f"{file.file}: {line}" for line in lines] + doubts_lines(done.finished.doubts)
