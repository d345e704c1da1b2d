"""What the objects for machines have in common: the batch they were known at, reasons in words."""

from collections.abc import Callable, Mapping
from typing import Any

from ledger.outcomes import Outcome, Reason
from ledger.store.book import Stamp

Json = dict[str, Any]
Words = Callable[[Outcome], str]


def known_at(stamp: Stamp) -> Json:
    """Return what every object says of the batch that it was known at."""
    return {"sequence": stamp.sequence, "head": stamp.head}


def worded(undefined: Mapping[str, Reason], reason: Words) -> dict[str, str]:
    """Return why figures are undefined, in words, by their names."""
    return {name: reason(why) for name, why in undefined.items()}
