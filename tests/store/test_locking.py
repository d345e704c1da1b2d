"""A book that another process holds is waited for, and the wait names who holds it."""

import contextlib
import subprocess
import sys
from collections.abc import Iterator

import pytest

from tests.conftest import Yard

# Both say when they hold the book, and let it go when their input ends.
BARE = """
import sys, duckdb
connection = duckdb.connect(sys.argv[1])
print("held", flush=True)
sys.stdin.read()
"""
WRITER = """
import sys
from pathlib import Path
from ledger.store.book import open_book
from ledger.store.locking import Holder
with open_book(Path(sys.argv[1]), writer=Holder("Ada Brunt", "load sheets")):
    print("held", flush=True)
    sys.stdin.read()
"""


@contextlib.contextmanager
def held(yard: Yard, program: str) -> Iterator[subprocess.Popen[str]]:
    """Hold the yard's book in another process."""
    process = subprocess.Popen(
        [sys.executable, "-c", program, str(yard.book)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdin
    assert process.stdout
    with process:
        assert process.stdout.readline() == "held\n"
        try:
            yield process
        finally:
            process.stdin.close()
            process.wait(timeout=30)


def waited(yard: Yard, *words: str) -> str:
    """Return what a command says that waits a fifth of a second in vain."""
    outcome = yard.run("--wait", "0.2", *words, ok=False)
    assert outcome.exit_code == 1
    return outcome.stderr.strip()


COMMANDS = [("history",), ("load", "crew", "crew.csv")]


@pytest.mark.parametrize("words", COMMANDS)
def test_waiting_in_vain_names_the_writer(yard: Yard, words: tuple[str, ...]) -> None:
    """A reader or writer that waited in vain is told who holds the book, and for what."""
    yard.new()
    with held(yard, WRITER):
        told = waited(yard, *words)

    assert told.startswith(f"{yard.book}: in use by Ada Brunt (load sheets, since ")
    assert told.endswith("waited 0.2 s; try again, or wait longer with --wait")


@pytest.mark.slow
@pytest.mark.parametrize("words", COMMANDS)
def test_waiting_in_vain_for_a_stranger_says_so(yard: Yard, words: tuple[str, ...]) -> None:
    """A process that is no part of the program is called another process."""
    yard.new()
    with held(yard, BARE):
        told = waited(yard, *words)

    assert told.startswith(f"{yard.book}: in use by another process; waited 0.2 s")


@pytest.mark.slow
def test_a_book_let_go_in_time_is_read(yard: Yard) -> None:
    """A command that waits longer than the book is held does its work."""
    yard.new()
    with held(yard, WRITER) as process:
        subprocess.Popen([sys.executable, "-c", "import time; time.sleep(0.5)"]).wait()
        assert process.stdin
        process.stdin.close()
        outcome = yard.run("--wait", "20", "history", "--format", "csv")

    assert len(yard.rows(outcome.stdout)) == 1


def test_a_writer_leaves_no_name_behind(yard: Yard) -> None:
    """Once a writer is done its name is gone."""
    yard.new()
    with held(yard, WRITER):
        assert (yard.folder / "book.duckdb.holder").exists()

    assert not (yard.folder / "book.duckdb.holder").exists()


@pytest.mark.slow
def test_a_writer_that_was_killed_is_not_named_for_others(yard: Yard) -> None:
    """The name that a killed writer left behind is not given for who holds the book after it."""
    yard.new()
    with held(yard, WRITER) as process:
        process.kill()
    with held(yard, BARE):
        told = waited(yard, "history")

    assert "Ada Brunt" not in told
