"""Texts that name a code: a note says CR7, and a person means the change."""

import re
from collections.abc import Iterable

_TOKEN = re.compile(r"[^\W\d_]+|\d+")
# Between the letters and the digits of a code people leave a blank, a point or a dash.
_APART = r"[\s._/-]{0,2}"
_EDGE = r"[^\p{L}\p{N}]"


def pattern_of(code: str) -> str | None:
    """Return a regular expression (RE2) for texts that name a code as a word of its own.

    Case aside it is to be matched; CR7, CR-7, cr 07 are one. None for a code without letters or
    without digits: the one may be any number, the other any word.
    """
    return pattern_of_any([code])


def pattern_of_any(codes: Iterable[str]) -> str | None:
    """Return a regular expression for texts that name any of some codes, each as `pattern_of`.

    The edges of words, classes of all letters, stand in it once: they take longest to compile.
    """
    words = dict.fromkeys(word for code in codes if (word := _word_of(code)))
    return f"(?:^|{_EDGE})(?:{'|'.join(words)})(?:$|{_EDGE})" if words else None


def _word_of(code: str) -> str | None:
    """Return the expression of a code's letters and digits alone."""
    tokens = _TOKEN.findall(code)
    if not any(map(str.isdigit, tokens)) or all(map(str.isdigit, tokens)):
        return None
    words = [f"0*{each.lstrip('0') or '0'}" if each.isdigit() else each for each in tokens]
    return _APART.join(words)
