"""The driver's errors, told in the project's own."""

import duckdb

from ledger.errors import BookError, BookHeld, FairhoursError

_LOCKED = "Could not set lock"


def translate(error: duckdb.Error) -> FairhoursError:
    """Return the error that a user sees for one of the driver's; its words are kept."""
    text = str(error)
    if isinstance(error, duckdb.IOException) and (_LOCKED in text or "read-only mode" in text):
        return BookHeld(text)
    if isinstance(error, duckdb.IOException):
        return BookError(f"the book cannot be read or written: {text}")
    if isinstance(error, duckdb.TransactionException):
        return BookError(f"the book could not take the change, nothing was written: {text}")
    return BookError(f"the book refused: {text}")
