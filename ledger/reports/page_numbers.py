"""The pages that links on paper name ("page 7"), written in when all pages are made.

A style that asks for them (`target-counter`; CSS Generated Content for Paged Media) has the library
make each page that names others up to three times, as it knows no number before it has made them
all. So digits hold the place of a number, the pages are made once, and then each is written in.
"""

import re
from collections.abc import Iterator
from typing import Any

COUNTER = "target-counter(attr(href), page)"
STYLE = re.compile("<style>.*?</style>", re.DOTALL)
AFTER_LINK = "a::after"


def held_open(text: str) -> str:
    """Return a packaged page with digits in its style where a number of a page will stand."""
    digits = max(2, len(str(text.count("<article "))))  # A change takes a page at most.
    held = '"' + "0" * digits + '"'
    return STYLE.sub(lambda style: style[0].replace(COUNTER, held), text, count=1)


def are_numbered(document: Any) -> bool:
    """Write the numbers into the pages that were made; False where one has no place.

    What a line shows is taken from its text when it is drawn.
    """
    number_of: dict[str, int] = {}
    for count, page in enumerate(document.pages, start=1):
        for anchor in page.anchors:
            number_of.setdefault(anchor, count)
    lines = list(lines_after_links(document))
    for line in lines:
        number = str(number_of.get(line.element.get("href").removeprefix("#"), ""))
        words = line.text.rstrip("0")
        if not 0 < len(number) <= len(line.text) - len(words):
            return False
        line.text = line.pango_layout.text = words + number
    return bool(lines)


def lines_after_links(document: Any) -> Iterator[Any]:
    """Yield the library's boxes of text that stand behind links."""
    for page in document.pages:
        for box in page._page_box.descendants():
            if box.element_tag == AFTER_LINK and hasattr(box, "pango_layout"):
                yield box
