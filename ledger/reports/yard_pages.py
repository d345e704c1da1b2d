"""What pages for the yard's own people read from the book."""

import json

from ledger.errors import Refused
from ledger.reports.owner_variations import Yard
from ledger.store.book import Book


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
        raise Refused(f"there is no job {job}; `fairhours show jobs` lists them")
    return job
