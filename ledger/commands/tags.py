"""Tags: hours booked by hand to where they belong, and how much is tagged and by what."""

from dataclasses import dataclass

from ledger.commands.access import WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.outcomes import Outcome
from ledger.performance.touched import PartMeasured, measures_touched
from ledger.sheets import hand_tags
from ledger.sheets.hand_tags import Tag, TagFilter
from ledger.sheets.outcomes import EntriesTagged
from ledger.store.book import Book


@dataclass(frozen=True)
class EntriesReplaced(Outcome):
    """Entries tagged by hand, and the measures before and after; a dry run wrote nothing."""

    done: EntriesTagged
    measures: tuple[PartMeasured, ...]
    finished: Finished
    dry_run: bool


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
        measures = _measures(book, batch.sequence - 1)
        return EntriesReplaced(done, measures, finish(book, batch), dry_run)


def _measures(book: Book, before: int) -> tuple[PartMeasured, ...]:
    """Return the measures of all that the differences touch that were just posted."""
    return tuple(measures_touched(book, book.rows("sheets/parts_touched"), before))
