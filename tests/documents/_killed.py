"""A program that issues documents and is killed while it does, as by a power cut.

Given a book, a number of trials and what is issued it forks a child a trial; each is killed
(SIGKILL) at the next of `POINTS`. The invoice of a claim can be issued once: the last point, after
the commit, is that of its last trial alone. It prints a line a trial: the point, and what ended
the child.
"""

import os
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from itertools import cycle, islice
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from ledger.cli.program import app
from ledger.commands import documents
from ledger.documents import issuing
from ledger.store import batches
from ledger.store.book import Book
from ledger.store.contents import keep_content

# Before the number is looked at; between the number and the bytes; between these and the fact;
# before the batch is sealed; before it is committed; once it is.
POINTS = ("place", "bytes", "fact", "seal", "commit", "after")


# Never taken back: the process that a trap is set in is killed.
TRAPS = pytest.MonkeyPatch()


def killed(*_: Any, **__: Any) -> Any:
    os.kill(os.getpid(), signal.SIGKILL)


def then_killed(call: Callable[..., Any]) -> Callable[..., Any]:
    """Return a function that does its work, and then the process is killed."""

    def work(*given: Any, **more: Any) -> Any:
        call(*given, **more)
        return killed()

    return work


def at_commit(*, after: bool) -> None:
    """Be killed before or after the transaction with a document ends."""
    run = Book.execute

    def execute(self: Book, sql: str, inputs: Any = None) -> Any:
        is_end = sql == "COMMIT"
        if is_end and not after:
            killed()
        done = run(self, sql, inputs)
        return killed() if is_end else done

    TRAPS.setattr(Book, "execute", execute)


def arm(point: str) -> None:
    """Set the trap at a point."""
    if point == "place":
        TRAPS.setattr(documents, "has_moved", then_killed(issuing.has_moved))
    elif point == "bytes":
        TRAPS.setattr(issuing, "keep_content", killed)
    elif point == "fact":
        TRAPS.setattr(issuing, "keep_content", then_killed(keep_content))
    elif point == "seal":
        TRAPS.setattr(batches, "_seal", killed)
    else:
        at_commit(after=point == "after")


# What is issued, by kind.
ISSUED = {
    "quotation": ("issue", "quotation", "--job", "STAGE", "CR2"),
    "invoice": ("issue", "invoice", "--job", "CLAIM", "--claim", "1", "--on", "2026-03-13"),
}


def issue(book: str, kind: str) -> int:
    words = (*ISSUED[kind], "--out", f"{book}.html")
    return CliRunner().invoke(app, ["--book", book, *words]).exit_code


def rehearse(book: str, kind: str) -> None:
    """Issue once in a copy of the book: no child reads the program and its templates anew."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "book.duckdb"
        shutil.copyfile(book, copy)
        assert issue(str(copy), kind) == 0


def trial(book: str, point: str, kind: str) -> None:
    arm(point)
    issue(book, kind)


def points(count: int, kind: str) -> Iterator[str]:
    """Yield the point of each trial."""
    if kind != "invoice":
        yield from islice(cycle(POINTS), count)
        return
    yield from islice(cycle(POINTS[:-1]), count - 1)
    yield POINTS[-1]


def main(book: str, count: int, kind: str) -> None:
    rehearse(book, kind)
    for point in points(count, kind):
        child = os.fork()
        if not child:
            trial(book, point, kind)
            os._exit(0)
        ended = os.waitpid(child, 0)[1]
        print(point, os.WTERMSIG(ended) if os.WIFSIGNALED(ended) else "not killed", flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), sys.argv[3])
