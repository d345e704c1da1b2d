"""Erasing what was typed: the texts of rows, the names of persons among them, and of a worker."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from ledger.commands.access import WriteAccess
from ledger.documents.issued import documents
from ledger.outcomes import Outcome
from ledger.sheets.file_parts_naming import (
    corrections_naming,
    file_parts_with_names,
    file_parts_with_texts,
    held_naming,
)
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.erasing import (
    Place,
    erase_and_renew,
    names_of,
    names_of_persons,
    places_naming,
)
from ledger.store.erasing import erase_texts as texts_erased


@dataclass(frozen=True)
class Erased(Outcome):
    """Rows whose texts were erased, and others in which a name that was erased still stands.

    `kept` are the numbers of documents that a name may stand on, which must be kept still.
    """

    places: list[Place]
    left: list[Place]
    kept: tuple[str, ...] = ()


def erase_texts(access: WriteAccess, ids: Sequence[str], reason: str) -> Erased:
    """Erase the texts of rows by their ids and make the book's file anew; return what was erased.

    A note, the name of a person, what was corrected, and a held line go with the parts of files in
    which they stand, a person's name with the corrections of who approved hours.
    Raises: Refused for a row that is not there, has no text, or is acted on.
    """

    def chosen(book: Book) -> tuple[Mapping[str, str], Sequence[str]]:
        names = names_of_persons(book, ids)
        corrections = corrections_naming(book, names.values())
        return names, [*ids, *corrections, *file_parts_with_texts(book, ids)]

    return _erased(access, "erase text", chosen, reason)


def forget_worker(access: WriteAccess, worker: str, reason: str) -> Erased:
    """Erase every name and alias of a worker, and the parts of files that hold one.

    So are the texts of lines that were held and have ended, of sheets that name the worker so.
    The book's file is made anew. Raises: Refused when there is none.
    """

    def chosen(book: Book) -> tuple[Mapping[str, str], Sequence[str]]:
        names = names_of(book, worker)
        held = held_naming(book, names.values())
        return names, [*names, *file_parts_with_names(book, names.values()), *held]

    return _erased(access, "forget worker", chosen, reason)


def _erased(
    access: WriteAccess,
    command: str,
    chosen: Callable[[Book], tuple[Mapping[str, str], Sequence[str]]],
    reason: str,
) -> Erased:
    """Erase the rows chosen, beside the names that are erased with them."""
    naming: list[Place] = []
    kept: list[str] = []

    def work(book: Book, batch: Batch) -> list[Place]:
        names, ids = chosen(book)
        naming.extend(places_naming(book, names))
        on = batch.recorded_at.date()
        issued = documents(book) if names else []
        kept.extend(each.document for each in issued if on <= each.retain_until)
        return texts_erased(book, batch, ids, reason)

    writing = access.writing_of(command)
    places = erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)
    return Erased(places, [each for each in naming if each not in places], tuple(kept))
