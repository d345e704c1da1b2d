"""How alike two texts are, in whole points of 100: the only module that compares them loosely."""

import re
from collections.abc import Iterable

from rapidfuzz import fuzz

from ledger.domain.codes import name_of

_APART = re.compile(r"[\W_]+")


def plain(text: str) -> str:
    """Return the letters and digits of a text in one case, a blank between its words."""
    return _APART.sub(" ", name_of(text)).strip()


def likeness(one: str, other: str) -> int:
    """Return how alike two plain texts are, whatever the order of their words; 100: equal."""
    return round(fuzz.token_sort_ratio(one, other))


def nearest(text: str, known: Iterable[str], *, least: int, most: int) -> list[str]:
    """Return the texts most like one, those as alike by their own order."""
    wanted = plain(text)
    scored = sorted((-likeness(wanted, plain(each)), each) for each in set(known))
    return [each for score, each in scored if -score >= least][:most]
