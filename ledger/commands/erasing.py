"""Erasing what was typed: the texts of rows, and the names of a worker."""

from collections.abc import Sequence

from ledger.commands.access import WriteAccess
from ledger.store.erasing import Place, erase_and_renew, erase_names
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
    )


def forget_worker(access: WriteAccess, worker: str, reason: str) -> list[Place]:
    """Erase every name that was recorded of a worker; make the book's file anew.

    Raises: Refused when there is none.
    """
    return erase_and_renew(
        access.path,
        access.writing_of("forget worker"),
        lambda book, batch: erase_names(book, batch, worker, reason),
        wait=access.wait,
    )
