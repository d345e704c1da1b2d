"""Tags: hours booked by hand to where they belong, and how much is tagged and by what."""

from dataclasses import dataclass
from pathlib import Path

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.domain.codes import code_of
from ledger.outcomes import Outcome
from ledger.performance.touched import PartMeasured, measures_touched
from ledger.reports.yard.untagged_workbook import TagChoices, untagged_workbook
from ledger.sheets import hand_tags, left_to_tag, tags_file
from ledger.sheets.hand_tags import Tag, TagFilter
from ledger.sheets.left_to_tag import Rows
from ledger.sheets.outcomes import EntriesTagged, TagsLoaded
from ledger.sheets.suggestions import first_of_days
from ledger.sheets.tag_places import TagPlaces
from ledger.store.book import Book, Stamp
from ledger.store.out_files import write_out


@dataclass(frozen=True)
class EntriesReplaced(Outcome):
    """Entries tagged by hand, and the measures before and after; a dry run wrote nothing."""

    done: EntriesTagged
    measures: tuple[PartMeasured, ...]
    finished: Finished
    dry_run: bool


@dataclass(frozen=True)
class TagsOfFile(Outcome):
    """Entries tagged by the places of a file, as `EntriesReplaced` has those of a command."""

    file: TagsLoaded
    measures: tuple[PartMeasured, ...]
    finished: Finished
    dry_run: bool


@dataclass(frozen=True)
class LeftToTag(Outcome):
    """The time left to tag by code, worker or file, of a job or of all."""

    by: str
    job: str | None
    rows: Rows
    stamp: Stamp


@dataclass(frozen=True)
class HoursByTagging(Outcome):
    """The time booked by week and by what says where it belongs, of a job or of all."""

    job: str | None
    weeks: Rows
    stamp: Stamp


def tag_entries(
    access: WriteAccess,
    which: TagFilter,
    tag: Tag,
    *,
    with_closed: bool = False,
    dry_run: bool = False,
) -> EntriesReplaced:
    """Tag entries by hand to a place."""
    with access.writing("tag entries", dry_run=dry_run) as (book, batch):
        done = hand_tags.tag_entries(book, batch, which, tag, with_closed=with_closed)
        measures = measures_of(book, batch.sequence - 1)
        return EntriesReplaced(done, measures, finish(book, batch), dry_run)


def measures_of(book: Book, before: int) -> tuple[PartMeasured, ...]:
    """Return the measures of all that the differences touch that were just posted."""
    return tuple(measures_touched(book, book.rows("sheets/places_touched"), before))


def load_tags(
    access: WriteAccess, file: Path, *, with_closed: bool = False, dry_run: bool = False
) -> TagsOfFile:
    """Tag entries by the places written into the workbook of entries left to tag."""
    with access.writing("load tags", dry_run=dry_run) as (book, batch):
        loaded = tags_file.load_tags(book, batch, file, with_closed=with_closed)
        measures = measures_of(book, batch.sequence - 1)
        return TagsOfFile(loaded, measures, finish(book, batch), dry_run)


def untagged(access: ReadAccess, by: str, job: str | None = None) -> LeftToTag:
    """Return the time left to tag by code, worker or file."""
    code = code_of(job) if job else None
    with access.reading() as book:
        return LeftToTag(by, code, left_to_tag.left_grouped(book, by, code), book.stamp())


def write_workbook(access: ReadAccess, out: Path, load: str, job: str | None = None) -> int:
    """Write a workbook of the entries left to tag, to choose their places in; return how many.

    `load` is the command that loads it again. Raises: Refused when it cannot be written.
    """
    with access.reading() as book:
        of_job = code_of(job) if job else None
        rows = left_to_tag.left_entries(book, of_job)
        likely = first_of_days(book, of_job) if rows else {}
        places, stamp = TagPlaces(book), book.stamp()
    for row in rows:
        key = (row["worker_id"], row["day"], row["booking_code"], row["note"])
        row["suggested"] = likely.get(key)
    choices = TagChoices(places.listed(), places.rework_causes)
    write_out(out, untagged_workbook(rows, choices, stamp.recorded_at, load))
    return len(rows)


def tagging(access: ReadAccess, job: str | None = None) -> HoursByTagging:
    """Return how much of the time is booked by code, by rule, by hand, or untagged, by week."""
    code = code_of(job) if job else None
    with access.reading() as book:
        return HoursByTagging(code, left_to_tag.hours_by_tagging(book, code), book.stamp())
