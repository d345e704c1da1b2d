"""A link on paper names the page that it leads to, and no page is made twice for it."""

import logging
import subprocess
from datetime import UTC, datetime

import pytest

from ledger.reports import pages
from ledger.reports.page_numbers import COUNTER
from ledger.reports.rendering import render
from ledger.reports.tables import Print
from tests.reports._landing import LANDING, RECORDED_AT

OUT = Print("A4", datetime(2026, 9, 6, tzinfo=UTC), (), "", "pdf/ua-1")
PAGE = """<!doctype html><html lang="en"><title>Slipway</title>
<style>article { break-before: page } th a::after { content: CONTENT }</style>
<table><tr><th><a href="#keel">Keel</a></th><th><a href="#rudder">Rudder</a></th></tr></table>
<article id="keel">Keel</article><article></article><article id="rudder">Rudder</article></html>"""


def words_of(made: bytes) -> list[str]:
    """Return the words of a PDF, as poppler's pdftotext reads them."""
    done = subprocess.run(["pdftotext", "-", "-"], input=made, capture_output=True, check=True)
    return done.stdout.decode("utf-8").split()


@pytest.mark.parametrize(
    ("content", "most"),
    [
        (f'" p. " {COUNTER}', 4),
        (f'" p. " {COUNTER} "."', 12),  # No place for it is known: the library counts.
    ],
)
def test_a_link_names_the_page_of_what_it_leads_to(
    content: str, most: int, caplog: pytest.LogCaptureFixture
) -> None:
    """Each number is that of its page, and where it ends the words every page is made once."""
    with caplog.at_level(logging.INFO, "weasyprint.progress"):
        made = pages.printed(PAGE.replace("CONTENT", content), OUT, [])
    makings = [
        record.getMessage()
        for record in caplog.records
        if record.getMessage().startswith("Step 5 - Creating layout - Page")
        and "up-to-date" not in record.getMessage()
    ]
    words = [word.rstrip(".") for word in words_of(made)]

    assert words == ["Keel", "p", "2", "Rudder", "p", "4", "Keel", "Rudder"]
    assert len(makings) <= most


@pytest.mark.slow
def test_a_statement_names_the_pages_that_the_library_would(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The statement has the same words in the same places as when the library counts its pages."""
    numbered = words_of(render(LANDING, "pdf", recorded_at=RECORDED_AT))
    monkeypatch.setattr(pages, "are_numbered", lambda document: False)
    counted = words_of(render(LANDING, "pdf", recorded_at=RECORDED_AT))

    assert numbered == counted
    assert "page" in counted
