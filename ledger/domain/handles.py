"""Handles: short names of people that stay in the book for ever, other than their names."""

import re
import unicodedata

LOCAL = "local"
# What a name reads as once it was erased, and the handle of somebody of whom no more is known.
ERASED_NAME = "erased"
_HANDLE = re.compile(r"[A-Za-z0-9._-]+")


def is_handle(text: str) -> bool:
    """Return whether a text is ASCII letters, digits, points, underscores and hyphens."""
    return _HANDLE.fullmatch(text) is not None


def minted(number: int) -> str:
    """Return the handle with a number, in which nothing of the name is told."""
    return f"p{number}"


def as_known(name: str) -> str:
    """Return a name as it is looked up: composed (Unicode NFC), without blanks around it."""
    return unicodedata.normalize("NFC", name).strip()
