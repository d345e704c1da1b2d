"""Erasing what was typed: the texts of rows, the names of persons among them, and of a worker."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from unicodedata import normalize

from ledger.commands.access import ReadAccess, WriteAccess
from ledger.documents.issued import documents, last_day
from ledger.domain.codes import code_of
from ledger.domain.name_patterns import pattern_of_names, words_of_names
from ledger.errors import Refused, Remedy
from ledger.outcomes import Outcome
from ledger.sheets.file_parts_naming import corrections_naming, file_parts_with_texts
from ledger.sheets.worker_holdings import Holding, holdings_naming, holdings_of
from ledger.store.batches import Batch
from ledger.store.book import Book, Stamp
from ledger.store.erasing import TextPlace, erase_and_renew, names_of, names_of_persons
from ledger.store.erasing import erase_texts as texts_erased
from ledger.store.naming import texts_naming


@dataclass(frozen=True)
class Erased(Outcome):
    """Rows whose texts were erased, and others in which a name that was erased still stands.

    `kept` are the numbers of documents that a name may stand on, which must be kept still.
    """

    places: list[TextPlace]
    left: list[TextPlace]
    kept: tuple[str, ...] = ()


@dataclass(frozen=True)
class WorkerHeld(Outcome):
    """What the book holds of a worker, who is known by these names."""

    worker: str
    names: tuple[str, ...]
    holdings: tuple[Holding, ...]
    stamp: Stamp


@dataclass(frozen=True)
class Forgotten(Outcome):
    """Rows whose texts were erased for a worker, and where a name stands still, or may."""

    worker: str
    places: list[TextPlace]
    stays: tuple[Holding, ...]


def erase_texts(access: WriteAccess, ids: Sequence[str], reason: str) -> Erased:
    """Erase the texts of rows by their ids and make the book's file anew; return what was erased.

    A note, the name of a person, what was corrected, and a held line go with the parts of files in
    which they stand, a person's name with the corrections of who approved hours.
    Raises: Refused for a row that is not there, has no text, or is acted on.
    """
    naming: list[TextPlace] = []
    kept: list[str] = []

    def work(book: Book, batch: Batch) -> list[TextPlace]:
        names = names_of_persons(book, ids)
        naming.extend(each for each in texts_naming(book, names.values()) if each.id not in names)
        on = batch.recorded_at.date()
        issued = documents(book) if names else []
        kept.extend(each.document for each in issued if on <= each.retain_until)
        corrections = corrections_naming(book, names.values())
        chosen = [*ids, *corrections, *file_parts_with_texts(book, ids)]
        return texts_erased(book, batch, chosen, reason)

    writing = access.writing_of("erase text")
    places = erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)
    return Erased(places, [each for each in naming if each not in places], tuple(kept))


def worker_held(access: ReadAccess, worker: str, also: Sequence[str] = ()) -> WorkerHeld:
    """Return what the book holds of a worker, and what becomes of it when they are forgotten.

    `also` are other names of theirs. Raises: Refused when the book knows nothing of the worker.
    """
    code = code_of(worker)
    with access.reading() as book:
        names = list(dict.fromkeys([*names_of(book, code).values(), *also]))
        holdings = holdings_of(book, code, names, last_day(book))
        if not names and not holdings:
            raise Refused("worker_not_held", worker=code, remedy=Remedy("show", what="crew"))
        return WorkerHeld(code, tuple(names), tuple(holdings), book.stamp())


def forget_worker(
    access: WriteAccess,
    worker: str,
    reason: str,
    also: Sequence[str] = (),
    keep: Sequence[str] = (),
) -> Forgotten:
    """Erase every name and alias of a worker, the texts and the parts of files that hold one.

    `also` are names they are called by that the crew has not; the rows of `keep` name somebody
    else and stay. The book's file is made anew. Raises: Refused when there is no name, or the
    reason holds one, or a part of one.
    """
    code, named = code_of(worker), list(map(str.strip, also))
    stays: list[Holding] = []

    def work(book: Book, batch: Batch) -> list[TextPlace]:
        names = [*names_of(book, code).values(), *filter(None, named)]
        if not names:
            raise Refused("name_missing", worker=code, remedy=Remedy("show", what="crew"))
        named_by = pattern_of_names([*names, *words_of_names(names)])
        if re.search(named_by, normalize("NFC", reason), re.IGNORECASE):
            raise Refused("reason_names_worker", worker=code)
        holdings = holdings_naming(book, code, names, batch.recorded_at.date())
        ids = [each for holding in holdings if holding.fate == "erased" for each in holding.ids]
        stays.extend(left for holding in holdings if (left := _left(holding, set(keep))))
        return texts_erased(book, batch, [each for each in ids if each not in keep], reason)

    writing = access.writing_of("forget worker")
    places = erase_and_renew(access.path, writing, work, wait=access.wait, progress=access.progress)
    return Forgotten(code, places, tuple(stays))


def _left(holding: Holding, keep: set[str]) -> Holding | None:
    """Return what stays of a holding: all that is not erased, and the rows asked to be kept."""
    if holding.fate != "erased":
        return holding
    ids = tuple(each for each in holding.ids if each in keep)
    return replace(holding, fate="kept", ids=ids) if ids else None
