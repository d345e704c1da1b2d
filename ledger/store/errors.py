"""The driver's errors, told in the project's own."""

import os
import re
from collections.abc import Callable, Mapping

import duckdb

from ledger.errors import BookError, BookHeld, FairhoursError, MemoryShort, Remedy, WrongUsage

_LOCKED = "Could not set lock"
# How much memory the book may take; what needs more than that goes to a folder beside it.
MEMORY, USUAL_MEMORY = "FAIRHOURS_MEMORY", "2GiB"
# What the system says of a disk, and what that is; the driver passes it on in errors of any kind.
DISK: Mapping[str, Callable[[str], BookError]] = {
    "Input/output error": lambda line: BookError("disk_failed", said=line, remedy=Remedy("check")),
    "No space left on device": lambda line: BookError("disk_full", said=line),
    "Disk quota exceeded": lambda line: BookError("disk_full", said=line),
    "Read-only file system": lambda line: BookError("book_read_only", said=line),
    "Permission denied": lambda line: BookError("book_forbidden", said=line),
}
_SIZE = re.compile(r"[1-9][0-9]*(\.[0-9]+)? ?[MG]i?B", re.IGNORECASE)


def memory() -> str:
    """Return the size of memory that the environment names, else the usual one.

    Raises: WrongUsage when it is no size.
    """
    size = os.environ.get(MEMORY, USUAL_MEMORY)
    if not _SIZE.fullmatch(size):
        raise WrongUsage("memory_unreadable", variable=MEMORY, given=size, usual=USUAL_MEMORY)
    return size


def translate(error: duckdb.Error) -> FairhoursError:
    """Return the error that a user sees for one of the driver's; its words are kept."""
    text = str(error)
    first_line = text.partition("\n")[0]
    if isinstance(error, duckdb.IOException) and (_LOCKED in text or "read-only mode" in text):
        return BookHeld("book_locked", said=text)
    if of_disk := next((made for phrase, made in DISK.items() if phrase in text), None):
        return of_disk(first_line)
    if isinstance(error, duckdb.IOException):
        return BookError("book_unreadable", said=text)
    if isinstance(error, duckdb.OutOfMemoryException):
        more = Remedy("memory", size="4GiB")
        return MemoryShort("memory_short", memory=memory(), said=first_line, remedy=more)
    if isinstance(error, duckdb.TransactionException):
        return BookError("change_not_taken", said=text)
    return BookError("statement_refused", said=text)


def is_of_the_table(error: FairhoursError) -> bool:
    """Return whether an error came of what stands in a table that was read, not of the machine."""
    cause = error.__cause__
    ours = isinstance(error, BookHeld | MemoryShort)
    machine = isinstance(cause, duckdb.IOException | duckdb.InternalException)
    return not ours and not machine and not any(phrase in str(cause) for phrase in DISK)
