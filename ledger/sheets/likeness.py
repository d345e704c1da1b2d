"""How alike two texts are, in whole points of 100: the only module that compares them loosely."""

import re
from collections import defaultdict
from collections.abc import Iterable

from rapidfuzz import fuzz, process

from ledger.domain.codes import name_of

_APART = re.compile(r"[\W_]+")


def plain(text: str) -> str:
    """Return the words of a text in one case and one order, without other signs."""
    return " ".join(sorted(_APART.sub(" ", name_of(text)).split()))


def likeness(one: str, other: str) -> int:
    """Return how alike two plain texts are; 100: equal."""
    return round(fuzz.ratio(one, other))


def containing(one: str, other: str) -> int:
    """Return how alike two texts are where one may say more: of words that both have, 100."""
    return round(fuzz.token_set_ratio(plain(one), plain(other)))


def nearest(text: str, known: Iterable[str], *, least: int, most: int) -> list[str]:
    """Return the texts most like one, those as alike by their own order."""
    return [each for each, _ in Texts(known).like(text, least=least, most=most)]


class Texts:
    """Texts to compare others with: those that differ in case, signs or order of words once."""

    def __init__(self, texts: Iterable[str]) -> None:
        self._texts: dict[str, list[str]] = defaultdict(list)
        for text in sorted(set(texts)):
            if key := plain(text):
                self._texts[key].append(text)
        self._plain = list(self._texts)

    def like(self, text: str, *, least: int, most: int) -> list[tuple[str, int]]:
        """Return the texts most like one, each with its points, those as alike by their order."""
        matches = process.extract(
            plain(text), self._plain, scorer=fuzz.ratio, score_cutoff=least - 0.5, limit=None
        )
        scored = sorted(
            (-round(score), each) for key, score, _ in matches for each in self._texts[key]
        )
        return [(each, -score) for score, each in scored if -score >= least][:most]
