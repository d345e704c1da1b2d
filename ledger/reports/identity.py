"""Who speaks on a page and at what stamp: the yard, the batch, the mark of a rehearsal."""

import json
from dataclasses import dataclass

from ledger.jobs.jobs import job_unknown
from ledger.store.book import Book

REHEARSAL = "Rehearsal: made from a trial record, not to be relied on"


@dataclass(frozen=True)
class Yard:
    """The party that builds, as on its letters; `logo` is the SHA-256 of its picture, or empty."""

    name: str
    address_lines: tuple[str, ...]
    logo: str = ""


@dataclass(frozen=True)
class StampShown:
    """The batch that everything shown was known at: its number and its head in hex."""

    sequence: int
    head: str


def stamp_of(book: Book) -> StampShown:
    """Return the batch that a page is known at."""
    stamp = book.stamp()
    return StampShown(stamp.sequence, stamp.head)


def yard_of(book: Book) -> Yard:
    """Return the yard as on its letters."""
    return Yard(
        book.setting("yard.name", ""),
        tuple(json.loads(book.setting("yard.address", "[]"))),
        book.setting("yard.logo", ""),
    )


def known_job(book: Book, job: str) -> str:
    """Return the job's code. Raises: Refused when the book has no such job."""
    if job not in {row["job"] for row in book.current("job")}:
        raise job_unknown(job)
    return job
