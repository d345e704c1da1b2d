"""Documents for the owner as pages: what each says, who signs, and that everybody can read them."""

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import sync_playwright

from ledger.domain.documents import INVOICES, OF_A_CHANGE
from ledger.reports.owner.document_build import OWNER_DOCUMENTS
from ledger.reports.rendering import render
from ledger.reports.safe_page import complaint
from tests.conftest import slow_beyond
from tests.reports._browser import PHONE, asked_for, browser, needs_browser, shown, violations
from tests.reports._landing import RECORDED_AT
from tests.reports._letters import HEAD, LETTERS, ODD, WORKED, html_of
from tests.reports._paper import laid_out
from tests.reports._yard_pages import conforms

EVERY = {**LETTERS, **ODD}
KINDS = (*OF_A_CHANGE, "claim", "final_account", *INVOICES)
ISO_DATE = re.compile(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")
FOUR_CM = 151  # In pixels of a page.
BODY = re.compile(r"<body>.*</body>", re.DOTALL)


def words_of(view: Any) -> str:
    """Return what stands on a page, without marks, blanks alike."""
    body = BODY.search(html_of(view, "paper"))
    assert body
    return " ".join(re.sub("<[^>]*>", " ", body[0]).replace("\N{NO-BREAK SPACE}", " ").split())


def test_there_is_a_letter_of_every_kind() -> None:
    """Each kind that can be issued has its page, and is looked at by these tests."""
    assert tuple(OWNER_DOCUMENTS) == KINDS == tuple(LETTERS)
    assert [type(view) for view in LETTERS.values()] == [e.view for e in OWNER_DOCUMENTS.values()]


@pytest.mark.parametrize("view", EVERY.values(), ids=EVERY)
def test_dates_are_written_out_and_nothing_is_loaded(view: Any) -> None:
    """A page for people has no ISO date, and nothing in it runs, loads or sends."""
    assert ISO_DATE.findall(words_of(view)) == []
    assert complaint(html_of(view)) == ""


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("quotation", "We offer to carry out the change below at EUR 60.00, without tax."),
        ("quotation", "Valid until 30 October 2026"),
        ("quotation", "Time 3 days added to the completion date"),
        ("quotation", "What this price rests on, and what it leaves out The brackets come from"),
        ("reserved", "Time Time reserved effect on completion not settled"),
        ("reserved", "we keep our right to ask for the time"),
        ("forty lines", "Price, without tax 4 560.00"),
        ("variation_order", "Proposed variation order"),
        ("variation_order", "With this order 1 480 060.00"),
        ("variation_order", "Completion with it 14 October 2026"),
        ("variation_order", "What this price rests on, and what it leaves out The brackets come"),
        ("approved", "It was approved on 2 October 2026 (letter of 2 October)."),
        ("instruction_confirmation", "Jo Lind instructed us on 2 October 2026"),
        ("instruction_confirmation", "Jo Lind is not on our list of those who may instruct"),
        ("instruction_confirmation", "takes it as confirmed from 9 October 2026"),
        ("decision_request", "Approved at EUR 60.00, without tax, as offered in revision 2"),
        ("decision_request", "We do not begin the work until then."),
        ("nothing priced", "We need your decision on the change below as soon as you can give it."),
        ("nothing priced", "The work goes on as instructed until then."),
        ("notice", "Notice of an event that may cost time and money"),
        ("notice", "We became aware of it on 2 October 2026"),
        ("daywork_sheet", "Hours in all 146.67"),
        ("daywork_sheet", "Daywork sheet for agreement"),
        ("for record", "You do not agree that they are to be paid for."),
        ("for record", "Remark"),
        ("right to left", "Draft: not issued, without a number"),
    ],
)
def test_a_document_says_what_it_is_for(name: str, said: str) -> None:
    """What a kind must say stands on its page, in the trade's words."""
    assert said in words_of(EVERY[name])


def test_a_record_has_room_for_a_remark() -> None:
    """What is noted on a sheet for record is written by hand: its column has 4 cm at the least."""
    laid = laid_out(ODD["for record"])
    cells = [
        each.box for each in laid if each.tag == "td" and each.box.element.get("class") == "remark"
    ]
    widths = [cell.border_width() for cell in cells]

    assert len(widths) > len(WORKED)
    assert min(widths) > FOUR_CM


def test_an_approved_order_is_not_proposed() -> None:
    """Only what is not approved is headed as proposed; both are signed by both parties."""
    pages = [words_of(ODD["approved"]), words_of(LETTERS["variation_order"])]

    assert [page.count("Proposed") > 0 for page in pages] == [False, True]
    for page in pages:
        assert f"For {HEAD.yard.name} I agree to this change" in page
        assert "Signatures" in page


@pytest.mark.parametrize("name", slow_beyond(1, [*LETTERS, *ODD]))
def test_every_kind_can_be_read_aloud(name: str) -> None:
    """The PDF of each kind, and of the odd ones, keeps to PDF/UA-1."""
    assert conforms(render(EVERY[name], "pdf", recorded_at=RECORDED_AT)) == []


@pytest.mark.slow
@needs_browser
def test_everyone_can_use_the_documents(tmp_path: Path) -> None:
    """No rule of axe-core is broken by any of them, on a phone too, and none asks for anything."""
    with sync_playwright() as driver:
        with browser(driver) as started:
            for name, view in EVERY.items():
                with shown(started, html_of(view), tmp_path, PHONE) as page:
                    assert violations(page) == [], name
        assert asked_for(driver, [html_of(view) for view in LETTERS.values()], tmp_path) == set()
