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

from ledger.errors import BookError, BookHeld, Remedy
from ledger.store.out_files import write_new

FIRST_PAUSE = 0.02
LONGEST_PAUSE = 0.5

Opened = TypeVar("Opened")


@dataclass(frozen=True)
class Holder:
    """Who opens the book, and for what.

    `alone` lets nobody else try to open it before it is closed: its file may be replaced.
    """

    actor: str
    command: str
    alone: bool = False


def open_in_turn(
    path: Path,
    wait: float,
    opening: Callable[[], Opened],
    *,
    writing: bool = True,
    staying: contextlib.ExitStack | None = None,
) -> Opened:
    """Return what `opening` returns, tried again until `wait` seconds have passed.

    Where the turnstile cannot be used a reader goes in beside it. Who is `staying` lets nobody
    else try until that is closed.

    Raises: BookHeld, naming the holder and for how long this process waited; BookError for a
    writer without a turnstile.
    """
    until = time.monotonic() + wait
    with contextlib.nullcontext(staying) if staying else contextlib.ExitStack() as turnstile:
        try:
            turnstile.enter_context(FileLock(_beside(path, ".lock"), timeout=max(wait, 0)))
        except Timeout:
            raise _held(path, wait) from None
        except (OSError, BookError) as error:
            if writing:
                raise _not_written(path, error) from None
        return _retry(path, wait, until, opening)


def _beside(path: Path, ending: str) -> Path:
    """Return a file beside the book. Raises: BookError when what lies there is not one of ours."""
    beside = Path(f"{path}{ending}")
    if beside.is_symlink() or (beside.exists() and not beside.is_file()):
        what = "link" if beside.is_symlink() else "folder" if beside.is_dir() else "pipe or device"
        raise BookError("beside_book_astray", file=beside.name, what=what)
    return beside


def _not_written(path: Path, error: OSError | BookError) -> BookError:
    because = error.strerror if isinstance(error, OSError) else error
    return BookError("book_not_writable", book=path, because=because)


def _retry(path: Path, wait: float, until: float, opening: Callable[[], Opened]) -> Opened:
    pause = FIRST_PAUSE
    while True:
        try:
            return opening()
        except BookHeld as error:
            if time.monotonic() + pause > until:
                raise _held(path, wait, str(error)) from None
            time.sleep(pause)
            pause = min(2 * pause, LONGEST_PAUSE)


def _held(path: Path, wait: float, driver: str | None = None) -> BookHeld:
    """Return what is said of a book that stays held, with its holder where that is known."""
    longer = Remedy("wait")
    with contextlib.suppress(BookError, OSError, ValueError, KeyError, TypeError):
        holder = _beside(path, ".holder")
        left = json.loads(holder.read_text(encoding="utf-8"))
        # A writer that was killed left its name behind: the driver says who holds the file.
        if driver is None or f"(PID {left['pid']})" in driver:
            return BookHeld(
                "book_held_by",
                book=path,
                actor=str(left["actor"]),
                command=str(left["command"]),
                since=str(left["since"]),
                waited=wait,
                remedy=longer,
            )
    return BookHeld("book_held", book=path, waited=wait, remedy=longer)


@contextlib.contextmanager
def named_holder(path: Path, holder: Holder) -> Iterator[None]:
    """Leave the writer's name beside the book while it is open.

    Raises: BookError when it cannot be left there; nothing is written through a link.
    """
    since = datetime.now(UTC).isoformat(timespec="seconds")
    left = {"actor": holder.actor, "command": holder.command, "since": since, "pid": os.getpid()}
    try:
        beside = _beside(path, ".holder")
        write_new(beside, json.dumps(left).encode())
    except (OSError, BookError) as error:
        raise _not_written(path, error) from None
    try:
        yield
    finally:
        beside.unlink(missing_ok=True)
