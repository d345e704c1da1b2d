"""Within a job, packages, changes and causes may not share a code."""

from collections.abc import Set

from ledger.errors import Refused
from ledger.store.book import Book

MEANINGS = {"non_productive": "lost time", "overhead": "overhead", "absence": "absence"}


def setting_codes(book: Book) -> dict[str, str]:
    """Return what each code of the settings means: non_productive, overhead or absence."""
    meanings = {}
    for row in book.current("setting"):
        section, _, code = row["name"].partition(".")
        if section in MEANINGS:
            meanings[code] = section
    return meanings


def refuse_shared_codes(
    book: Book,
    file: str,
    job: str,
    *,
    packages: Set[str] = frozenset(),
    changes: Set[str] = frozenset(),
) -> None:
    """Raises: Refused when a new package or change takes a code that means something else."""
    taken = {code: MEANINGS[section] for code, section in setting_codes(book).items()}
    for code, what in book.rows("jobs/codes_of_job", job=job):
        if (what == "package" and code in changes) or (what == "change" and code in packages):
            taken[code] = f"a {what}"
    for code in sorted((packages | changes) & set(taken)):
        raise Refused("code_taken", file=file, code=code, job=job, by=taken[code])
