"""The fonts that a page carries: those for Latin writing, and others where its words need them."""

import base64
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from ledger.resources import root

WEIGHTS = {"regular": 400, "semibold": 600}
SECOND = re.compile("[\u0370-\u052f]")  # Greek and Cyrillic; what else there is, a system has.


@dataclass(frozen=True)
class Font:
    """A font file as a page carries it: its family, its weight and its bytes in base 64."""

    family: str
    weight: int
    base64: str


def fonts_for(texts: Iterable[str]) -> tuple[Font, ...]:
    """Return the fonts that a page of these words needs."""
    names = {"page-sans": "Page Sans"}
    if any(SECOND.search(text) for text in texts):
        names["page-sans-two"] = "Page Sans Two"
    return tuple(
        Font(family, number, encoded(f"{name}-{weight}.woff2"))
        for name, family in names.items()
        for weight, number in WEIGHTS.items()
    )


@cache
def encoded(name: str) -> str:
    """Return a packaged font file in base 64."""
    content = root("templates").joinpath("fonts", name).read_bytes()
    return base64.b64encode(content).decode("ascii")
