"""Loads of sheets named by file or batch, and what stands of each."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.domain.counting import counted, hours_text
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

Load = Mapping[str, Any]


@dataclass(frozen=True)
class Which:
    """A load by its file's name (or the start of its digest), or all loads of a batch."""

    file: str | None = None
    batch: int | None = None

    @property
    def scope(self) -> str:
        return "batch" if self.file is None else "file"

    def __str__(self) -> str:
        return f"batch {self.batch}" if self.file is None else self.file


def choose_loads(book: Book, which: Which) -> list[Load]:
    """Stage the loads named in `staged_load_chosen` and return them, those with anything to undo.

    Raises: Refused when there is none, or when a file's name stands for several loads.
    """
    loads = _loads(book, which)
    if not loads:
        raise _unknown(which)
    live = [row for row in loads if row["entries"] or row["held"]]
    if not live:
        raise _nothing_left(book, which, loads)
    if which.file is not None and len(live) > 1:
        choices = tuple(map(_choice, live))
        raise Refused("loads_alike", file=which.file, count=len(live), loads=choices)
    book.stage("load_chosen", "sheets/loads_chosen", loads=[row["load"] for row in live])
    return live


def _loads(book: Book, which: Which) -> list[Load]:
    loads = _standing(book, which.file, which.batch)
    if not loads and which.file is not None:
        # A file is known by its name alone, also when it is given with its folder.
        return _standing(book, Path(which.file).name, which.batch)
    return loads


def _standing(book: Book, name: str | None, batch: int | None) -> list[Load]:
    digest = name.lower() if name else None
    return list(book.records("sheets/loads_standing", name=name, digest=digest, batch=batch))


def _unknown(which: Which) -> Refused:
    if which.file is None:
        return Refused("batch_without_sheets", batch=which.batch, remedy=Remedy("history"))
    return Refused("sheets_not_loaded", file=which.file, remedy=Remedy("show", what="file"))


def _nothing_left(book: Book, which: Which, loads: Sequence[Load]) -> Refused:
    reversals = book.rows("sheets/loads_reversed", loads=[row["load"] for row in loads])
    if not reversals:
        return Refused("load_empty", load=str(which))
    batch, recorded_at, actor = reversals[0]
    day = recorded_at.date()
    return Refused("load_reversed", load=str(which), batch=batch, actor=actor, day=day)


def _choice(row: Load) -> str:
    return (
        f"  batch {row['batch']} of {row['recorded_at']:%Y-%m-%d}, digest {row['sha256'][:12]}: "
        f"{counted(row['entries'], 'entry', 'entries')}, {hours_text(int(row['ms']))} h"
        + (f", {counted(row['held'], 'held line', 'held lines')}" if row["held"] else "")
    )
