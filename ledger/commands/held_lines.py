"""Held lines and re-issued sheets: listed, and ended by a person."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.outcomes import Outcome
from ledger.reports.yard.held_workbook import held_workbook
from ledger.sheets import held, reissues
from ledger.sheets.held import Chosen
from ledger.sheets.held_file import held_as_read
from ledger.sheets.outcomes import LinesEnded, ReissueConfirmed, ReissueRejected
from ledger.store.out_files import write_out

# What held lines are counted by, and the column of each.
COUNTED_BY = {"reason": "reason", "file": "file", "worker": "worker_id"}


@dataclass(frozen=True)
class LinesPutRight(Outcome):
    """Held lines that a person ended."""

    ended: LinesEnded
    finished: Finished


@dataclass(frozen=True)
class ReissuesConfirmed(Outcome):
    """Re-issues that count now."""

    reissues: tuple[ReissueConfirmed, ...]
    finished: Finished


@dataclass(frozen=True)
class ReissuesRejected(Outcome):
    """Re-issues that do not count."""

    reissues: tuple[ReissueRejected, ...]
    finished: Finished


def held_lines(access: ReadAccess) -> list[dict[str, Any]]:
    """Return the lines that are held, as they read; hours are as written, or start and finish."""
    with access.reading() as book:
        rows = held_as_read(book)
    for row in rows:
        times = [time for time in (row["start"], row["finish"]) if time]
        row["hours"] = row["hours"] or "..".join(times) or None
    return rows


def held_counted(access: ReadAccess, by: str) -> list[tuple[str | None, int]]:
    """Return how many lines are held by reason, file or worker, the most first."""
    counted = Counter(row[COUNTED_BY[by]] for row in held_lines(access))
    order = sorted(counted, key=lambda each: (-counted[each], each or ""))
    return [(each, counted[each]) for each in order]


def write_workbook(access: ReadAccess, out: Path, load: str) -> int:
    """Write a workbook to correct held lines in, one by one; return how many lines it has.

    `load` is the command that loads it again, as the workbook tells it.

    Raises: Refused when the file cannot be written.
    """
    with access.reading() as book:
        rows, stamp = held_as_read(book), book.stamp()
    rows = [row for row in rows if row["reason"] != "re_issue"]
    write_out(out, held_workbook(rows, stamp.recorded_at, load))
    return len(rows)


def release_lines(access: WriteAccess, chosen: Chosen, reason: str) -> LinesPutRight:
    """Book held lines as they read."""
    with access.writing("release line") as (book, batch):
        ended = held.release_lines(book, batch, chosen, reason)
        return LinesPutRight(ended, finish(book, batch))


def reject_lines(access: WriteAccess, chosen: Chosen, reason: str) -> LinesPutRight:
    """End held lines without booking them."""
    with access.writing("reject line") as (book, batch):
        ended = held.reject_lines(book, batch, chosen, reason)
        return LinesPutRight(ended, finish(book, batch))


def correct_line(
    access: WriteAccess, line: str, changes: Sequence[str], reason: str
) -> LinesPutRight:
    """Book a held line with fields changed (field=value)."""
    with access.writing("correct line") as (book, batch):
        ended = held.correct_line(book, batch, line, changes, reason)
        return LinesPutRight(ended, finish(book, batch))


def open_reissues(access: ReadAccess) -> list[dict[str, Any]]:
    """Return, line by line, what confirming each open re-issue would do."""
    with access.reading() as book:
        return reissues.open_steps(book)


def confirm_reissues(access: WriteAccess, ids: Sequence[str], reason: str) -> ReissuesConfirmed:
    """Let re-issued sheets count."""
    with access.writing("confirm reissue") as (book, batch):
        confirmed = tuple(reissues.confirm_reissues(book, batch, ids, reason))
        return ReissuesConfirmed(confirmed, finish(book, batch))


def reject_reissues(access: WriteAccess, ids: Sequence[str], reason: str) -> ReissuesRejected:
    """Leave sheets as they were."""
    with access.writing("reject reissue") as (book, batch):
        rejected = tuple(reissues.reject_reissues(book, batch, ids, reason))
        return ReissuesRejected(rejected, finish(book, batch))
