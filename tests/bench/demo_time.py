"""How long the demo and everyday commands on its book take, against the bare engine.

Run by hand, from the checkout: python tests/bench/demo_time.py [ROUNDS]
Bare is a new Python that opens the demo's book with the engine and counts its tables. Each run is a
process of its own; times are of the processors, and medians are compared. The aims: the demo 180
times bare, `performance` 3.5.
"""

import statistics
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.bench.sheets_time import PROGRAM, run

BARE = """
import sys
import duckdb
with duckdb.connect(sys.argv[1], read_only=True) as book:
    for (name,) in book.execute("SELECT table_name FROM duckdb_tables()").fetchall():
        book.execute(f'SELECT count(*) FROM "{name}"').fetchone()
"""
# As PROGRAM, and says at its end how many statements it gave the engine.
COUNTED = """
import sys
from ledger.store.book import Book
execute, given = Book.execute, []
def counted(book, sql, inputs=None):
    given.append(sql)
    return execute(book, sql, inputs)
Book.execute = counted
from ledger.cli.main import main
try:
    main()
finally:
    print("statements", len(given), file=sys.stderr)
"""
FERRY = ("--job", "FERRY", "--status-date", "2026-11-01")
COMMANDS = {
    "performance": ("performance", *FERRY),
    "overrun": ("overrun", *FERRY),
    "check": ("check",),
}


def median(rounds: int, *words: object) -> float:
    """Return what a process takes of the processors in the middle of some runs, in seconds."""
    return statistics.median(run(*words).cpu for _ in range(rounds))


def statements(words: Sequence[object]) -> int:
    """Return how many statements a command gives the engine."""
    done = subprocess.run(
        [sys.executable, "-c", COUNTED, *map(str, words)],
        cwd=Path(__file__).resolve().parents[2],
        capture_output=True,
        check=True,
    )
    return int(done.stderr.split(b"statements ")[1])


def main(rounds: int = 5) -> None:
    """Print the times, each as a multiple of the bare run's of before and after it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        book = folder / "counted" / "book.duckdb"
        count = statements(("demo", book.parent))
        before = median(rounds, BARE, book)
        demo = run(PROGRAM, "demo", folder / "timed").cpu
        bare = (before + median(rounds, BARE, book)) / 2
        print(f"bare: {bare:.3f} s of the processors")
        print(f"demo: {demo:.1f} s ({demo / bare:.0f} x), {count} statements")
        for command, words in COMMANDS.items():
            asked = ("--book", book, *words)
            took = median(rounds, PROGRAM, *asked)
            told = f"{took:.2f} s ({took / bare:.1f} x), {statements(asked)} statements"
            print(f"{command}: {told}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
