"""The driver's errors, told in the project's own."""

import os
import re

import duckdb

from ledger.errors import BookError, BookHeld, FairhoursError, MemoryShort, WrongUsage

_LOCKED = "Could not set lock"
# How much memory the book may take; what needs more than that goes to a folder beside it.
MEMORY, USUAL_MEMORY = "FAIRHOURS_MEMORY", "2GiB"
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
