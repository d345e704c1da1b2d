"""Entries handed out to be tagged, and their places taken back in."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.domain.parsing import parse_date
from ledger.domain.spreadsheets import without_mark
from ledger.errors import Refused
from ledger.inputs.files import record_file
from ledger.sheets.hand_tags import judge_tags, post_tags, stage_tags
from ledger.sheets.outcomes import TagsLoaded
from ledger.sheets.tag_places import TagPlace, TagPlaces
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.small_tables import FileColumn, FileRow, ReadTable, read_table
from ledger.tables.whole_files import read_text

TAGS = (
    FileColumn("entry", needed=True),
    FileColumn("place", without_mark),
    FileColumn("cause", without_mark),
    FileColumn("rework", without_mark),
    FileColumn("why", without_mark),
    FileColumn("worker_id", without_mark),
    FileColumn("day", parse_date),
    FileColumn("booked_to", without_mark),
)
# What is wrong with a place, in words for a cell; all else about a tag is said of its column.
WRONG = {
    "tag_place_unknown": 'place "{place}" is unknown; choose one of the list',
    "tag_place_near": 'place "{place}" is unknown; did you mean {near}?',
    "tag_place_of_jobs": 'place "{place}" is a code of several jobs; write {near}',
    "tag_cause_besides": "cause: {place} takes none; leave it blank",
    "tag_cause_missing": "cause is blank; {place} needs one",
    "tag_cause_any_missing": "cause is blank; {place} needs one",
    "tag_cause_unknown": 'cause "{cause}" is unknown; choose one of the list',
    "tag_rework_unknown": 'rework "{cause}" is unknown; choose one of the list',
}


@dataclass
class _TagsRead:
    """The rows of a file, and the tags that those with a place set, by entry."""

    table: ReadTable
    places: TagPlaces
    entries: Mapping[str, dict[str, Any]]
    rows: dict[str, FileRow] = field(default_factory=dict)
    tags: list[tuple[str, TagPlace, str | None, str]] = field(default_factory=list)


def load_tags(book: Book, batch: Batch, path: Path, *, with_closed: bool) -> TagsLoaded:
    """Tag the entries that have a place in the file; a row without one is left.

    Raises: Faults, of all rows at once; then no entry is tagged.
    """
    table = read_table(read_text(path), TAGS)
    named = [line["entry"] for line in table.lines if line["entry"]]
    known = {row["id"]: row for row in book.records("sheets/entries_standing", ids=named)}
    workers = {row["id"]: row for row in book.records("sheets/workers_of", ids=named)}
    read = _TagsRead(table, TagPlaces(book), {each: known[each] | workers[each] for each in known})
    for line in table.lines:
        _take(read, line)
    table.settle()
    stage_tags(book, read.tags)
    judge_tags(book, with_closed=with_closed)
    _refuse_moved(book, read)
    done = post_tags(book, batch)
    if done.entries:
        record_file(batch, path, "tags")
    rows = len(table.lines)
    return TagsLoaded(table.file.name, done, rows - len(read.tags), rows)


def _take(read: _TagsRead, line: FileRow) -> None:
    """Take the tag of a row, or keep what is wrong with it."""
    entry = line["entry"]
    if not entry:
        return
    if fault := _fault(read, line):
        read.table.fault(line.number, fault, "entry")
    elif line["place"]:
        _take_tag(read, line)
    elif beside := next((name for name in ("cause", "rework", "why") if line[name]), None):
        read.table.fault(line.number, f"place is blank, but {beside} is filled in", "place")
    read.rows[entry] = line


def _fault(read: _TagsRead, line: FileRow) -> str | None:
    entry = line["entry"]
    known = read.entries.get(entry)
    if known is None:
        return f'entry "{entry}" is not in this book'
    if entry in read.rows:
        return f"entry {entry} appears twice; keep one row"
    for name in ("worker_id", "day"):
        if line[name] is not None and line[name] != known[name]:
            return f"entry {entry} has {name} {known[name]} in this book, not {line[name]}"
    if line["place"] and known["reverses"]:
        return f"entry {entry} is the reversal of {known['reverses']}; it cannot be tagged"
    if line["place"] and known["reversed_by"]:
        return f"entry {entry} was reversed by {known['reversed_by']}; it cannot be tagged"
    return None


def _take_tag(read: _TagsRead, line: FileRow) -> None:
    if not line["why"]:
        read.table.fault(line.number, "why is blank; give the reason in words", _named(read, "why"))
        return
    try:
        place = read.places.named(line["place"], line["cause"])
        rework = read.places.rework(line["rework"]) if line["rework"] else None
    except Refused as refused:
        message = WRONG[refused.kind].format(**refused.fields)
        read.table.fault(line.number, message, _named(read, message.split()[0].strip(":")))
        return
    read.tags.append((line["entry"], place, rework, line["why"]))


def _named(read: _TagsRead, column: str) -> str:
    """Return a column if the file has it, so that a fault names its cell."""
    return column if column in read.table.head else ""


def _refuse_moved(book: Book, read: _TagsRead) -> None:
    """Raises: Faults of entries that are booked elsewhere by now than the file says."""
    for entry, booked_to in book.rows("sheets/tags_elsewhere"):
        line = read.rows[entry]
        if line["booked_to"] is not None and line["booked_to"] != booked_to:
            read.table.fault(
                line.number,
                f"entry {entry} is booked to {booked_to} now, not to {line['booked_to']}; "
                "write a new file and fill that in",
                "booked_to",
            )
    read.table.settle()
