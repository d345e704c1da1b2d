"""Erasing what was typed: the texts of rows, and the names of a worker."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.commands.access import WriteAccess
from ledger.outcomes import Outcome
from ledger.sheets.parts_holding import parts_naming, parts_with
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.erasing import Place, erase_and_renew, names_of, places_naming
from ledger.store.erasing import erase_texts as texts_erased


def erase_texts(access: WriteAccess, ids: Sequence[str], reason: str) -> list[Place]:
    """Erase the texts of rows by their ids and make the book's file anew; return what was erased.

    A note, who approved hours, what was corrected, and a held line go with the parts of files in
    which they stand. Raises: Refused for a row that is not there, has no text, or is acted on.
    """

    def work(book: Book, batch: Batch) -> list[Place]:
        return texts_erased(book, batch, [*ids, *parts_with(book, ids)], reason)

    writing = access.writing_of("erase text")
    return erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)


@dataclass(frozen=True)
class WorkerForgotten(Outcome):
    """Names and parts of files that were erased, and other texts in which a name still stands."""

    places: list[Place]
    left: list[Place]


def forget_worker(access: WriteAccess, worker: str, reason: str) -> WorkerForgotten:
    """Erase every name that was recorded of a worker, and the parts of files that hold one.

    The book's file is made anew. Raises: Refused when there is none.
    """
    left: list[Place] = []

    def work(book: Book, batch: Batch) -> list[Place]:
        names = names_of(book, worker)
        left.extend(places_naming(book, names))
        ids = [*names, *parts_naming(book, names.values())]
        return texts_erased(book, batch, ids, reason)

    writing = access.writing_of("forget worker")
    places = erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)
    return WorkerForgotten(places, left)
