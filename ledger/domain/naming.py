"""Texts that name a code: a note says CR7, and a person means the change."""

import re
from collections.abc import Iterable

_TOKEN = re.compile(r"[^\W\d_]+|\d+")
# Between the letters and the digits of a code people leave a blank, a point or a dash.
_APART = r"[\s._/-]{0,2}"
_EDGE = r"[^\p{L}\p{N}]"
# As an edge it lets all pass that the other does, and some more.
_EDGE_OF_ANY = "[^A-Za-z0-9]"


def pattern_of(code: str) -> str | None:
    """Return a regular expression (RE2) for texts that name a code as a word of its own.

    Case aside it is to be matched; CR7, CR-7, cr 07 are one. None for a code without letters or
    without digits: the one may be any number, the other any word.
    """
    word = _word_of(code)
    return _as_a_word(word, _EDGE) if word else None


def pattern_of_any(codes: Iterable[str]) -> str | None:
    """Return a regular expression for all texts that name any of some codes, and few more.

    To find the texts worth a look: a class of all letters for each code takes long to compile.
    """
    words = dict.fromkeys(word for code in codes if (word := _word_of(code)))
    return _as_a_word(f"(?:{'|'.join(words)})", _EDGE_OF_ANY) if words else None


def _as_a_word(word: str, edge: str) -> str:
    return f"(?:^|{edge}){word}(?:$|{edge})"


def _word_of(code: str) -> str | None:
    """Return the expression of a code's letters and digits alone."""
    tokens = _TOKEN.findall(code)
    if not any(map(str.isdigit, tokens)) or all(map(str.isdigit, tokens)):
        return None
    words = [f"0*{each.lstrip('0') or '0'}" if each.isdigit() else each for each in tokens]
    return _APART.join(words)
