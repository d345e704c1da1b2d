"""Held lines handed out to be put right, and their corrections taken back in."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.domain.parsing import parse_whole
from ledger.domain.spreadsheets import without_mark
from ledger.errors import Remedy
from ledger.inputs.files import record_file
from ledger.sheets import held
from ledger.sheets.held import Ending
from ledger.sheets.held_lines import stage_held
from ledger.sheets.outcomes import HeldFileLoaded
from ledger.sheets.worker_names import tell_names
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.layouts import CORRECTED
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable, read_table
from ledger.tables.whole_files import read_text

HELD = (
    FileColumn("held_line", needed=True),
    FileColumn("correction"),
    FileColumn("why"),
    FileColumn("file", without_mark),
    FileColumn("line", parse_whole),
)


@dataclass
class _Read:
    """The rows of a file with a correction, by the line they are of, and the lines ended before."""

    table: ReadTable
    endings: dict[str, Ending] = field(default_factory=dict)
    rows: dict[str, FileRow] = field(default_factory=dict)
    ended_before: list[str] = field(default_factory=list)


def held_as_read(book: Book) -> list[dict[str, Any]]:
    """Return the held lines, each with its id and what was read of it."""
    stage_held(book)
    rows = book.records("sheets/held_as_read")
    tell_names(book, rows)
    return rows


def load_held(book: Book, batch: Batch, path: Path) -> HeldFileLoaded:
    """End the held lines that have a correction in the file.

    A row without a correction is left to wait; a line that ended before is left as it is.
    Raises: Faults, of all rows at once; then no line is ended.
    """
    read = _Read(read_table(read_text(path), HELD))
    _take_rows(book, read)
    unread = held.end_lines(book, batch, list(read.endings.values()))
    for line, message in unread.items():
        read.table.fault(read.rows[line].number, message, "correction")
    read.table.settle()
    if read.endings:
        record_file(batch, path, "held")
    ended, rows = held.lines_ended(book, list(read.endings)), len(read.table.lines)
    waiting = rows - len(read.endings) - len(read.ended_before)
    return HeldFileLoaded(read.table.file.name, ended, tuple(read.ended_before), waiting, rows)


def _take_rows(book: Book, read: _Read) -> None:
    named = held.lines_named(book, [line["held_line"] for line in read.table.lines])
    for line in read.table.lines:
        row = named.get(line["held_line"] or "")
        if fault := _fault(read, line, row):
            read.table.fault(line.number, *fault)
        elif line["correction"] and row:
            _take(read, line, row)


def _fault(read: _Read, line: FileRow, row: dict[str, Any] | None) -> tuple[str, str] | None:
    name = line["held_line"]
    if not name:
        return None
    if row is None:
        return f'held_line "{name}" is not a sheet line of this book', "held_line"
    if name in read.rows:
        return f"held_line {name} appears twice; keep one row", "held_line"
    read.rows[name] = line
    place = f"{row['file']}:{row['line']}"
    if (line["file"], line["line"]) not in {(None, None), (row["file"], row["line"])}:
        written = f"{line['file']}:{line['line']}"
        return f"held_line {name} is {place} in this book, not {written}", "held_line"
    return None


def _take(read: _Read, line: FileRow, row: dict[str, Any]) -> None:
    name = line["held_line"]
    if row["outcome"] != "held":
        read.ended_before.append(name)
        return
    if held.is_of_reissue(row):
        what = f"{row['file']}:{row['line']} ({name}): is held as a re-issue"
        read.table.fault(line.number, what, "correction", remedy=Remedy("end_reissue"))
    elif not line["why"]:
        read.table.fault(line.number, "why is blank; give the reason in words")
    else:
        _take_correction(read, line, row["reason"])


def _take_correction(read: _Read, line: FileRow, reason: str) -> None:
    text, name = line["correction"], line["held_line"]
    word = text.lower()
    if word in ("release", "reject"):
        read.endings[name] = Ending(name, line["why"], rejected=word == "reject")
        return
    if "=" not in text and reason not in held.FIELD_OF:
        message = f'correction "{text}": write release, reject or the right field (hours=8)'
        read.table.fault(line.number, message, "correction")
        return
    changes = changes_of(text, reason)
    for field_name in changes:
        if field_name not in CORRECTED:
            what = f'correction "{field_name}" is not a field of a sheet line; use one of '
            read.table.fault(line.number, what + ", ".join(CORRECTED), "correction")
            return
    read.endings[name] = Ending(name, line["why"], changes=changes)


def changes_of(text: str, reason: str) -> dict[str, str | None]:
    """Return the fields that a correction changes: field=value; field=value, or one value alone.

    A value alone is of the field that the line is held for.
    """
    if "=" not in text:
        return {held.FIELD_OF[reason]: text}
    return dict(held.pair_of(part) for part in text.split(";") if part.strip())
