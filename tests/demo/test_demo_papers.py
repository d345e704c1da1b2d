"""The demo yard's papers: what they say of one change is the same on each."""

from datetime import date

import pytest

from ledger.commands.access import ReadAccess
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
