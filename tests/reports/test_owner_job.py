"""A job on one page for its owner: the statement's figures, the account's, and nothing besides."""

import io
import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from ledger.billing.account import billed
from ledger.domain.overrun import STEPS
from ledger.reports.owner.job_build import job_account
from ledger.reports.owner.job_tables import waits_for
from ledger.reports.owner.wording import HOURS_LABELS
from ledger.reports.rendering import RenderChoices, render
from ledger.store.book import open_book
from tests.billing._job import claimed
from tests.conftest import Yard
from tests.reports._browser import asked_for, browser, needs_browser, shown
from tests.reports._landing import LANDING, RECORDED_AT
from tests.reports._owner_job import ACCOUNT, STATEMENT, VIEW, WITHOUT_HOURS
from tests.reports._paper import html_of
from tests.reports.test_hostile import HOSTILE

DAY = "2026-03-27"


def test_an_account_that_does_not_add_up_is_no_view() -> None:
    """What is owed is invoiced less what is taken off, and the sum of the invoices."""
    for wrong in ({"paid_to_date": Decimal("1.00")}, {"invoices": ACCOUNT.invoices[1:]}):
        with pytest.raises(AssertionError):
            replace(ACCOUNT, **wrong)


def test_each_change_says_what_it_waits_for() -> None:
    """A price sent waits for the owner, a rough one for a firm one; others may be open."""
    (first, *others) = LANDING.awaiting
    waits = waits_for(replace(LANDING, awaiting=(replace(first, rough=True), *others)))

    assert {code: words for code, words in waits.items() if words} == {
        "V-11": "firm_price",
        "V-12": "decision",
        "V-14": "matter",
    }


@pytest.mark.slow
def test_an_owner_who_is_shown_no_hours_reads_none() -> None:
    """Without the agreement the page has neither the steps of the hours nor their chart."""
    (with_hours, without) = (html_of(view) for view in (VIEW, WITHOUT_HOURS))
    steps = [HOURS_LABELS[step] for step in (STEPS[0], "rework", "non_productive", STEPS[-1])]

    assert [words in with_hours for words in steps] == [True] * 4
    assert [words in without for words in steps] == [False] * 4
    assert with_hours.count("<figure>") == without.count("<figure>") + 1


@pytest.mark.slow
def test_the_workbook_has_each_table() -> None:
    """Every table of the page is a sheet, in the owner's language."""
    made = render(VIEW, "xlsx", recorded_at=RECORDED_AT, choices=RenderChoices(language="de"))
    names = openpyxl.load_workbook(io.BytesIO(made)).sheetnames

    assert len(names) == 1 + html_of(VIEW).count("<caption>")
    assert "Rechnungen" in names


def booked(yard: Yard) -> None:
    """Make a job that is claimed, invoiced and paid in part, with a change that waits."""
    job = claimed(yard, "10000.00", rates="30")
    job.work("2026-03-02,9,P1,", "2026-03-26,6.5,P2,")
    job.change("V1", "1,piece,400", events=("V1,submitted,2026-02-02",))
    job.claim_to(DAY, "base 50")
    job.bill(1, DAY)
    job.load("payments", f"invoice,date,amount\nINV-0001,{DAY},1000.00\n")


@pytest.mark.slow
def test_every_figure_is_that_of_the_statement_and_the_account(yard: Yard) -> None:
    """The page's data has the statement's figures, and the account's of the same day."""
    yard.copy_made_by(booked)
    found: dict[str, Any] = {}
    for name in ("job", "variations"):
        out = yard.folder / f"{name}.json"
        words = ("report", name, "--job", "CLAIM", "--status-date", DAY, "--out", out)
        said = yard.run(*words).stderr
        found[name] = json.loads(out.read_text(encoding="utf-8"))
    statement, owed = found["job"]["statement"], found["job"]["account"]
    account = yard.json("account", "--job", "CLAIM", "--to", DAY)
    apart = {"remade_by", "caution"}

    assert f"CLAIM on {DAY}" in said
    assert {k: v for k, v in statement.items() if k not in apart} == {
        k: v for k, v in found["variations"].items() if k not in apart
    }
    assert (owed["claimed_value"], owed["certified_value"]) == ("5000.00", "5000.00")
    assert [row["state"] for row in statement["changes"]] == ["submitted"]
    shared = {name for name, value in owed.items() if isinstance(value, str)} & account.keys()
    assert shared >= {"invoiced_to_date", "credited_to_date", "paid_to_date", "outstanding"}
    assert {k: Decimal(owed[k]) for k in shared} == {k: account[k] for k in shared}


@pytest.mark.slow
def test_nothing_is_overdue_of_what_was_paid_beyond_an_invoice(yard: Yard) -> None:
    """6,050.00 were invoiced and 6,100.00 paid: the owner is owed 50.00, and nothing is overdue."""
    job = claimed(yard, "10000.00")
    job.claim_to("2026-02-27", "base 50")
    job.bill(1, "2026-02-27")
    job.load("payments", "invoice,date,amount\nINV-0001,2026-03-02,6100.00\n")
    with open_book(yard.book) as book:
        found = job_account(billed(book, job.job, date.fromisoformat(DAY)))

    assert (found.outstanding, found.overdue) == (-50, 0)


@pytest.fixture(scope="module")
def driver() -> Iterator[Playwright]:
    """What starts and steers browsers, for the tests of this module."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="module")
def started(driver: Playwright) -> Iterator[Browser]:
    """One browser for the tests of this module."""
    with browser(driver) as running:
        yield running


@pytest.mark.slow
@needs_browser
def test_tables_are_sorted_in_the_owners_language(started: Browser, tmp_path: Path) -> None:
    """A German page says in German how it is sorted, by the one packaged script."""
    made = render(
        VIEW, "html", recorded_at=RECORDED_AT, choices=RenderChoices(language="de")
    ).decode()
    with shown(started, made, tmp_path) as page:
        table = page.locator("table.sortable").last
        table.get_by_role("button").first.press("Enter")
        table.get_by_role("button").first.press("Enter")
        said = page.get_by_role("status").inner_text()
        first = table.locator("tbody th").first.inner_text()
        figure = page.locator("figure").first
        figure.locator(".spot").last.hover()
        told = figure.locator(".reading").inner_text()

    assert said == "Sortiert nach Rechnung, absteigend."
    assert first == "INV-0002"
    assert re.sub("[\u00a0\u202f]", " ", told).endswith("677.820,50 EUR")


@pytest.mark.slow
@needs_browser
def test_the_page_asks_for_nothing_and_runs_nothing_else(
    driver: Playwright, started: Browser, tmp_path: Path
) -> None:
    """What was typed stays text in every table and chart, and nothing is fetched."""
    texts = "".join(HOSTILE.values()) + "<script>document.title='it ran'</script>"
    job = replace(STATEMENT.job, title=texts, currency=texts, owner=texts)
    changes = tuple(replace(each, title=texts) for each in STATEMENT.changes)
    hostile = html_of(replace(VIEW, statement=replace(STATEMENT, job=job, changes=changes)))

    assert asked_for(driver, [html_of(VIEW), hostile], tmp_path) == set()
    with shown(started, hostile, tmp_path) as page:
        assert page.title() != "it ran"
