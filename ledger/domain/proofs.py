"""Proofs that rows stand in a sealed tree, which say nothing of the rows beside them.

A proof is the hashes that are missing to fold some leaves up to their root; see RFC 6962, section
2.1.1, for the same of a binary tree.
"""

from collections.abc import Iterable, Sequence

from ledger.domain.seals import FAN, nodes

# Of each level, from the leaves up, the hashes by their places in hex.
Siblings = list[dict[int, str]]


def siblings(leaves: Sequence[bytes], wanted: Iterable[int]) -> Siblings:
    """Return what is missing to fold the leaves at some places up to the root.

    Of each node above a wanted leaf that is every other hash below it; the root is left out.
    """
    level, known = list(leaves), set(wanted)
    levels: Siblings = []
    while True:
        above = {place // FAN for place in known}
        beside = {
            place: level[place].hex()
            for node in sorted(above)
            for place in range(node * FAN, min(node * FAN + FAN, len(level)))
            if place not in known
        }
        levels.append(beside)
        level, known = nodes(b"".join(level)), above
        if len(level) == 1:
            return levels
