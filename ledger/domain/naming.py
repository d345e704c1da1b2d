"""Texts that name a code: a note says CR7, and a person means the change."""

import re

_TOKEN = re.compile(r"[^\W\d_]+|\d+")
# Between the letters and the digits of a code people leave a blank, a point or a dash.
_APART = r"[\s._/-]{0,2}"
_EDGE = r"[^\p{L}\p{N}]"


def pattern_of(code: str) -> str | None:
    """Return a regular expression (RE2) for texts that name a code as a word of its own.

    Case aside it is to be matched; CR7, CR-7, cr 07 are one. None for a code without letters or
    without digits: the one may be any number, the other any word.
    """
    tokens = _TOKEN.findall(code)
    if not any(map(str.isdigit, tokens)) or all(map(str.isdigit, tokens)):
        return None
    words = [f"0*{each.lstrip('0') or '0'}" if each.isdigit() else each for each in tokens]
    return f"(?:^|{_EDGE}){_APART.join(words)}(?:$|{_EDGE})"
