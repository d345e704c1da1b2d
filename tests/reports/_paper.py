"""What the tests see of a page: its layout on paper and the elements of its HTML."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache, lru_cache
from html.parser import HTMLParser
from typing import Any, NamedTuple

from weasyprint import HTML

from ledger.reports import pages
from ledger.reports.designs import DESIGNS
from ledger.reports.owner.page import owner_page
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.tables import Print
from ledger.reports.templates import gather
from tests.reports._landing import RECORDED_AT

TEMPLATE = "owner_variations.html"


class Laid(NamedTuple):
    """A box on a page: the HTML element it belongs to, and its text ("" unless it is text)."""

    page: int
    box: Any
    text: str

    @property
    def tag(self) -> str:
        return str(self.box.element_tag)


@cache
def html_of(view: object, paper: str = "A4", medium: str = "screen") -> str:
    """Return the page of a view as HTML, by its own design."""
    design = DESIGNS[type(view)]
    out = Print(paper, RECORDED_AT, medium=medium)
    return pages.html(design.page(view), gather(design.template), out, design.script)


@lru_cache(maxsize=4)
def laid_out(view: OwnerVariations, paper: str = "A4") -> list[Laid]:
    """Return every box of every page, in order, with its page from 1; to be read only."""
    return boxes_of(html_of(view, paper, "paper"))


def lists_laid_out(view: OwnerVariations) -> list[Laid]:
    """Return every box of the pages before those of the changes by themselves."""
    lists = replace(owner_page(view), sheets=())
    out = Print("A4", RECORDED_AT, medium="paper")
    return boxes_of(pages.html(lists, gather(TEMPLATE), out))


def boxes_of(text: str) -> list[Laid]:
    document = HTML(string=text, url_fetcher=pages.only_data).render()
    return [
        laid
        for number, page in enumerate(document.pages, start=1)
        for laid in boxes(number, page._page_box)
    ]


def boxes(page: int, box: Any) -> Iterator[Laid]:
    yield Laid(page, box, getattr(box, "text", None) or "")
    for child in getattr(box, "children", ()):
        yield from boxes(page, child)


def text_of(laid: list[Laid], page: int = 0) -> str:
    """Return the words of a page, of all pages without one, single spaces between them."""
    words = " ".join(part.text for part in laid if part.text and page in (0, part.page))
    return " ".join(words.split())


class Elements(HTMLParser):
    """The elements, attributes and words of a page, its style apart."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        if tag not in {"span", "bdi"}:  # These stand within a line of words.
            self.words.append(" ")
        self.attributes.extend((name, value or "") for name, value in attrs)

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1] != "style":
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())
