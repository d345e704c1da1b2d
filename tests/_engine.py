"""Books of most tests opened in one engine: making an engine anew takes 20 ms a command."""

import os
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import duckdb

from ledger.store import book
from ledger.store.errors import MEMORY

own_engine: Callable[..., duckdb.DuckDBPyConnection] = book.connect


@cache
def _engine() -> duckdb.DuckDBPyConnection:
    """Return the engine of this process; books of tests are too small for a second thread."""
    return duckdb.connect(config={**book._CONFIG, "memory_limit": "2GiB", "threads": 1})


class InOneEngine:
    """A connection to a book that is attached to the engine; closing it takes the book off."""

    def __init__(self, path: Path, *, read_only: bool) -> None:
        self._name = f'"{path.stem}"'
        option = "(READ_ONLY)" if read_only else ""
        place = str(path.absolute()).replace("'", "''")
        _engine().execute(f"ATTACH '{place}' AS {self._name} {option}")
        self._connection = _engine().cursor()
        self._connection.execute(f"USE {self._name}")

    def __getattr__(self, name: str) -> Any:
        return getattr(self._connection, name)

    def close(self) -> None:
        self._connection.close()
        _engine().execute(f"DETACH {self._name}")


def connect(path: Path, *, read_only: bool) -> Any:
    """Return a connection in the one engine; where that cannot be, what the program returns."""
    if path is book.IN_MEMORY or MEMORY in os.environ:
        return own_engine(path, read_only=read_only)
    try:
        return InOneEngine(path, read_only=read_only)
    except duckdb.Error:
        return own_engine(path, read_only=read_only)
