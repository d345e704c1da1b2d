"""Handles: short names of people that stay in the book for ever, other than their names."""

import re

LOCAL = "local"
_HANDLE = re.compile(r"[A-Za-z0-9._-]+")


def is_handle(text: str) -> bool:
    """Return whether a text is ASCII letters, digits, points, underscores and hyphens."""
    return _HANDLE.fullmatch(text) is not None
