"""The demo yard's papers: one change is the same on each, and a statement ends on a full page."""

import subprocess
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.commands.access import ReadAccess
from ledger.reports.figures import number_text
from tests._stage import copied
from tests.conftest import Yard
from tests.reports._papers import counted, on_papers, on_statement

DAY = date(2026, 11, 1)


@pytest.mark.slow
def test_all_papers_of_the_demo_agree_on_days(demo_book: Yard) -> None:
    """Of each of the ferry's changes statement, order, request and quotation have the same days."""
    with ReadAccess(demo_book.book).reading() as book:
        stated = on_statement(book, "FERRY", DAY)
        papers = {code: set(on_papers(book, "FERRY", code, DAY)) for code in stated}
    astray = {
        code: (stated[code], said)
        for code, said in papers.items()
        if any(counted(words) != counted(stated[code]) for words in said)
    }

    assert astray == {}
    assert sum(map(bool, papers.values())) > 10
    assert {code: stated[code] for code in ("CR02", "CR10", "CR11")} == {
        "CR02": "time reserved",
        "CR10": "4 requested",
        "CR11": "time reserved",
    }


def pages_of(pdf: Path) -> list[str]:
    """Return the text of each page of a PDF, blanks alike."""
    text = subprocess.run(["pdftotext", pdf, "-"], check=True, capture_output=True, text=True)
    return [" ".join(page.split()) for page in text.stdout.split("\f")[:-1]]


# The day it is issued and the status date; the last of them says what moved since the first.
STATEMENTS = (("2026-11-05T09:00:00+00:00", "2026-10-04"), ("2026-11-05T10:00:00+00:00", str(DAY)))


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_an_issued_statement_ends_under_its_last_change(
    demo_book: Yard, tmp_path: Path, paper: str
) -> None:
    """With what moved it has less than twelve pages on each paper, and no proof stands alone."""
    yard, out = copied(demo_book.book, tmp_path), tmp_path / "statement.pdf"
    for instant, day in STATEMENTS:
        asked = ("--job", "FERRY", "--status-date", day, "--paper", paper, "--out", out)
        yard.run("--recorded-at", instant, "issue", "statement", *asked)
    pages = pages_of(out)

    assert any("Since the last statement" in page for page in pages)
    assert len(pages) < 12
    assert "Where the figures come from" in pages[-1]
    assert "CR06 ·" in pages[-1]


@pytest.mark.slow
def test_a_short_order_is_one_page_and_adds_to_the_sum(demo_book: Yard, tmp_path: Path) -> None:
    """Three lines, the sum and both signatures; daywork whose value is agreed stands at that."""
    pages = {}
    for code in ("CR10", "CR15"):
        out = tmp_path / f"{code}.pdf"
        demo_book.run("issue", "variation-order", "--job", "FERRY", code, "--draft", "--out", out)
        pages[code] = pages_of(out)
    sums = demo_book.json("changes", "--job", "FERRY", "--status-date", DAY)
    adjusted = " ".join(number_text(sums["adjusted_sum"].quantize(Decimal("0.01"))).split())

    assert len(pages["CR10"]) == 1
    assert "Value agreed since, against the estimate" in pages["CR15"][0]
    assert pages["CR15"][0].count(adjusted) == 2
