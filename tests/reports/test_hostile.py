"""Whatever was typed into a book, a page shows it and does nothing else."""

import io
import itertools
import socket
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any, NoReturn

import openpyxl
import page
import pytest
from weasyprint.urls import FatalURLFetchingError

from ledger.cli.refusals.worded import worded
from ledger.errors import Refused
from ledger.reports import pages
from ledger.reports.fonts import fonts_for
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.owner.variations_rows import ChangeDetail, ChangeRow
from ledger.reports.rendering import render
from tests.conftest import slow_beyond
from tests.reports import _landing as landing
from tests.reports._landing import AWAITING, CHANGES, LANDING, RECORDED_AT
from tests.reports._paper import Elements, Laid, html_of, laid_out, lists_laid_out, text_of

HOSTILE = {
    "script": "<script>alert(1)</script>",
    "picture of a local file": '<img src="file:///etc/hostname" onerror="x()">',
    "style": "</style><style>body{background:url(http://192.0.2.1/a)}</style>",
    "end of an attribute": '" style="background:url(http://192.0.2.1/b)" x="',
    "address": "url(http://192.0.2.1/c)",
    "import": "@import 'http://192.0.2.1/d'; expression(alert(1))",
    "template": "{{ 7 * 7 }} {% include 'base.html' %} {{ page.__class__ }}",
    "comment": "<!-- --><![CDATA[ ]]> <?xml?> &lt;b&gt; &amp;",
    "right to left": "EUR \N{RIGHT-TO-LEFT OVERRIDE}00.1\N{POP DIRECTIONAL FORMATTING}",
    "controls": "a\0b\x07c\x1b[31md\r\ne",
    "formula": '=HYPERLINK("http://192.0.2.1/e","x")',
    "other scripts": "палуба κατάστρωμα łódź naïve œuvre",
}


def everywhere(text: str) -> OwnerVariations:
    """Return the landing's statement with one text in the place of every other."""
    changes = tuple(replace(row, title=text) for row in CHANGES)
    awaiting = tuple(replace(row, title=text) for row in AWAITING)
    details = tuple(
        replace(
            detail,
            description=text,
            lines=tuple(
                replace(line, description=text, trade=line.trade and text, unit=text)
                for line in detail.lines
            ),
            history=tuple(replace(row, reference=text) for row in detail.history),
        )
        for detail in LANDING.details
    )
    return replace(
        LANDING,
        details=details,
        yard=replace(LANDING.yard, name=text, address_lines=(text, text)),
        job=replace(LANDING.job, code=text, title=text, owner=text, currency=text),
        known_at=replace(LANDING.known_at, head=text),
        remade_by=text,
        changes=changes,
        awaiting=awaiting,
        how_to_read=(text, text),
        caution=text,
    )


def refuse(*_: Any) -> NoReturn:
    raise AssertionError("something was asked of the network")


@pytest.mark.parametrize("text", slow_beyond(1, HOSTILE.values()), ids=HOSTILE)
def test_a_page_fetches_nothing_and_conforms(text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only what lies inside the page is looked up; strange words leave it a conforming PDF."""
    asked: list[str] = []

    def asking(url: str) -> Any:
        asked.append(url.partition(",")[0])
        return original(url)

    original = pages.only_data
    monkeypatch.setattr(pages, "only_data", asking)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    made = render(everywhere(text), "pdf", recorded_at=RECORDED_AT)
    report = page.validate_pdf_bytes(made, profile=page.ValidationProfile.PDF_UA_1)

    assert [failure.message for failure in report.failures] == []
    # Two weights of each of the fonts that its words need.
    fonts = 2 * len({font.family for font in fonts_for([text])})
    assert asked == ["data:font/woff2;base64"] * fonts + ["data:image/svg+xml;base64"]


@pytest.mark.parametrize("text", slow_beyond(4, HOSTILE.values()), ids=HOSTILE)
def test_a_page_has_only_its_own_elements(text: str) -> None:
    """A text can add neither an element nor an attribute to the page."""
    plain = Elements(html_of(everywhere("plain")))
    seen = Elements(html_of(everywhere(text)))

    assert seen.tags == plain.tags
    assert [name for name, _ in seen.attributes] == [name for name, _ in plain.attributes]


@pytest.mark.parametrize("text", slow_beyond(4, HOSTILE.values()), ids=HOSTILE)
def test_a_workbook_holds_text_as_text(text: str) -> None:
    """No text becomes a formula, a number or a date in a cell."""
    made = render(everywhere(text), "xlsx", recorded_at=RECORDED_AT)
    book = openpyxl.load_workbook(io.BytesIO(made))
    kinds = {cell.data_type for sheet in book for row in sheet.iter_rows() for cell in row}

    assert kinds <= {"inlineStr", "s", "n", "d"}
    assert isinstance(book["Variations and requests"]["B3"].value, str)


@pytest.mark.parametrize(
    "url",
    [
        "http://192.0.2.1/a.png",
        "https://example.org/a.css",
        "file:///etc/hostname",
        "FILE:/etc/hostname",
        "ftp://example.org/a",
        "tokens.css",
        "//example.org/a",
        "data\t:text/plain,a",
    ],
)
def test_any_other_address_stops_the_making(url: str) -> None:
    """An address that is not data is refused before anything is fetched."""
    with pytest.raises(FatalURLFetchingError) as caught:
        pages.only_data(url)

    assert str(caught.value) == f"a page may hold data: addresses only, not {url}"


def test_data_addresses_are_read() -> None:
    """What lies inside the page itself may be used."""
    assert pages.only_data("data:text/plain;base64,bW9sZQ==").read() == b"mole"


def test_a_template_that_fetches_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page that asks for something from elsewhere is not made, and says for what."""
    reaching = '<html lang="en"><title>a</title><img alt="a" src="http://192.0.2.1/a.png">'
    monkeypatch.setattr(pages, "html", lambda *_: reaching)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    with pytest.raises(Refused) as caught:
        render(LANDING, "pdf", recorded_at=RECORDED_AT)

    assert worded(caught.value) == (
        "a page may hold data: addresses only, not http://192.0.2.1/a.png"
    )


def body_rows(laid: list[Laid]) -> list[tuple[int, Any]]:
    """Return the rows of tables with their page; repeated heads carry no class and are apart."""
    rows = [part for part in laid if part.tag == "tr" and part.box.element.get("class")]
    return [(part.page, part.box.element) for part in rows]


def split_rows(laid: list[Laid]) -> list[str]:
    """Return the rows of tables that stand on more than one page."""
    on_pages: dict[Any, set[int]] = {}
    for number, row in body_rows(laid):
        on_pages.setdefault(row, set()).add(number)
    return ["".join(row.itertext()) for row, found in on_pages.items() if len(found) > 1]


def lonely_rows(laid: list[Laid]) -> list[tuple[int, str]]:
    """Return heads of groups that end a page, and totals that begin one."""
    rows = body_rows(laid)
    turns = [(here, there) for here, there in itertools.pairwise(rows) if here[0] != there[0]]
    ends = [here for here, _ in turns if here[1].get("class") == "group"]
    begins = [
        there for _, there in turns if there[1].get("class") in {"subtotal", "total", "aside"}
    ]
    return [(number, "".join(row.itertext())) for number, row in ends + begins]


def sticking_out(laid: list[Laid]) -> list[str]:
    """Return the texts that reach over the edge of their page's margins."""
    sheets = {part.page: part.box for part in laid if type(part.box).__name__ == "PageBox"}
    found = []
    for part in laid:
        sheet = sheets[part.page]
        right = sheet.content_box_x() + sheet.width + 0.5
        bottom = sheet.margin_height()
        if part.text.strip() and part.box.position_x + part.box.width > right:
            found.append(part.text)
        if part.text.strip() and part.box.position_y + part.box.height > bottom:
            found.append(part.text)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("text", ["x" * 10_000, "plank " * 1_700, "甲" * 10_000])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_text_of_ten_thousand_characters_keeps_the_layout(text: str, paper: str) -> None:
    """A text without end is cut, wraps within its cell, and no row of a table is split by it."""
    view = replace(everywhere(text), how_to_read=(), caution="", remade_by="fairhours")
    laid = laid_out(view, paper)

    assert "[cut here, 10 " in text_of(laid)
    assert split_rows(laid) == []
    assert sticking_out(laid) == []


def many(count: int) -> OwnerVariations:
    """Return the landing's statement with so many more requests that wait."""
    rows = [
        landing.change(
            f"R-{number:03}",
            f"Cleat number {number} set along the edge" + " with a plate beneath it" * (number % 4),
            state_on=date(2026, 8, 21),
            hours_ms=3_600_000,
            price=Decimal("100.00"),
        )
        for number in range(count)
    ]
    waiting = [landing.AwaitingRow(*of_change(row)) for row in rows]
    sums = landing.SUMS | {"submitted_not_added": Decimal("5895.00") + 100 * count}
    return replace(
        LANDING,
        changes=(*CHANGES, *rows),
        details=(*LANDING.details, *map(priced_alone, rows)),
        awaiting=(*AWAITING, *waiting),
        sums=landing.sum_rows(sums),
    )


def priced_alone(row: ChangeRow) -> ChangeDetail:
    """Return the detail of a request priced as one line of labour."""
    line = landing.labour("carpentry", "1", "100.0000", "100.00")
    return replace(landing.detail_of(row), lines=(line,))


def of_change(row: ChangeRow) -> tuple[Any, ...]:
    return row.change, row.title, row.state_on, None, None, False, row.hours_ms, row.price


@pytest.mark.parametrize("count", slow_beyond(1, range(2, 16)))
def test_totals_and_heads_of_groups_have_company(count: int) -> None:
    """Wherever a page ends, no group's head is left behind and no total goes over alone."""
    laid = lists_laid_out(many(count))

    assert lonely_rows(laid) == []
    assert split_rows(laid) == []


@pytest.mark.slow
def test_three_hundred_requests_are_all_shown() -> None:
    """A long table goes over many pages: heads repeated, rows whole, nothing left out."""
    laid = lists_laid_out(many(300))
    text = text_of(laid)
    heads = {part.page for part in laid if part.tag == "thead"}
    rows = {part.page for part in laid if part.text.startswith("R-")}

    assert [n for n in range(300) if text.count(f"R-{n:03}") != 2] == []
    assert rows <= heads
    assert split_rows(laid) == []
    assert sticking_out(laid) == []
    assert lonely_rows(laid) == []
