"""A page handed to the library that makes PDFs, read by the reader of XML where it can be.

The library's own reader makes good whatever is wrong with HTML, letter by letter in Python, and
takes a twentieth of the time of a PDF. Packaged pages need none of that: their templates close what
they open, and all other words in them are escaped.
"""

import re
from collections.abc import Callable
from functools import cache
from typing import Any
from xml.etree.ElementTree import Element, ParseError, fromstring

DOCTYPE = "<!doctype html>"
VOID = re.compile("<((?:br|col|img|meta)(?: [^<>]*)?)>")  # What HTML does not close.
SPACES = {"&ensp;": "\u2002"}  # What templates name that XML has no name for.

Fetch = Callable[[str], Any]


def read_html(text: str, fetch: Fetch) -> Any:
    """Return a page of any HTML as the library reads it."""
    from weasyprint import HTML

    return HTML(string=text, url_fetcher=fetch)


def read_packaged(text: str, fetch: Fetch) -> Any:
    """Return a packaged page; one that is not XML is read as any HTML."""
    tree = tree_of(text)
    return read_html(text, fetch) if tree is None else page_of_a_tree()(tree, fetch)


def tree_of(text: str) -> Element | None:
    """Return the elements of a page, or None if it is not XML with the void elements of HTML."""
    closed = VOID.sub(r"<\1/>", text.removeprefix(DOCTYPE))
    for name, space in SPACES.items():
        closed = closed.replace(name, space)
    try:
        return fromstring(closed)
    except ParseError:
        return None


@cache
def page_of_a_tree() -> Any:
    """Return a class of pages that are read already: the library has none.

    It sets what the library's own sets once it has read a page, as release 70 does.
    """
    from weasyprint import HTML, cssselect2

    class PageOfATree(HTML):  # type: ignore[misc]  # The library has no types.
        def __init__(self, tree: Element, fetch: Fetch) -> None:
            self.base_url = None
            self.url_fetcher = fetch
            self.media_type = "print"
            self.wrapper_element = cssselect2.ElementWrapper.from_html_root(
                tree, content_language=None
            )
            self.etree_element = self.wrapper_element.etree_element

    return PageOfATree
