"""The overview of all jobs: its figures are the commands', and everybody can use the page."""

import re
import shlex
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from ledger.cli.wording.pages import COMMANDS
from ledger.reports.rendering import RenderChoices, render
from ledger.reports.safe_page import POLICY, complaint, policy_of
from ledger.reports.sorting import ranks
from ledger.reports.tables import Cell, Column, Row, Table
from ledger.reports.yard.overview import Overview
from ledger.reports.yard.overview_build import build_overview
from ledger.resources import root
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.reports import _owner_job as owner_job
from tests.reports._browser import (
    NARROW,
    PHONE,
    WIDE,
    asked_for,
    browser,
    needs_browser,
    shown,
    violations,
)
from tests.reports._landing import RECORDED_AT
from tests.reports._overview import HOUR, NO_JOBS, VIEW
from tests.reports._paper import html_of
from tests.reports.test_hostile import HOSTILE
from tests.reports.test_week import found, rounded
from tests.test_small_sample import build

TO = "2026-03-22"
SCRIPT = root("templates").joinpath("overview.js").read_text(encoding="utf-8")
ELEMENT = f"<script>{SCRIPT}</script>"
VIEWS = {
    "three jobs": VIEW,
    "no jobs": NO_JOBS,
    "owner's job": owner_job.VIEW,
    "owner's job without hours": owner_job.WITHOUT_HOURS,
    "owner's job, nothing asked": owner_job.NOTHING_ASKED,
}


def test_a_page_has_its_own_script_and_no_other() -> None:
    """The packaged script stands once, as it was packaged, under a policy that names it alone."""
    made = re.sub("<style>.*?</style>", "", html_of(VIEW), flags=re.DOTALL)
    changed = SCRIPT.replace("ascending", "descending")

    assert complaint(made, SCRIPT) == ""
    assert complaint(made) == complaint(made.replace(policy_of(SCRIPT), POLICY), SCRIPT) != ""
    for other, said in (
        (made.replace(SCRIPT, changed), "a page has no <script>"),
        (made.replace(ELEMENT, ELEMENT * 2), "a page has no <script>"),
        (made.replace("<script>", '<script src="data:,a()">'), "a page has no <script>"),
        (made.replace(ELEMENT, ""), "the page has lost its script"),
        (made.replace("<main>", '<main onclick="a()">'), "a page has no attribute onclick"),
    ):
        assert other != made
        assert complaint(other, SCRIPT) == said


def test_cells_are_ranked_by_their_values() -> None:
    """Numbers go by size, texts without regard to case; equals share a rank."""
    rows: list[tuple[Cell, ...]] = [
        ("b", Decimal("9.5")),
        ("A", 10),
        ("c", None),
        ("B", Decimal("9.50")),
    ]
    columns = (Column("Job", "code"), Column("Hours", "hours"))
    table = Table("T", "T", columns, tuple(map(Row, rows)))

    assert [numbers for _, numbers in ranks(table)] == ["1", "2", "", "1"]
    assert [row[0] for row in ranks(table)].index("1") == 1


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Yard:
    """The small sample in a book, to be read only."""
    return build(Yard(tmp_path_factory.mktemp("built")))


@pytest.fixture(scope="module")
def data(built: Yard) -> Overview:
    """The overview of the small sample."""
    with open_book(built.book) as book:
        return build_overview(book, date.fromisoformat(TO), COMMANDS)


@pytest.mark.slow
def test_every_figure_is_that_of_the_command_it_names(built: Yard, data: Overview) -> None:
    """The commands are run, and their JSON looked through for each figure, week and step."""
    commands: dict[str, Any] = {}

    def opened(words: str) -> Any:
        if words not in commands:
            commands[words] = built.json(*shlex.split(words)[1:])
        return commands[words]

    astray = [
        (line.what, each.name, each.value)
        for line in (*data.of_yard, *(line for job in data.jobs for line in job.lines_of.lines))
        for each in line.figures
        if each.at
        and str(rounded(found(opened(line.opened_by), each.at), each.value)) != str(each.value)
    ]
    (job,) = data.jobs
    series, overrun = opened(job.weeks_opened_by), opened(job.steps_opened_by)
    weeks = [
        {name: Decimal(getattr(each, name)) / HOUR for name in ("pv", "ev", "ac")}
        for each in job.weeks
        if each.ac is not None
    ]

    assert astray == []
    assert {"missed", "sums", "account"} <= {line.what for line in job.lines_of.lines}
    assert weeks == [{name: row[name] for name in ("pv", "ev", "ac")} for row in series["rows"]]
    assert [Decimal(e.pv) / HOUR for e in job.weeks if e.ac is None] == [
        each["pv"] for each in series["to_come"]
    ]
    assert {e.step: Decimal(e.amount) / HOUR for e in job.steps} == {
        each["step"]: each["amount"] for each in overrun["steps"]
    }


@pytest.mark.slow
def test_the_command_makes_the_file(built: Yard, data: Overview, tmp_path: Path) -> None:
    """It says the week and the stamp; a PDF is printed from the browser."""
    out = tmp_path / "all.html"
    told = built.run("report", "overview", "--to", TO, "--out", str(out)).stderr
    refused = built.run("report", "overview", "--to", TO, "--out", "all.pdf", ok=False).stderr

    assert told == f"{out}: week to 2026-03-22, record stamp 15\n"
    assert data.jobs[0].job in out.read_text(encoding="utf-8")
    assert render(data, "xlsx", recorded_at=RECORDED_AT).startswith(b"PK")
    assert ".html, .xlsx" in refused


@pytest.mark.slow
def test_a_page_of_own_templates_runs_nothing(tmp_path: Path) -> None:
    """Own templates have no script: neither the packaged one nor, under its name, their own."""
    own = tmp_path / "own"
    own.mkdir()
    style = root("templates").joinpath("overview.css").read_text(encoding="utf-8")
    (own / "overview.css").write_text(style + "h1 { color: green; }", encoding="utf-8")
    (own / "overview.js").write_text("document.title = 'it ran';", encoding="utf-8")
    made = render(
        VIEW, "html", recorded_at=RECORDED_AT, choices=RenderChoices(templates=own)
    ).decode()

    assert "color: green" in made
    assert complaint(made) == ""
    assert "<script" not in made


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


def jobs_in(page: Page) -> list[str]:
    return page.locator("table.sortable").first.locator("tbody th").all_inner_texts()


@pytest.mark.slow
@needs_browser
@pytest.mark.parametrize("width", [WIDE, PHONE, NARROW])
@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_everyone_can_use_the_page(
    view: object, width: int, started: Browser, tmp_path: Path
) -> None:
    """No rule of axe-core is broken, sorted too; only tables and charts are moved sideways."""
    said: list[str] = []
    with shown(started, html_of(view), tmp_path, width) as page:
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.reload()
        for each in page.locator("button.sort").all():
            each.click()
        for each in page.locator("summary").all():
            each.click()

        assert violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") == width
    assert said == []


@pytest.mark.slow
@needs_browser
def test_a_table_is_sorted_by_keyboard(started: Browser, tmp_path: Path) -> None:
    """A head sorts up, then down; what has no value comes last, and the order is told."""
    with shown(started, html_of(VIEW), tmp_path) as page:
        before = jobs_in(page)
        late = page.get_by_role("button", name="Late")
        late.focus()
        page.keyboard.press("Enter")
        up, head = jobs_in(page), page.locator("th[aria-sort]").first
        told = head.get_attribute("aria-sort"), page.get_by_role("status").inner_text()
        page.keyboard.press("Space")

        assert before == ["BARGE", "LANDING", "SHED"]
        assert up == ["LANDING", "BARGE", "SHED"]
        assert told[0] == "ascending"
        assert told[1].endswith(", ascending.")
        assert jobs_in(page) == ["BARGE", "LANDING", "SHED"]
        assert head.get_attribute("aria-sort") == "descending"


@pytest.mark.slow
@needs_browser
def test_a_chart_tells_its_values_by_keyboard_and_pointer(started: Browser, tmp_path: Path) -> None:
    """One stop of the Tab key a chart, the arrows go along it; a pointer needs only to be there."""
    with shown(started, html_of(VIEW), tmp_path) as page:
        figure = page.locator("figure").nth(1)
        reading, spots = figure.locator(".reading"), figure.locator(".spot")
        stops = [each.get_attribute("tabindex") for each in spots.all()]
        figure.locator(".wide").focus()
        page.keyboard.press("Tab")
        first = reading.inner_text()
        page.keyboard.press("ArrowRight")
        second = reading.inner_text()
        page.keyboard.press("End")
        last = reading.inner_text()
        spots.nth(3).hover()

        assert stops == ["0", "-1", "-1", "-1", "-1"]
        assert first.replace("\u00a0", " ").endswith(
            "planned 90.00 h, earned 80.00 h, booked 100.00 h"
        )
        assert "planned 180.00 h, earned 160.00 h" in second
        assert last.endswith("planned 450.00 h")
        assert "planned 360.00 h" in reading.inner_text()
        named = page.get_by_role("img", name="BARGE: +120.00 h")
        assert named.count() == 1


@pytest.mark.slow
@needs_browser
def test_the_page_asks_for_nothing_and_runs_nothing_else(
    driver: Playwright, started: Browser, tmp_path: Path
) -> None:
    """Texts of other people stay text, and a script put into the file is stopped by the policy."""
    texts = "".join(HOSTILE.values()) + "<script>document.title='it ran'</script>"
    (barge, *others) = VIEW.jobs
    week = replace(barge.lines_of, job=texts, title=texts)
    hostile = html_of(replace(VIEW, jobs=(replace(barge, lines_of=week), *others)))
    put_in = html_of(VIEW).replace("<main>", "<main><script>document.title='it ran'</script>")

    assert asked_for(driver, [html_of(VIEW), hostile], tmp_path) == set()
    for made in (hostile, put_in):
        with shown(started, made, tmp_path) as page:
            assert page.title() != "it ran"
            assert page.locator("button.sort").count() > 10
