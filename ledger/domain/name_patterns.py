"""Regular expressions that find a person's name in a text, however it was written there.

Case aside, which is left to whoever matches; texts are to be composed (Unicode NFC). Between the
words of a name may stand a few blanks, commas, quotes, points or underscores, and the last word may
come first: `Hollis, Jon` and `jon_hollis.csv` hold `Jon Hollis`. A longer word does not: `Ann` is
not in `planned`.
"""

import re
import unicodedata
from collections.abc import Iterable

from ledger.domain.codes import word_of

_WORD = re.compile(r"[^\W_]+")
# What stands before, between and after the words of a name, for Python and for RE2.
_PYTHON = (r"(?<![^\W_])", r"[\W_]{1,4}", r"(?![^\W_])")
_RE2 = (r"(?:^|[^\p{L}\p{N}])", r"[^\p{L}\p{N}]{1,4}", r"(?:$|[^\p{L}\p{N}])")


def pattern_of_names(names: Iterable[str]) -> str:
    """Return a pattern of Python's for texts in which any of the names stands; "" of none."""
    return _pattern(names, *_PYTHON)


def re2_of_names(names: Iterable[str]) -> str:
    """Return the same pattern for the book's queries (RE2); "" of none."""
    return _pattern(names, *_RE2)


def words_of_names(names: Iterable[str], letters: int = 3) -> list[str]:
    """Return the words that names are made of, in their order, of at least so many letters.

    A name of one word is whole, not a part of one, and is left out whatever its case.
    """
    composed = [unicodedata.normalize("NFC", name) for name in names]
    by_name = list(map(_WORD.findall, composed))
    whole = {word_of(words[0]) for words in by_name if len(words) == 1}
    words = {word_of(word): word for words in by_name for word in words}
    return [
        word
        for folded, word in words.items()
        if folded not in whole and sum(map(str.isalpha, word)) >= letters
    ]


def _pattern(names: Iterable[str], before: str, between: str, after: str) -> str:
    ways = dict.fromkeys(way for name in names for way in _ways(name, between))
    return f"{before}(?:{'|'.join(ways)}){after}" if ways else ""


def _ways(name: str, between: str) -> Iterable[str]:
    composed = unicodedata.normalize("NFC", name).strip()
    words = list(map(re.escape, _WORD.findall(composed)))
    if len(words) < 2:
        return [words[0]] if words else [re.escape(composed)] if composed else []
    return [between.join(words), between.join([words[-1], *words[:-1]])]
