"""What the book holds of a worker, and what becomes of each when the worker is forgotten."""

import re
from collections.abc import Iterable, Iterator, Sequence, Set
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from operator import itemgetter
from typing import Literal, TypeAlias
from unicodedata import normalize

from ledger.domain.name_patterns import pattern_of_names, words_of_names
from ledger.outcomes import Outcome
from ledger.sheets.file_parts_naming import files_with_names, held_naming
from ledger.store.book import Book
from ledger.store.contents import unpacked
from ledger.store.erasing import TextPlace, is_in_use, names_of
from ledger.store.naming import rows_of_worker, sealed_naming, texts_naming

# What becomes of rows when a worker is forgotten. erased: their texts go. under_id: they have no
# name, only the id. in_use: read to act on, until another counts in their place. other_worker: the
# same name, of somebody else. sealed: part of a seal for ever. kept: a person asked for it.
# retained: kept until a day. until_erased: a document or a scan that may show the name, kept until
# a person erases it by its id. part_of_name: a word of the name, which may be somebody else's or no
# name at all, so that it goes only when it is named itself.
Fate: TypeAlias = Literal[
    "erased",
    "under_id",
    "in_use",
    "other_worker",
    "sealed",
    "retained",
    "kept",
    "until_erased",
    "part_of_name",
]
OF_NAMES = ("worker_name", "worker_alias")


@dataclass(frozen=True)
class Holding(Outcome):
    """Rows of one kind that hold something of a worker, and what becomes of them.

    `named` is what shows the name, or may: a file, a value of a sealed column, a document.
    """

    what: str
    fate: Fate
    ids: tuple[str, ...]
    named: str | None = None
    until: date | None = None


def holdings_of(book: Book, worker: str, names: Sequence[str], on: date) -> list[Holding]:
    """Return all that the book holds of a worker who is known by the names given, as of a day."""
    return [*_under_id(book, worker), *holdings_naming(book, worker, names, on)]


def holdings_naming(book: Book, worker: str, names: Sequence[str], on: date) -> list[Holding]:
    """Return what holds one of the names, or may: texts, files, codes, documents and scans."""
    holdings = list(_texts(book, worker, names))
    for file in files_with_names(book, names):
        holdings.append(Holding("file_part", "erased", file.ids, file.file))
    if ids := _contents(book, names):
        holdings.append(Holding("content", "in_use", ids))
    for each in sealed_naming(book, names):
        holdings.append(Holding(f"{each.table}.{each.column}", "sealed", each.ids, each.value))
    holdings += _kept(book, on)
    listed = {each for holding in holdings for each in holding.ids}
    return [*holdings, *_with_a_part(book, words_of_names(names), listed)]


def _with_a_part(book: Book, words: Sequence[str], listed: Set[str]) -> Iterator[Holding]:
    """Yield the texts, files and names of sheets that hold a word of a name, and no whole one."""
    if not words:
        return
    named = ", ".join(words)
    by_table: dict[str, list[str]] = {}
    for place in texts_naming(book, words):
        # The names of other workers are theirs; all of this worker's are listed.
        if place.table not in OF_NAMES and place.id not in listed:
            by_table.setdefault(place.table, []).append(place.id)
    for table, ids in sorted(by_table.items()):
        yield Holding(table, "part_of_name", tuple(ids), named)
    for file in files_with_names(book, words):
        if ids := [each for each in file.ids if each not in listed]:
            yield Holding("file_part", "part_of_name", tuple(ids), file.file)
    for value in sealed_naming(book, words):
        # A trade, a grade or a code is what it says, not a person.
        if value.column == "sheet" and not listed >= {*value.ids}:
            yield Holding(f"{value.table}.{value.column}", "sealed", value.ids, value.value)


def _under_id(book: Book, worker: str) -> Iterator[Holding]:
    for table, ids in rows_of_worker(book, worker):
        if table not in OF_NAMES:
            yield Holding(table, "under_id", ids)
    about = book.rows("sheets/facts_about_worker", worker=worker)
    for table, rows in groupby(about, itemgetter(0)):
        yield Holding(table, "under_id", tuple(TextPlace(*row).id for row in rows))
    if sheets := book.rows("sheets/sheets_of_worker", worker=worker):
        yield Holding("sheet", "under_id", tuple(sheet for (sheet,) in sheets))


def _texts(book: Book, worker: str, names: Sequence[str]) -> Iterator[Holding]:
    """Yield the texts that hold a name by table and fate."""
    own = names_of(book, worker)
    every: dict[tuple[str, Fate], dict[str, None]] = {}
    for each in (*own, *held_naming(book, names)):
        every.setdefault((each.partition(":")[0], "erased"), {})[each] = None
    kept = {TextPlace("attachment", *row) for row in book.rows("store/attachments_free")}
    kept |= {TextPlace(*row[:3]) for row in book.rows("store/content_retained")}
    jobs = {TextPlace("job", *row) for row in book.rows("store/jobs_in_force")}
    for place in texts_naming(book, names):
        if place not in kept:
            fate = "in_use" if place in jobs else _fate(book, place, own)
            every.setdefault((place.table, fate), {})[place.id] = None
    for (table, fate), ids in sorted(every.items()):
        yield Holding(table, fate, tuple(ids))


def _fate(book: Book, place: TextPlace, own: Iterable[str]) -> Fate:
    if place.table in OF_NAMES and place.id not in own:
        return "other_worker"
    return "in_use" if is_in_use(book, place) else "erased"


def _contents(book: Book, names: Iterable[str]) -> tuple[str, ...]:
    """Return the ids of layouts and the like in which a name stands."""
    pattern = pattern_of_names(names)
    if not pattern:
        return ()
    regex = re.compile(pattern, re.IGNORECASE)
    return tuple(
        each
        for each, packing, data in book.rows("store/contents_apart")
        if regex.search(normalize("NFC", unpacked(packing, data).decode(errors="ignore")))
    )


def _kept(book: Book, on: date) -> Iterator[Holding]:
    """Yield the documents and scans, which are kept as issued or signed and may show a name."""
    for table, batch, row, document, until in book.rows("store/content_retained"):
        if table != "content":
            fate: Fate = "retained" if on <= until else "until_erased"
            yield Holding(table, fate, (TextPlace(table, batch, row).id,), document, until)
    if free := book.rows("store/attachments_free"):
        ids = tuple(TextPlace("attachment", *row).id for row in free)
        yield Holding("attachment", "until_erased", ids)
