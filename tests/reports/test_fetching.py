"""Making a PDF reaches for nothing: whatever a page names elsewhere stops it."""

import base64
import logging
import socket
from typing import Any, NoReturn

import pytest
import weasyprint

from ledger.cli.refusals.worded import worded
from ledger.errors import Refused
from ledger.reports import pages
from ledger.reports.rendering import render
from tests.reports._landing import LANDING, RECORDED_AT

HOST = "http://192.0.2.1/a"
FILE = "file:///etc/hostname"
PAGE = '<html lang="en"><title>a</title>{}<p>a</p>'
DRAWN = f'<image href="{HOST}" width="9" height="9"/>'
NESTED = base64.b64encode(
    f'<svg xmlns="http://www.w3.org/2000/svg">{DRAWN}</svg>'.encode()
).decode()
REACHING = {
    "picture": f'<img alt="a" src="{HOST}">',
    "object": f'<object data="{HOST}">a</object>',
    "embedded": f'<embed src="{HOST}">',
    "style sheet": f'<link rel="stylesheet" href="{HOST}">',
    "style sheet taken in": f'<style>@import "{HOST}";</style>',
    "background": f"<style>p {{ background: url({HOST}) }}</style>",
    "content": f"<style>p::before {{ content: url({HOST}) }}</style>",
    "mark of a list": f"<style>p {{ display: list-item; list-style: url({HOST}) }}</style>",
    "font": f"<style>@font-face {{ font-family: a; src: url({HOST}) }} p {{ font: 9pt a }}</style>",
    "page attached": f'<link rel="attachment" href="{HOST}">',
    "picture of a file": f'<img alt="a" src="{FILE}">',
    "file attached": f'<link rel="attachment" href="{FILE}">',
    "file attached to words": f'<a rel="attachment" href="{FILE}">a</a>',
}
# Here the page is made without what it names, which the log says.
LEFT_OUT = {
    "picture drawn": f'<svg width="9" height="9">{DRAWN}</svg>',
    "picture within": f'<img alt="a" src="data:image/svg+xml;base64,{NESTED}">',
    "file beside": '<link rel="stylesheet" href="tokens.css">',
}


def refuse(*_: Any) -> NoReturn:
    raise AssertionError("something was asked of the network")


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is looked up while a page is made; the network itself is cut off."""
    looked_up: list[str] = []

    def asking(url: str) -> Any:
        looked_up.append(url)
        return original(url)

    original = pages.only_data
    monkeypatch.setattr(pages, "only_data", asking)
    monkeypatch.setattr(socket.socket, "connect", refuse)
    return looked_up


def made_of(reaching: str, monkeypatch: pytest.MonkeyPatch) -> bytes:
    monkeypatch.setattr(pages, "html", lambda *_: PAGE.format(reaching))
    return render(LANDING, "pdf", recorded_at=RECORDED_AT)


@pytest.mark.parametrize("reaching", REACHING.values(), ids=REACHING)
def test_what_lies_elsewhere_stops_the_making(
    reaching: str, asked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No address but data is fetched, in the page, its style or as a file attached."""
    address = FILE if FILE in reaching else HOST
    with pytest.raises(Refused) as caught:
        made_of(reaching, monkeypatch)

    assert worded(caught.value) == f"a page may hold data: addresses only, not {address}"
    assert asked == [address]


@pytest.mark.parametrize("reaching", LEFT_OUT.values(), ids=LEFT_OUT)
def test_what_is_not_fetched_is_left_out_and_said(
    reaching: str,
    asked: list[str],
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    """A drawing that names a picture, or a file beside the page, is not followed."""
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        made = made_of(reaching, monkeypatch)

    assert made.startswith(b"%PDF-")
    assert [url for url in asked if not url.startswith("data:")] in ([], [HOST])
    assert any(said in " ".join(caplog.messages) for said in ("Failed to render", "tokens.css"))


@pytest.mark.slow
def test_the_attached_content_has_the_same_fetcher(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is attached comes from memory, and could fetch nothing either."""
    given: list[dict[str, Any]] = []

    class Recorded(weasyprint.Attachment):
        def __init__(self, **words: Any) -> None:
            given.append(words)
            super().__init__(**words)

    monkeypatch.setattr(weasyprint, "Attachment", Recorded)
    render(LANDING, "pdf", recorded_at=RECORDED_AT)

    assert [words["url_fetcher"] for words in given] == [pages.only_data]
    assert [{"url", "filename", "guess", "file_obj"} & set(words) for words in given] == [set()]
