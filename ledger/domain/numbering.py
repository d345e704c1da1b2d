"""Numbers that follow each other in whatever scheme they are written."""

import re
from collections.abc import Collection, Sequence

_NUMBERED = re.compile(r"(.*?)([0-9]{1,9})")


def next_code(codes: Sequence[str], taken: Collection[str], first: str) -> str:
    """Return the code after the highest in the scheme of the last one, as wide as that is written.

    `first` begins a scheme; codes in `taken` are passed over. V-07 follows
    V-06, CR100 follows CR99.
    """
    numbered = [match for code in codes if (match := _NUMBERED.fullmatch(code))]
    if not numbered:
        start = _NUMBERED.fullmatch(first)
        assert start
        prefix, width, number = start[1], len(start[2]), int(start[2])
    else:
        prefix, width = numbered[-1][1], len(numbered[-1][2])
        number = max(int(each[2]) for each in numbered if each[1] == prefix) + 1
    while (code := f"{prefix}{number:0{width}}") in taken:
        number += 1
    return code
