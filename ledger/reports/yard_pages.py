"""What every page for the yard's own people has: the yard's head, its proof, its foot."""

import json

from ledger.errors import Refused
from ledger.reports.owner_variations import Stamp, Yard
from ledger.reports.owner_wording import REHEARSAL
from ledger.reports.tables import Fact
from ledger.reports.text import cut
from ledger.store.book import Book

LINE_LENGTH = 120


def yard_of(book: Book) -> Yard:
    """Return the yard as on its letters."""
    return Yard(
        book.setting("yard.name", ""),
        tuple(json.loads(book.setting("yard.address", "[]"))),
        book.setting("yard.logo", ""),
    )


def stamp_of(book: Book) -> Stamp:
    """Return the batch that a page is known at."""
    stamp = book.stamp()
    return Stamp(stamp.sequence, stamp.head)


def known_job(book: Book, job: str) -> str:
    """Return the job's code. Raises: Refused when the book has no such job."""
    if job not in {row["job"] for row in book.current("job")}:
        raise Refused(f"there is no job {job}; `fairhours show jobs` lists them")
    return job


def letterhead(yard: Yard) -> tuple[str, ...]:
    return tuple(cut(line, LINE_LENGTH) for line in (yard.name, *yard.address_lines))


def proof(stamp: Stamp, seal: str, remade_by: str) -> tuple[Fact, ...]:
    """Return what proves a page, and how it is made again."""
    return (
        Fact("Record stamp", f"{stamp.sequence} · {stamp.head}"),
        Fact("Digest of the content", seal),
        Fact("Made again by", remade_by),
    )


def foot(stamp: Stamp, seal: str) -> str:
    return f"Record stamp {stamp.sequence} · {stamp.head[:8]} · content {seal[:8]}"


def banner(*, rehearsal: bool) -> str:
    return REHEARSAL if rehearsal else ""
