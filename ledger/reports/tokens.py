"""The colours of every page, as the stylesheet of tokens names them."""

import re
from functools import cache

from ledger.resources import root

COLOUR = re.compile(r"^\s*--([a-z]+): (#[0-9a-f]{6});$", re.MULTILINE)


@cache
def colour(name: str) -> str:
    """Return a colour of `templates/tokens.css` as #rrggbb. Raises: KeyError for one it has not."""
    sheet = (root("templates") / "tokens.css").read_text(encoding="utf-8")
    colours: dict[str, str] = dict(COLOUR.findall(sheet))
    return colours[name]
