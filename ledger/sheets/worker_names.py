"""Workers by name: whom a sheet means that has a name in the place of a worker_id.

A name leads to a worker of the crew who has it, or for whom it was confirmed as an alias; without
such, to one who had it before. Where it leads to none or to several, the line is held. Until it
leads to one, lines of the same name are told apart from others by the name, with a mark before it
that no text in the book may hold: so a name cannot get into a column that is sealed as it is.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from ledger.domain.codes import name_of
from ledger.store.book import Book

MARK = "\x1f"
# Names are offered from this likeness on, so many of them.
ALIKE, OFFERED = 60, 3
TO_DO = "confirm an alias, or correct the worker_id"


class CrewNames:
    """The names of the crew and the aliases, and whom each leads to."""

    def __init__(self, book: Book) -> None:
        self.crew: dict[str, str] = {}
        self._leading: dict[str, set[str]] = defaultdict(set)
        self._before: dict[str, set[str]] = defaultdict(set)
        self.aliases: set[tuple[str, str]] = set()
        for worker, name, kind in book.rows("sheets/names_known"):
            leading = self._before if kind == "before" else self._leading
            leading[name_of(name)].add(worker)
            if kind == "now":
                self.crew[worker] = name
            elif kind == "alias":
                self.aliases.add((name_of(name), worker))

    def workers(self, text: str) -> list[str]:
        """Return the ids of the workers that a name leads to."""
        name = name_of(text)
        return sorted(self._leading.get(name) or self._before.get(name) or ())

    def near(self, text: str) -> str:
        """Return the names of the crew that are most like one, with their ids; "" without any."""
        from ledger.sheets.likeness import nearest

        named = defaultdict(list)
        for worker, name in sorted(self.crew.items()):
            named[name].append(worker)
        alike = nearest(text, named, least=ALIKE, most=OFFERED)
        return ", ".join(f"{name} ({', '.join(named[name])})" for name in alike)


def stage_names(book: Book) -> bool:
    """Stage in `staged_name_read` whom the names of the lines of `staged_raw` lead to.

    Returns False, and stages nothing, where no line is by name alone.
    """
    texts = [text for (text,) in book.rows("sheets/names_written")]
    if not texts:
        return False
    names = CrewNames(book)
    workers = [names.workers(text) for text in texts]
    book.stage(
        "name_read",
        "sheets/names_read",
        texts=texts,
        workers=[
            ids[0] if len(ids) == 1 else MARK + name_of(text)
            for text, ids in zip(texts, workers, strict=True)
        ],
        messages=[None if len(ids) == 1 else _name_message("worker_name", ids) for ids in workers],
    )
    return True


def _name_message(name: str, workers: Sequence[str]) -> str:
    if workers:
        return f"{name} is that of {', '.join(workers)}; correct the worker_id"
    return f"{name} is not in the crew; {TO_DO}"


def tell_names(book: Book, rows: Iterable[dict[str, Any]]) -> None:
    """Put the name, and those of the crew nearest to it, into the message of lines held for it.

    Neither is kept in the book with the line.
    """
    by_name = [
        row
        for row in rows
        if row["reason"] == "worker_unknown" and not row["worker_id"] and row["worker_name"]
    ]
    if not by_name:
        return
    names = CrewNames(book)
    messages = {text: _message(names, text) for text in {row["worker_name"] for row in by_name}}
    for row in by_name:
        row["message"] = messages[row["worker_name"]]


def _message(names: CrewNames, text: str) -> str:
    workers = names.workers(text)
    near = "" if workers else names.near(text)
    return _name_message(f'worker_name "{text}"', workers) + (f"; nearest: {near}" if near else "")
