"""Names that are not known, and the known one that each may be a slip of."""

import difflib
from collections.abc import Iterable

from ledger.domain.codes import word_of


def near_miss(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that is most like one that is not known, None when none is."""
    matches = difflib.get_close_matches(word_of(name), list(known), n=1, cutoff=0.75)
    return matches[0] if matches else None


def with_near_miss(name: str, known: Iterable[str]) -> str:
    """Return a name that is not known, with the known one it may be meant for."""
    near = near_miss(name, known)
    return f"{name} ({near}?)" if near else name
