"""In a browser the statement is fit for everyone to use, runs nothing and asks for nothing."""

import html
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Playwright, sync_playwright

from ledger.reports.safe_page import POLICY
from tests.reports import _landing as landing
from tests.reports import _performance as performance
from tests.reports import _reconciliation as paid
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
from tests.reports._landing import LANDING
from tests.reports._paper import html_of
from tests.reports.test_hostile import HOSTILE, everywhere

pytestmark = [pytest.mark.slow, needs_browser]

RUN = "document.title='it ran'"
RUNNING = [
    f"<script>{RUN}</script>",
    f'</title></style><script>{RUN}</script>"><script>{RUN}</script>',
    f'<img src="x" onerror="{RUN}">',
    f'<svg onload="{RUN}"></svg>',
    f'<details open ontoggle="{RUN}"></details>',
    f'<iframe srcdoc="<script>parent.{RUN}</script>"></iframe>',
]
LOADING = [
    '<img src="http://192.0.2.1/a.png">',
    '</style><style>body { background: url("http://192.0.2.1/b.png"); }</style>',
    '<link rel="stylesheet" href="http://192.0.2.1/c.css">',
    '<iframe src="http://192.0.2.1/d"></iframe>',
    '<video autoplay src="http://192.0.2.1/e"></video>',
]
META = f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
VIEWS = {
    "landing": LANDING,
    "without requests": landing.without_requests(),
    "without overrun": landing.without_overrun(),
    "rehearsal": replace(LANDING, rehearsal=True),
    "hostile": everywhere("".join(HOSTILE.values())),
    "hours paid": paid.USUAL,
    "hours paid, long names": paid.LONG_NAMES,
    # The last three are the program's own words.
    "performance": performance.REPORT,
    "performance, not begun": performance.NOT_BEGUN,
    "performance, long names": performance.LONG_NAMES,
    "long": replace(everywhere("x" * 10_000), how_to_read=(), caution="", remade_by="fairhours"),
}
TEXTS = [*HOSTILE.values(), *RUNNING, *LOADING]


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


@pytest.mark.parametrize("width", [WIDE, PHONE])
@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_everyone_can_use_the_page(
    view: object, width: int, started: Browser, tmp_path: Path
) -> None:
    """No rule of axe-core (WCAG and good practice) is broken, in a wide window or on a phone."""
    with shown(started, html_of(view), tmp_path, width) as page:
        found = violations(page)
        seen = page.evaluate("innerWidth")

    assert found == []
    assert seen == width


@pytest.mark.parametrize(
    ("before", "after", "rule"),
    [
        ("<h1>", '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="><h1>', "image-alt"),
        ("--muted: #56626e", "--muted: #c9cfd5", "color-contrast"),
        ('<html lang="en">', "<html>", "html-has-lang"),
        ('role="region"', "", "scrollable-region-focusable"),
        ("<h2>", "<h4>", "heading-order"),
        ("<h1>", '<button type="button"></button><h1>', "button-name"),
    ],
)
def test_a_page_that_some_cannot_use_is_found(
    before: str, after: str, rule: str, started: Browser, tmp_path: Path
) -> None:
    """A picture without words, pale text or a lost language would be seen by the test above."""
    text = html_of(LANDING)
    if rule == "scrollable-region-focusable":
        text = text.replace('tabindex="0"', "")
    with shown(started, text.replace(before, after), tmp_path, PHONE) as page:
        found = violations(page)

    assert before in text
    assert rule in {each.partition(":")[0] for each in found}


@pytest.mark.parametrize("view", VIEWS.values(), ids=VIEWS)
def test_a_narrow_page_does_not_run_off_sideways(
    view: object, started: Browser, tmp_path: Path
) -> None:
    """At 320 pixels only tables are moved sideways, never the page (WCAG 2.2, 1.4.10)."""
    with shown(started, html_of(view), tmp_path, NARROW) as page:
        assert page.evaluate("document.documentElement.scrollWidth") == NARROW


@pytest.mark.slow
@pytest.mark.parametrize("text", TEXTS)
def test_what_was_typed_never_runs(text: str, started: Browser, tmp_path: Path) -> None:
    """A text in every field runs nothing: it stays text, and the policy would stop it too."""
    made = html_of(everywhere(text))
    for page_text in (made, made.replace(META, ""), html.unescape(made)):
        with shown(started, page_text, tmp_path) as page:
            assert page.title() != "it ran"


@pytest.mark.parametrize("text", RUNNING)
def test_what_runs_would_be_seen(text: str, started: Browser, tmp_path: Path) -> None:
    """Without escaping and without policy each of the texts does run."""
    bare = html.unescape(html_of(everywhere(text)).replace(META, ""))
    with shown(started, bare, tmp_path) as page:
        page.wait_for_function("document.title == 'it ran'", timeout=5_000)


def test_a_page_asks_for_nothing(driver: Playwright, tmp_path: Path) -> None:
    """No text makes the browser ask for anything: not without the policy, nor by it alone."""
    pages = [html_of(everywhere(text)) for text in TEXTS]
    without_policy = [each.replace(META, "") for each in pages]
    unescaped = [html.unescape(html_of(everywhere(text))) for text in LOADING]

    assert asked_for(driver, [*pages, *without_policy, *unescaped], tmp_path) == set()


@pytest.mark.parametrize(
    ("put_in", "asked"),
    [
        ('<img alt="a" src="http://192.0.2.1/a.png">', "http://192.0.2.1/a.png"),
        ('<link rel="stylesheet" href="http://192.0.2.1/b.css">', "http://192.0.2.1/b.css"),
        ('<meta http-equiv="refresh" content="0; url=http://192.0.2.1/c">', "http://192.0.2.1/c"),
        ('<iframe title="a" src="http://stray.invalid/d"></iframe>', "http://stray.invalid/d"),
    ],
)
def test_what_is_asked_for_would_be_seen(
    put_in: str, asked: str, driver: Playwright, tmp_path: Path
) -> None:
    """A page that asks for something is found out."""
    page = html_of(LANDING).replace(META, put_in)

    assert asked in asked_for(driver, [page], tmp_path)


BROKEN_DATES = """
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
const broken = [];
for (let node = walker.nextNode(); node; node = walker.nextNode()) {
  for (const found of node.data.matchAll(/\\d{4}-\\d{2}-\\d{2}|\\d{1,2}\\s[A-Z][a-z]+\\s\\d{4}/g)) {
    const range = document.createRange();
    range.setStart(node, found.index);
    range.setEnd(node, found.index + found[0].length);
    const tops = new Set([...range.getClientRects()].map((each) => Math.round(each.top)));
    if (tops.size > 1) broken.push(found[0] + ' in ' + node.data);
  }
}
return broken;
"""


def font_files(page: Page) -> dict[str, list[str]]:
    """Return the fonts that the browser drew the page's words with, by whence they came."""
    session = page.context.new_cdp_session(page)
    session.send("DOM.enable")
    session.send("CSS.enable")
    root = session.send("DOM.getDocument", {"depth": -1})["root"]["nodeId"]
    found: dict[str, set[str]] = {"page": set(), "system": set()}
    every = session.send("DOM.querySelectorAll", {"nodeId": root, "selector": "body *"})
    for node in every["nodeIds"]:
        used = session.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]
        for font in used:
            found["page" if font["isCustomFont"] else "system"].add(font["familyName"])
    return {whence: sorted(names) for whence, names in found.items()}


def test_the_page_is_shown_in_the_font_it_carries(started: Browser, tmp_path: Path) -> None:
    """Every word of the statement, those of the chart too, is drawn with the page's own font."""
    with shown(started, html_of(LANDING), tmp_path) as page:
        used = font_files(page)

    assert used == {"page": ["Page Sans"], "system": []}


@pytest.mark.parametrize("width", [WIDE, PHONE, NARROW])
def test_no_date_is_broken_over_two_lines(width: int, started: Browser, tmp_path: Path) -> None:
    """A date stays whole wherever it stands, however narrow the window."""
    with shown(started, html_of(LANDING), tmp_path, width) as page:
        broken = page.evaluate(f"() => {{{BROKEN_DATES}}}")

    assert broken == []
