"""Waiting for a book that another process holds.

The database locks its whole file. `<book>.lock` is a turnstile: held while waiting to open and let
go once open, so that waiting processes come in turn; a writer leaves its name in `<book>.holder`.
"""

import contextlib
import json
import os
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

from filelock import FileLock, Timeout

from ledger.errors import BookHeld

FIRST_PAUSE = 0.02
LONGEST_PAUSE = 0.5

Opened = TypeVar("Opened")


@dataclass(frozen=True)
class Holder:
    """Who opens the book, and for what."""

    actor: str
    command: str


def open_in_turn(path: Path, wait: float, opening: Callable[[], Opened]) -> Opened:
    """Return what `opening` returns, tried again until `wait` seconds have passed.

    Raises: BookHeld, naming the holder and for how long this process waited.
    """
    until = time.monotonic() + wait
    try:
        with FileLock(f"{path}.lock", timeout=max(wait, 0)):
            return _retry(path, wait, until, opening)
    except Timeout:
        raise BookHeld(_held(path, wait)) from None


def _retry(path: Path, wait: float, until: float, opening: Callable[[], Opened]) -> Opened:
    pause = FIRST_PAUSE
    while True:
        try:
            return opening()
        except BookHeld as error:
            if time.monotonic() + pause > until:
                raise BookHeld(_held(path, wait, str(error))) from None
            time.sleep(pause)
            pause = min(2 * pause, LONGEST_PAUSE)


def _held(path: Path, wait: float, driver: str | None = None) -> str:
    holder = Path(f"{path}.holder")
    who = "another process"
    with contextlib.suppress(OSError, ValueError, KeyError):
        left = json.loads(holder.read_text(encoding="utf-8"))
        # A writer that was killed left its name behind: the driver says who holds the file.
        if driver is None or f"(PID {left['pid']})" in driver:
            who = f"{left['actor']} ({left['command']}, since {left['since']})"
    return f"{path}: held by {who}; waited {wait:g} s; try again, or wait longer with --wait"


@contextlib.contextmanager
def named_holder(path: Path, holder: Holder) -> Iterator[None]:
    """Leave the writer's name beside the book while it is open."""
    beside = Path(f"{path}.holder")
    since = datetime.now(UTC).isoformat(timespec="seconds")
    beside.write_text(
        json.dumps(
            {
                "actor": holder.actor,
                "command": holder.command,
                "since": since,
                "pid": os.getpid(),
            }
        ),
        encoding="utf-8",
    )
    try:
        yield
    finally:
        beside.unlink(missing_ok=True)
