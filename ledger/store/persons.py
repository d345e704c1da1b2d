"""Persons: facts hold their handles, and their names stand apart, where they can be erased."""

from collections.abc import Iterable
from dataclasses import dataclass

from ledger.domain.handles import ERASED_NAME, as_known, minted
from ledger.store.book import Book


@dataclass(frozen=True)
class Handles:
    """The handle of each name as it was typed, and the names of those that are new."""

    by_name: dict[str, str]
    new: dict[str, str]


def handles_of(book: Book, names: Iterable[str]) -> Handles:
    """Return the handles of names; one that no known person has gets the next number.

    A name that was erased is not found again: typed once more, it is a new person's.
    """
    wanted = {name: as_known(name) for name in names}
    known = {ERASED_NAME: ERASED_NAME}
    known |= dict(book.rows("store/persons_known", names=list(wanted.values())))
    if fresh := [each for each in dict.fromkeys(wanted.values()) if each not in known]:
        last = book.rows("store/person_last")[0][0]
        known |= {name: minted(number) for number, name in enumerate(fresh, start=last + 1)}
    new = {known[name]: name for name in fresh}
    return Handles({name: known[each] for name, each in wanted.items()}, new)
