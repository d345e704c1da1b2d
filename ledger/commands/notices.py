"""Time that the owner caused: what is to be notified, and a change raised from it."""

from dataclasses import dataclass
from datetime import date

from ledger.changes.standing import ChangeNow, change_now
from ledger.commands.access import ReadAccess, WriteAccess
from ledger.commands.finishing import Finished, finish
from ledger.commands.tags import measures_of
from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused
from ledger.inputs.change_entry import ChangeInput, Entered, enter_request
from ledger.outcomes import Outcome
from ledger.performance.to_notify import ToNotify, entries_caused
from ledger.performance.to_notify import to_notify as known_to_notify
from ledger.performance.touched import PartMeasured
from ledger.sheets.hand_tags import Tag, TagFilter, tag_entries
from ledger.sheets.outcomes import EntriesTagged
from ledger.sheets.tag_places import NO_REWORK
from ledger.store.book import Stamp


@dataclass(frozen=True)
class ToNotifyKnown(Outcome):
    """The time of a job to be notified, and the batch it is known at."""

    to_notify: ToNotify
    stamp: Stamp


@dataclass(frozen=True)
class CausedHours:
    """Which hours a change is raised from: those of a cause in some days, all if left out.

    `reason` is why they are the change's; left out it says of which cause they were.
    """

    cause: str
    day_from: date | None = None
    day_to: date | None = None
    reason: str | None = None
    with_closed: bool = False


@dataclass(frozen=True)
class ChangeRaised(Outcome):
    """A change raised from hours, which are tagged to it; a dry run wrote nothing.

    `in_part` entries were caused so in part alone, and stay where they are.
    """

    entered: Entered
    now: ChangeNow
    done: EntriesTagged
    in_part: int
    measures: tuple[PartMeasured, ...]
    finished: Finished
    dry_run: bool


def to_notify(access: ReadAccess, job: str, status_date: date | None) -> ToNotifyKnown:
    """Return the time that the owner caused and that no change has.

    Raises: Refused when there is no such job, or no day to be told.
    """
    with access.reading() as book:
        return ToNotifyKnown(known_to_notify(book, code_of(job), status_date), book.stamp())


def raise_change(
    access: WriteAccess, entry: ChangeInput, hours: CausedHours, *, dry_run: bool = False
) -> ChangeRaised:
    """Enter a change request and tag to it the hours that the owner caused, in one batch.

    Raises: Refused and Faults, and then nothing is written.
    """
    cause = word_of(hours.cause)
    with access.writing("request change", dry_run=dry_run) as (book, batch):
        days = (hours.day_from, hours.day_to)
        ids, in_part = entries_caused(book, code_of(entry.job), cause, days)
        entered = enter_request(book, batch, entry)
        reason = hours.reason or f"{cause}, raised as {entered.change}"
        tag = Tag(f"{entered.job} {entered.change}", reason, rework=NO_REWORK)
        which = TagFilter(ids)
        done = tag_entries(book, batch, which, tag, with_closed=hours.with_closed)
        if not done.entries:
            raise Refused("caused_all_closed", job=entered.job, cause=cause, entries=len(ids))
        measures = measures_of(book, batch.sequence - 1)
        now = change_now(book, entered.job, entered.change)
        finished = finish(book, batch)
        return ChangeRaised(entered, now, done, in_part, measures, finished, dry_run)
