"""The owner's statement comes out as the same file every time, whole, and readable by all."""

import base64
import json
import logging
import os
import re
import shutil
import socket
import subprocess
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path

import page
import pytest

from ledger.cli.refusals.worded import worded
from ledger.errors import Refused, WrongUsage
from ledger.reports import pages
from ledger.reports.canonical import canonical_json, digest
from ledger.reports.designs import KINDS
from ledger.reports.owner.page import owner_page
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.rendering import RenderChoices, render, write
from ledger.reports.tables import Print
from ledger.reports.templates import gather
from tests.conftest import slow_beyond, slow_case
from tests.reports import _landing as landing
from tests.reports._again import made_again
from tests.reports._landing import LANDING, RECORDED_AT
from tests.reports._paper import Elements, html_of, laid_out, text_of

AGAIN = """
import sys
from ledger.reports.rendering import render
from tests.reports._landing import LANDING, RECORDED_AT
sys.stdout.buffer.write(render(LANDING, sys.argv[1], recorded_at=RECORDED_AT))
"""
REHEARSAL = replace(LANDING, rehearsal=True)
VIEWS = {
    "landing": LANDING,
    "without requests": landing.without_requests(),
    "without overrun": landing.without_overrun(),
    "rehearsal": REHEARSAL,
}


def conforms(made: bytes) -> list[str]:
    """Return what PDF/UA-1 finds wrong."""
    report = page.validate_pdf_bytes(made, profile=page.ValidationProfile.PDF_UA_1)
    return [f"{failure.rule_id}: {failure.message}" for failure in report.failures]


@pytest.mark.parametrize("kind", [slow_case("pdf"), *(kind for kind in KINDS if kind != "pdf")])
def test_same_statement_same_bytes(kind: str) -> None:
    """Two makings in two processes with other hashes and clocks give one file."""
    here = render(LANDING, kind, recorded_at=RECORDED_AT)
    there = made_again(AGAIN, kind)

    assert there == here


@pytest.mark.parametrize(("medium", "element"), [("screen", "<bdi>"), ("paper", "")])
def test_words_in_a_cell_keep_their_own_direction(medium: str, element: str) -> None:
    """A browser needs an element for that; paper, which sets each line by itself, carries none."""
    made = pages.html(owner_page(LANDING), gather("owner_variations.html"), of(medium))
    cells = re.findall('<td class="text">(<bdi>)?', made)

    assert len(cells) > 20
    assert set(cells) == {element}


def test_paper_has_each_measure_where_it_is_named() -> None:
    """A style on paper names none, its words are as they were; a page without measures stays."""
    made = pages.html(owner_page(LANDING), gather("owner_variations.html"), of("paper"))
    page = made.replace("<main>", "<main>var(--ink)")
    style, rest = pages.with_measures(page).split("</style>")

    assert "var(" not in style
    assert "color: #1c2530;" in style
    assert rest == page.split("</style>")[1]
    assert pages.with_measures("<style>p { color: var(--ink) }</style>").count("var(") == 1


def of(medium: str) -> Print:
    return Print("A4", RECORDED_AT, medium=medium)


@pytest.mark.parametrize("kind", [slow_case("pdf"), "html", "xlsx"])
def test_files_are_dated_by_the_record(kind: str) -> None:
    """The date inside a file is that of the batch it was known at, so another batch shows."""
    here = render(LANDING, kind, recorded_at=RECORDED_AT)
    elsewhere = RECORDED_AT.astimezone(timezone(timedelta(hours=9)))
    later = RECORDED_AT + timedelta(seconds=1)

    assert render(LANDING, kind, recorded_at=elsewhere) == here
    assert render(LANDING, kind, recorded_at=later) != here


def test_the_clock_of_the_libraries_is_put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """What stood in the environment before a page was made stands there after."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "12")
    with pages.source_date(RECORDED_AT):
        during = os.environ["SOURCE_DATE_EPOCH"]
    after = os.environ["SOURCE_DATE_EPOCH"]
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    with pages.source_date(RECORDED_AT):
        pass

    # 2026-09-07T15:04:05Z is 20,703 days and 54,245 seconds after 1970.
    assert (during, after) == (str(20_703 * 86_400 + 54_245), "12")
    assert "SOURCE_DATE_EPOCH" not in os.environ


MARK = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 1"><path d="M0 0h4v1H0z"/>{}</svg>'


def with_mark(inside: str) -> RenderChoices:
    encoded = base64.b64encode(MARK.format(inside).encode()).decode()
    return RenderChoices(logo=f"data:image/svg+xml;base64,{encoded}")


@pytest.mark.slow
def test_the_logo_stands_at_the_head_of_the_page() -> None:
    """The yard's picture is in the page, and the PDF with it still conforms."""
    choices = with_mark("")
    text = render(LANDING, "html", recorded_at=RECORDED_AT, choices=choices).decode()
    made = render(LANDING, "pdf", recorded_at=RECORDED_AT, choices=choices)

    head = f'<img class="logo" alt="Logo of {LANDING.yard.name}" src="{choices.logo}">'
    assert text.count(head) == 1
    assert conforms(made) == []
    assert made != render(LANDING, "pdf", recorded_at=RECORDED_AT)


@pytest.mark.slow
def test_a_logo_that_points_outside_fetches_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """A drawing that names a picture elsewhere is shown without it, and nobody is asked."""

    def refuse(*_: object) -> None:
        raise AssertionError("something was asked of the network")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    reaching = with_mark('<image href="http://192.0.2.1/a.png" width="1" height="1"/>')
    made = render(LANDING, "pdf", recorded_at=RECORDED_AT, choices=reaching)

    assert conforms(made) == []


def test_an_instant_without_zone_is_our_mistake() -> None:
    """A local time would make other bytes on another machine."""
    with pytest.raises(AssertionError):
        render(LANDING, "pdf", recorded_at=datetime(2026, 9, 7))  # noqa: DTZ001


@pytest.mark.parametrize("paper", slow_beyond(1, ["A4", "Letter"]))
@pytest.mark.parametrize("view", slow_beyond(1, VIEWS.values()), ids=VIEWS)
def test_pdf_conforms_to_pdf_ua(view: OwnerVariations, paper: str) -> None:
    """A page can be read aloud: tagged, titled, its tables with heads (ISO 14289-1)."""
    made = render(view, "pdf", recorded_at=RECORDED_AT, choices=RenderChoices(paper))

    assert made.startswith(b"%PDF-")
    assert conforms(made) == []


@pytest.mark.slow
@pytest.mark.parametrize("view", slow_beyond(1, VIEWS.values()), ids=VIEWS)
def test_pages_use_nothing_the_page_maker_does_not_know(
    view: OwnerVariations, caplog: pytest.LogCaptureFixture
) -> None:
    """No rule of the style is passed over in silence."""
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        render(view, "pdf", recorded_at=RECORDED_AT)
    # A machine may lack one system library; the page is made another way.
    actual = [text for text in caplog.messages if "HarfBuzz" not in text]

    assert actual == []


@pytest.mark.slow
@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
def test_paper_is_the_one_asked_for(paper: str, width: float, height: float) -> None:
    """Pages come as ISO A4 or as Letter, in millimetres."""
    first = laid_out(LANDING, paper)[0].box
    millimetre = 96 / 25.4  # CSS pixels.

    assert first.margin_width() / millimetre == pytest.approx(width, abs=0.01)
    assert first.margin_height() / millimetre == pytest.approx(height, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        "Statement of variations and open requests",
        "LANDING · Timber landing for the Osterby ferry",
        "Osterby Timber and Boat Works",
        "Slipway Road 4",
        "Owner Osterby Ferry Guild",
        "Statement Draft, not issued",
        "Contract sum EUR 612 400.00, signed 19 January 2026",
        "Status date 6 September 2026",
        "991 hours more than estimated",
        "Adjusted contract sum EUR 655 840.50 +43 440.50 on the contract sum",
        "Anticipated final sum EUR 677 820.50 +21 980.00 not agreed yet",
        "Awaiting your decision EUR 27 875.00 2 requests",
        "Completion 12 November 2026 30 October 2026 as signed; 9 days granted",
        (
            "V-11 Waiting shelter with bench on the landing (already instructed) 31 August 2026, "
            "overdue 204 21 980.00 Sent on 3 August 2026, with you for 34 days. The decision is 6 "
            "days late. The price lapses after 30 September 2026."
        ),
        "Approve Decline Name and signature Date",
        # 204 + 72.5, in whole hours
        "Awaiting your decision 277 27 875.00",
        "Already instructed, counted in the anticipated final sum 204 21 980.00",
        "Omissions −86.00 −9 420.00",
        "Daywork against its estimate – +560.50",
        # 231.75 is a step of its own: 24.5 + 61.25 + 118.33 + 43.5 + 7.67 = 255.25
        "Hours with no price effect +255.25 –",
        "Anticipated final 6 831.00 677 820.50",
        "Awaiting your decision, not added 72.50 5 895.00",
        "Not priced yet, so not in the sum: 1.",
        (
            "V-14 Lamp posts and cable duct along the approach Work instructed, no price sent "
            "16 899.00 Since 30 July 2026. Your instruction stands until you stop the work. Hours "
            "worked so far at contract rates: an indication, not a price. Not included in any sum."
        ),
        "Requests declined or withdrawn, not in any sum",
        "Over or under on the original work +118.33",
        "Anticipated final hours 6 831.00",
        "Handrail in larch instead of steel Approved 11 May 2026 Fixed price −86.00 −9 420.00 0",
        "Daywork, estimated until agreed 160.00 14 210.50 3",
        (
            "V-14 Lamp posts and cable duct along the approach Request: instructed; received "
            "27 August 2026, price to follow Fixed price – – –"
        ),
        "Approved variations, net 504.00 43 440.50 9",
        "Not charged 259.83",
        "Variation V-03 · Second mooring dolphin at the downstream end Status Approved",
        "Proposed variation, not approved V-11",
        "Origin Unforeseen condition",
        "Worked so far 131.00 h",
        "Drive and cap the dolphin Labour, piling 292.00 h 62.00 18 104.00",
        "Steel tube not bought Material −1 – 5 083.50 −5 083.50",
        "2026-04-14 Approved, revision 1, 6 days granted Minutes 2026-04-14 38 650.00",
        "No price has been submitted yet.",
        "It is not a notice, claim, invoice or approval: you approve only what you tick and sign",
        f"Record stamp 57 · {LANDING.known_at.head}",
        f"Digest of the content {digest(LANDING)}",
        f"To reproduce {LANDING.remade_by}",
    ],
)
def test_page_says(words: str) -> None:
    """The words and figures of the statement stand on the page, in this order."""
    assert words in Elements(html_of(LANDING)).text


def test_every_page_says_whose_day_and_record_it_is() -> None:
    """Behind the first, each page is headed with the job and the day; each has number and yard."""
    laid = laid_out(LANDING)
    last = laid[-1].page
    texts = {number: text_of(laid, number) for number in range(1, last + 1)}
    head = "LANDING · Timber landing for the Osterby ferry"
    foot = "Osterby Timber and Boat Works · Draft, not issued"

    assert last == 6
    assert all(head in text and "Status date 6 September 2026" in text for text in texts.values())
    assert all(foot in text for text in texts.values())
    # What proves the page stands at its very end.
    assert [number for number, text in texts.items() if "9f2d41c0" in text] == [6]
    assert all(f"Page {number} of 6" in text for number, text in texts.items())


@pytest.mark.slow
def test_a_rehearsal_says_so_on_every_page() -> None:
    """Nobody can take a page of a trial record for a real one."""
    laid = laid_out(REHEARSAL)
    pages_with = {part.page for part in laid if "Rehearsal: made from a trial" in part.text}

    assert pages_with == set(range(1, laid[-1].page + 1))
    assert "Rehearsal" not in text_of(laid_out(LANDING))


@pytest.mark.parametrize(
    "words",
    [
        "This job is expected to take the hours estimated.",
        "No request awaits your decision.",
        "No changes have been requested.",
        "There are no uncharged hours.",
        "30 October 2026 as signed; 0 days granted",
    ],
)
def test_nothing_asked_for_is_said(words: str) -> None:
    """An empty table is a sentence, never a head without rows."""
    assert words in Elements(html_of(landing.without_requests())).text


def test_a_job_that_hides_its_hours_shows_what_was_agreed_only() -> None:
    """Where the owner is not shown how hours run, only those of changes stand on the page."""
    text = Elements(html_of(landing.without_overrun())).text

    # V-11 alone is instructed and priced; neither the estimate nor its forecast is shown.
    assert "Adjusted – 655 840.50" in text
    assert "Requests not approved +204.00 +21 980.00" in text
    assert not any(hours in text for hours in ("5 840.00", "6 344.00", "6 831.00"))
    assert "is now EUR 655 840.50; 2 requests await your decision" in text
    assert not any(word in text for word in ("Anticipated final hours", "Rework", "not charged"))


def test_json_is_the_canonical_text() -> None:
    """The JSON file is what the digest on the page was taken over."""
    made = render(LANDING, "json", recorded_at=RECORDED_AT)

    assert made == canonical_json(LANDING)
    assert json.loads(made)["changes"][1]["price"] == "-9420.00"


def test_html_needs_nothing_from_elsewhere() -> None:
    """The file carries its style and font, and forbids the browser to load or run anything."""
    seen = Elements(html_of(LANDING))
    policy = (
        "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; "
        "form-action 'none'; base-uri 'none'"
    )
    loading = {"src", "href", "data", "action", "poster", "background", "srcset"}

    assert ("content", policy) in seen.attributes
    named = [value for name, value in seen.attributes if name in loading]

    assert [value for value in named if not (value or "").startswith("#change-")] == []
    assert len(named) == 12  # 9 changes in the list, 2 awaiting a decision, 1 open besides.
    assert html_of(LANDING).count("url(data:font/woff2;base64,") == 2
    assert html_of(LANDING).count("url(") == 2


@pytest.mark.parametrize(
    "name", [slow_case("v.pdf"), "v.html", "v.xlsx", "v.json", slow_case("V.PDF"), "V.HTML"]
)
def test_the_ending_decides(name: str, tmp_path: Path) -> None:
    """A file is made as its name ends, in capitals or not."""
    write(LANDING, tmp_path / name, recorded_at=RECORDED_AT)
    kind = name.lower().partition(".")[2]

    assert (tmp_path / name).read_bytes() == render(LANDING, kind, recorded_at=RECORDED_AT)


@pytest.mark.parametrize("name", ["v.docx", "v", "pdf", "v.pdf.gz"])
def test_another_ending_is_refused(name: str, tmp_path: Path) -> None:
    """Any other ending is wrong usage, said before anything is written."""
    path = tmp_path / name
    with pytest.raises(WrongUsage) as caught:
        write(LANDING, path, recorded_at=RECORDED_AT)

    assert worded(caught.value) == f"{path}: unknown ending; use one of .pdf, .html, .xlsx, .json"
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    """A report that cannot be written says where and why."""
    path = tmp_path / "none" / "v.json"
    with pytest.raises(Refused) as caught:
        write(LANDING, path, recorded_at=RECORDED_AT)

    assert worded(caught.value) == f"{path}: cannot be written: No such file or directory"


@pytest.mark.parametrize(
    ("kind", "paper", "expected"),
    [
        ("docx", "A4", 'unknown report format "docx"; use one of pdf, html, xlsx, json'),
        ("pdf", "A5", 'unknown paper "A5"; use A4 or Letter'),
    ],
)
def test_other_kinds_and_papers_are_refused(kind: str, paper: str, expected: str) -> None:
    """A kind or paper that is not known is wrong usage."""
    with pytest.raises(WrongUsage) as caught:
        render(LANDING, kind, recorded_at=RECORDED_AT, choices=RenderChoices(paper))

    assert worded(caught.value) == expected


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="pdftotext is not installed")
def test_words_can_be_taken_from_the_pdf(tmp_path: Path) -> None:
    """Text and figures can be searched for and copied from the file."""
    path = tmp_path / "v.pdf"
    write(LANDING, path, recorded_at=RECORDED_AT)
    taken = subprocess.run(
        ["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    text = " ".join(taken.split())

    assert "Statement of variations and open requests" in text
    assert "Anticipated final 6 831.00 677 820.50 Hours as forecast" in text
    assert "Approved 11 May 2026 Fixed price −86.00 −9 420.00" in text
    assert "Page 6 of 6" in text
