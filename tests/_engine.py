"""Books of most tests opened in one engine: making an engine anew takes 20 ms a command.

The book that was closed last stays attached, its file complete, until another is opened, a process
is started or somebody else wrote the file: attaching takes another 20 ms.
"""

import os
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import duckdb

from ledger.store import book
from ledger.store.errors import MEMORY

as_the_program: Callable[..., duckdb.DuckDBPyConnection] = book.connect
State = tuple[int, int, int]
# The one book that is attached and not open, with the state its file was left in.
KEPT: list[tuple[Path, State | None]] = []
# Another process can open no book that is attached here.
STARTS = {"subprocess.Popen", "os.fork", "os.forkpty", "os.posix_spawn"}


@cache
def _engine() -> duckdb.DuckDBPyConnection:
    """Return the engine of this process; books of tests are too small for a second thread."""
    return duckdb.connect(config={**book._CONFIG, "memory_limit": "2GiB", "threads": 1})


def _name(path: Path) -> str:
    return f'"{path.stem}"'


def _state(path: Path) -> State | None:
    """Return what shows that a file was replaced or written; None when there is none."""
    if not path.exists():
        return None
    found = path.stat()
    return found.st_ino, found.st_size, found.st_mtime_ns


def _has_log(path: Path) -> bool:
    """Return whether something was written that the book's own file does not hold yet."""
    log = Path(f"{path}.wal")
    return log.exists() and log.stat().st_size > 0


def let_go() -> None:
    """Take the book that is kept off the engine."""
    if KEPT:
        path, _ = KEPT.pop()
        _engine().execute(f"DETACH {_name(path)}")


def _is_kept(path: Path) -> bool:
    """Return whether the book is attached as its file is now; what else is kept is let go."""
    if KEPT and KEPT[0] == (path, _state(path)):
        KEPT.clear()
        return True
    let_go()
    return False


class InOneEngine:
    """A connection to a book that is attached to the engine; for reading nothing may be written."""

    def __init__(self, path: Path, *, read_only: bool) -> None:
        self._path = path.absolute()
        if not _is_kept(self._path):
            place = str(self._path).replace("'", "''")
            _engine().execute(f"ATTACH '{place}' AS {_name(path)}")
        self._before = _state(self._path) if read_only else None
        self._connection = _engine().cursor()
        self._connection.execute(f"USE {_name(path)}")

    def __getattr__(self, name: str) -> Any:
        return getattr(self._connection, name)

    def close(self) -> None:
        self._connection.close()
        if _has_log(self._path):
            _engine().execute(f"CHECKPOINT {_name(self._path)}")
        state = _state(self._path)
        KEPT.append((self._path, state))
        assert self._before in (None, state), "written while it was open for reading"


def own_engine(path: Path, *, read_only: bool) -> duckdb.DuckDBPyConnection:
    """Return what the program returns; two engines of a process cannot have the same book."""
    let_go()
    return as_the_program(path, read_only=read_only)


def connect(path: Path, *, read_only: bool) -> Any:
    """Return a connection in the one engine; where that cannot be, what the program returns."""
    if path is book.IN_MEMORY:
        connection = as_the_program(path, read_only=read_only)
        connection.execute("SET threads = 1")
        return connection
    # What a process that was killed left in the log is read as the program reads it.
    if MEMORY in os.environ or _has_log(path):
        return own_engine(path, read_only=read_only)
    try:
        return InOneEngine(path, read_only=read_only)
    except duckdb.Error:
        return own_engine(path, read_only=read_only)


sys.addaudithook(lambda event, _: let_go() if event in STARTS else None)
