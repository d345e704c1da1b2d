"""A browser without a window: what it finds wrong with a page, what it runs, what it asks for."""

import json
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Playwright

# This one asks for nothing of its own accord; Chromium with a window looks for its maker's hosts.
PROGRAM = shutil.which("chromium-headless-shell")
needs_browser = pytest.mark.skipif(
    PROGRAM is None, reason="chromium-headless-shell is not installed"
)
WIDE, PHONE, NARROW = 1280, 390, 320
TIME_TO_ASK = 200  # Milliseconds: some requests come after the page is there.


@contextmanager
def browser(driver: Playwright, *words: str) -> Iterator[Browser]:
    """Start the browser with these options, and stop it after."""
    started = driver.chromium.launch(executable_path=PROGRAM, args=list(words))
    try:
        yield started
    finally:
        started.close()


@contextmanager
def shown(started: Browser, html: str, folder: Path, width: int = WIDE) -> Iterator[Page]:
    """Show a page from a file, as somebody opens it who was sent one, in a window of that width."""
    path = folder / "page.html"
    path.write_text(html, encoding="utf-8")
    screen: Any = {"width": width, "height": 800}
    with started.new_context(viewport=screen, is_mobile=width < WIDE) as window:
        page = window.new_page()
        page.goto(path.as_uri())
        yield page


def violations(page: Page) -> list[str]:
    """Return what axe-core finds wrong by any of its rules: the rule and where."""
    found = Axe().run(page).response["violations"]
    return [f"{rule['id']}: {node['target']}" for rule in found for node in rule["nodes"]]


def asked_for(driver: Playwright, pages: list[str], folder: Path) -> set[str]:
    """Return every address in the browser's own record of its network.

    What lies in a file or inside the page never gets that far. Hints that only prepare a connection
    (preconnect, dns-prefetch) leave this browser cold and are not seen.
    """
    log = folder / "net.json"
    with browser(driver, f"--log-net-log={log}") as started:
        for html in pages:
            with shown(started, html, folder) as page:
                page.wait_for_timeout(TIME_TO_ASK)
    events = json.loads(log.read_text(encoding="utf-8"))["events"]
    told = [event.get("params", {}) for event in events]
    return {each["url"] for each in told if "url" in each}
