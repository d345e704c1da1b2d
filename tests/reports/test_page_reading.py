"""A packaged page read as XML is the page that the library reads of its HTML."""

import io
from collections.abc import Iterator
from typing import Any
from xml.etree.ElementTree import Element

import pytest
import tinyhtml5

from ledger.reports import pages
from ledger.reports.page_reading import read_packaged, tree_of
from tests.conftest import slow_beyond
from tests.reports._landing import LANDING
from tests.reports._letters import LETTERS, ODD
from tests.reports._paper import html_of
from tests.reports._performance import REPORT
from tests.reports._reconciliation import USUAL
from tests.reports._yard_pages import LIST, SHEETS
from tests.reports.test_daywork_backup import backup
from tests.reports.test_hostile import many
from tests.reports.test_progress_form import VIEWS as FORMS

VIEWS: dict[str, Any] = {
    "statement": LANDING,
    "sheets": SHEETS,
    "invoice": LETTERS["invoice"],
    "codes": LIST,
    "performance": REPORT,
    "reconciliation": USUAL,
    "daywork": backup(3, 1),
    "many changes": many(20),
    **{f"form, {name}": view for name, view in FORMS.items()},
    **{f"letter, {name}": view for name, view in {**LETTERS, **ODD}.items()},
}


def parts_of(tree: Any) -> Iterator[tuple[str, dict[str, str], str, str]]:
    """Yield every element with the words in it and after it, but for space round head and body."""
    for element in tree.iter():
        after = element.tail or ""
        after = after.strip() if element.tag in {"head", "body", "main"} else after
        words = "" if element.tag in {"html", "head"} else element.text or ""
        in_head = element.tag in {"meta", "title", "style"}
        yield element.tag, dict(element.attrib), words, "" if in_head else after


def as_html(text: str) -> Any:
    return tinyhtml5.parse(io.BytesIO(text.encode("utf-8")), namespace_html_elements=False)


@pytest.mark.parametrize("name", slow_beyond(4, VIEWS))
def test_a_page_is_the_same_read_as_either(name: str) -> None:
    """Elements, attributes and words of a packaged page are those that HTML has of it."""
    text = html_of(VIEWS[name], medium="paper")
    tree = tree_of(text)

    assert tree is not None
    assert list(parts_of(tree)) == list(parts_of(as_html(text)))


@pytest.mark.parametrize(
    "text",
    [
        "<p>Oak<p>Larch",
        "<p>Oak &nbsp; larch</p>",
        '<p title="a>b">Oak<img alt="a>b"></p>',
        "<p>Oak \x01</p>",
        "<!doctype html><!DOCTYPE a [<!ENTITY b 'c'>]><p>&b;</p>x",
    ],
)
def test_what_is_no_xml_is_read_as_html(text: str) -> None:
    """A page that XML cannot have comes out all the same, as the library reads HTML."""
    read = read_packaged(text, pages.only_data)

    assert tree_of(text) is None
    assert list(parts_of(read.etree_element)) == list(parts_of(as_html(text)))


def test_void_elements_and_spaces_are_told_from_others() -> None:
    """What HTML leaves open is closed; a name that begins alike is not."""
    tree = tree_of('<colgroup><col><col class="a"></colgroup>')

    assert isinstance(tree, Element)
    assert [(each.tag, each.attrib) for each in tree] == [("col", {}), ("col", {"class": "a"})]
    assert [*(tree_of("<p>1&ensp;Oak</p>") or ())] == []
