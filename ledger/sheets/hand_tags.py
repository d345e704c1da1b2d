"""Entries tagged by hand: where a person says that their hours belong, and why.

A tag is kept with the sheet line that an entry is of, so it stands when the entry is corrected.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path
from typing import Any

from ledger.domain.codes import code_of, word_of
from ledger.errors import Refused, Remedy
from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.outcomes import ClosedEntry, EntriesTagged
from ledger.sheets.placing import move_chosen
from ledger.sheets.reversals import (
    examined,
    ids_of,
    not_standing,
    reason_of,
    refuse_all,
)
from ledger.sheets.tag_places import TagPlace, TagPlaces
from ledger.store.batches import Batch
from ledger.store.book import Book


@dataclass(frozen=True)
class TagFilter:
    """Which entries to tag: all that stand and fit what is asked; None: whatever it is.

    `place` and `in_job` are where they are booked now. An empty code is that of lines without one.
    """

    ids: Sequence[str] = ()
    worker: str | None = None
    day_from: date | None = None
    day_to: date | None = None
    code: str | None = None
    note: str | None = None
    file: str | None = None
    place: str | None = None
    in_job: str | None = None
    untagged: bool = False

    @property
    def names_nothing(self) -> bool:
        return self == TagFilter()


@dataclass(frozen=True)
class Tag:
    """Where hours belong and why, as a person types it; `rework` is a cause, or none."""

    place: str
    reason: str
    cause: str | None = None
    rework: str | None = None


def tag_entries(
    book: Book, batch: Batch, which: TagFilter, tag: Tag, *, with_closed: bool = False
) -> EntriesTagged:
    """Tag the entries that fit, and post their hours to their new place.

    Entries of closed periods stay as they are unless `with_closed`, claimed ones always. Raises:
    Refused when nothing fits, when an entry named does not stand, or when there is no such place.
    """
    if which.names_nothing:
        raise Refused("tags_not_chosen")
    ids = ids_of(which.ids, "entry")
    examined(book, ids, not_standing)
    inputs = {**_asked(which, ids), **_tag(book, which, tag)}
    if not book.stage("tag_asked", "sheets/tags_asked", **inputs):
        raise Refused("tags_fit_nothing", remedy=Remedy("entries"))
    judge_tags(book, with_closed=with_closed)
    return post_tags(book, batch)


def stage_tags(book: Book, tags: Sequence[tuple[str, TagPlace, str | None, str]]) -> None:
    """Stage the tags of a file: of each the entry, its place, its rework and the reason."""
    book.stage(
        "tag_asked",
        "sheets/tags_of_file",
        ids=[entry for entry, _, _, _ in tags],
        jobs=[place.job for _, place, _, _ in tags],
        booked_to=[place.booked_to for _, place, _, _ in tags],
        causes=[place.cause for _, place, _, _ in tags],
        of_own_job=[place.of_own_job for _, place, _, _ in tags],
        reworks=[rework for _, _, rework, _ in tags],
        reasons=[reason for _, _, _, reason in tags],
    )


def judge_tags(book: Book, *, with_closed: bool) -> None:
    """Stage the tags that were asked for, each with its line and whether it is to be kept.

    Raises: Refused, naming the entries whose job is not clear.
    """
    book.stage("tag", "sheets/tags_judged", with_closed=with_closed)
    refuse_all([_job_unclear(*row) for row in book.rows("sheets/tags_without_job")])


def post_tags(book: Book, batch: Batch) -> EntriesTagged:
    """Keep the judged tags that are new, and post their entries' hours."""
    batch.append_query("hand_tag", "sheets/tags_to_keep")
    choose_entries(book, "sheets/entries_tagged")
    moves = move_chosen(book, batch)
    counted = book.records("sheets/tags_counted")
    tagged = [row for row in counted if row["state"] == "tag"]
    return EntriesTagged(
        entries=_sum(tagged, "entries"),
        ms=_sum(tagged, "ms"),
        first=min((row["first"] for row in tagged), default=None),
        as_before=_sum([row for row in counted if row["state"] == "as_before"], "entries"),
        moves=moves,
        late=_sum([row for row in tagged if row["is_closed"]], "entries"),
        closed=_that_stay(book, "closed"),
        claimed=_that_stay(book, "claimed"),
    )


def _that_stay(book: Book, state: str) -> tuple[ClosedEntry, ...]:
    return tuple(ClosedEntry(**row) for row in book.records("sheets/tags_that_stay", state=state))


def _sum(rows: Sequence[dict[str, Any]], name: str) -> int:
    return sum(int(row[name]) for row in rows)


def _asked(which: TagFilter, ids: Sequence[str]) -> dict[str, object]:
    return asdict(which) | {
        "ids": list(ids) or None,
        "worker": code_of(which.worker) if which.worker else None,
        "code": None if which.code is None else code_of(which.code),
        "note": word_of(which.note) if which.note else None,
        "file": Path(which.file).name if which.file else None,
        "in_job": code_of(which.in_job) if which.in_job else None,
    }


def _tag(book: Book, which: TagFilter, tag: Tag) -> dict[str, object]:
    places = TagPlaces(book)
    job = code_of(which.in_job) if which.in_job else None
    reason = reason_of(tag.reason)
    rework = None if tag.rework is None else places.rework(tag.rework)
    return asdict(places.named(tag.place, tag.cause, job)) | {"rework": rework, "reason": reason}


def _job_unclear(entry: str, jobs: int) -> Refused:
    if jobs:
        return Refused("tag_of_jobs", entry=entry, jobs=jobs)
    return Refused("tag_without_job", entry=entry)
