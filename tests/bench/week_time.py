"""What the week of a long job takes besides its own queries.

Run by hand, from the checkout: python tests/bench/week_time.py [MILLIONS] [ROUNDS] [BOOK]
The job of series_time.py, or a book made before, which is opened anew for each round. Bare is what
the processors take while the engine runs the week's statements and hands over their rows; the rest
is ours. Both are measured in one go, so that what else the machine does falls on both. The aim:
under 1 second beside the queries, of the page too.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from ledger.cli.wording.pages import COMMANDS
from ledger.reports.rendering import render
from ledger.reports.yard.week_build import build_week, last_day_of
from ledger.store.book import open_book
from tests.bench.series_time import make_book

KINDS = ("data", "html")


@dataclass
class Timed:
    """A connection that counts its statements and the processor time that they take."""

    connection: Any
    statements: int = 0
    seconds: float = 0

    def execute(self, *given: Any) -> "Timed":
        self.statements += 1
        self._timed(lambda: self.connection.execute(*given))
        return self

    def fetchall(self) -> Any:
        return self._timed(self.connection.fetchall)

    def fetchone(self) -> Any:
        return self._timed(self.connection.fetchone)

    def _timed(self, work: Callable[[], Any]) -> Any:
        start = time.process_time()
        found = work()
        self.seconds += time.process_time() - start
        return found

    def __getattr__(self, name: str) -> Any:
        return getattr(self.connection, name)


def measure(path: Path, kind: str) -> tuple[int, float, float]:
    """Return the statements of a week, what they took, and what all of it took."""
    with open_book(path) as book:
        timed: Any = Timed(book.connection)
        book.connection = timed
        start = time.process_time()
        view = build_week(book, last_day_of(book, None, None), commands=COMMANDS)
        if kind != "data":
            render(view, kind, recorded_at=book.stamp().recorded_at)
        took = time.process_time() - start
        book.connection = timed.connection
    return timed.statements, timed.seconds, took


def main(millions: float = 1, rounds: float = 3, *, path: str | None = None) -> None:
    """Print the medians: of the queries, of all, and what is beside the queries."""
    with tempfile.TemporaryDirectory() as name:
        book = Path(path) if path else make_book(Path(name), int(millions * 250))
        taken = {kind: [measure(book, kind) for _ in range(int(rounds))] for kind in KINDS}
    for kind, each in taken.items():
        statements, bare, took = (statistics.median(column) for column in zip(*each, strict=True))
        beside = statistics.median(one[2] - one[1] for one in each)
        print(
            f"{kind}: {statements:.0f} statements {bare:.2f} s of the processors, all {took:.2f} s,"
            f" beside the queries {beside:.2f} s"
        )


if __name__ == "__main__":
    given = sys.argv[1:]
    main(*(float(each) for each in given[:2]), path=given[2] if given[2:] else None)
