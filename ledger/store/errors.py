"""The driver's errors, told in the project's own."""

import os
import re

import duckdb

from ledger.errors import BookError, BookHeld, FairhoursError, MemoryShort, WrongUsage

_LOCKED = "Could not set lock"
# How much memory the book may take; what needs more than that goes to a folder beside it.
MEMORY, USUAL_MEMORY = "FAIRHOURS_MEMORY", "2GiB"
# What the system says of a disk, and what to do; the driver passes it on in errors of any kind.
DISK = {
    "Input/output error": "the disk failed; check it before you go on, then run `fairhours check`",
    "No space left on device": "the disk is full, nothing was written; make room and try again",
    "Disk quota exceeded": "the disk is full, nothing was written; make room and try again",
    "Read-only file system": "the book cannot be written here",
    "Permission denied": "the book cannot be read or written by this user",
}
_SIZE = re.compile(r"[1-9][0-9]*(\.[0-9]+)? ?[MG]i?B", re.IGNORECASE)


def memory() -> str:
    """Return the size of memory that the environment names, else the usual one.

    Raises: WrongUsage when it is no size.
    """
    size = os.environ.get(MEMORY, USUAL_MEMORY)
    if not _SIZE.fullmatch(size):
        raise WrongUsage(f'{MEMORY} "{size}": give a size, {USUAL_MEMORY} or 800MiB')
    return size


def translate(error: duckdb.Error) -> FairhoursError:
    """Return the error that a user sees for one of the driver's; its words are kept."""
    text = str(error)
    if isinstance(error, duckdb.IOException) and (_LOCKED in text or "read-only mode" in text):
        return BookHeld(text)
    if told := next((told for said, told in DISK.items() if said in text), None):
        return BookError(f"{told} ({text.partition(chr(10))[0]})")
    if isinstance(error, duckdb.IOException):
        return BookError(f"the book cannot be read or written: {text}")
    if isinstance(error, duckdb.OutOfMemoryException):
        return MemoryShort(
            f"{memory()} of memory are not enough, nothing was written; "
            f"set {MEMORY} to more (4GiB) and try again ({text.partition(chr(10))[0]})"
        )
    if isinstance(error, duckdb.TransactionException):
        return BookError(f"the book could not take the change, nothing was written: {text}")
    return BookError(f"the book refused: {text}")


def is_of_the_table(error: FairhoursError) -> bool:
    """Return whether an error came of what stands in a table that was read, not of the machine."""
    cause = error.__cause__
    ours = isinstance(error, BookHeld | MemoryShort)
    machine = isinstance(cause, duckdb.IOException | duckdb.InternalException)
    return not ours and not machine and not any(said in str(cause) for said in DISK)
