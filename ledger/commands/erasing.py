"""Erasing what was typed: the texts of rows, and the names of a worker."""

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.commands.access import WriteAccess
from ledger.outcomes import Outcome
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.erasing import Place, erase_and_renew, erase_names, places_naming
from ledger.store.erasing import erase_texts as texts_erased


def erase_texts(access: WriteAccess, ids: Sequence[str], reason: str) -> list[Place]:
    """Erase the texts of rows by their ids and make the book's file anew; return what was erased.

    Raises: Refused for a row that is not there, has no text, or is acted on.
    """
    return erase_and_renew(
        access.path,
        access.writing_of("erase text"),
        lambda book, batch: texts_erased(book, batch, ids, reason),
        wait=access.wait,
        progress=access.progress,
    )


@dataclass(frozen=True)
class WorkerForgotten(Outcome):
    """The names that were erased, and other texts in which one of them still stands."""

    places: list[Place]
    left: list[Place]


def forget_worker(access: WriteAccess, worker: str, reason: str) -> WorkerForgotten:
    """Erase every name that was recorded of a worker; make the book's file anew.

    Raises: Refused when there is none.
    """
    left: list[Place] = []

    def work(book: Book, batch: Batch) -> list[Place]:
        left.extend(places_naming(book, worker))
        return erase_names(book, batch, worker, reason)

    writing = access.writing_of("forget worker")
    places = erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)
    return WorkerForgotten(places, left)
