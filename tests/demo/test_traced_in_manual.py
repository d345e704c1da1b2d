"""The manual's trace of a figure of the owner's statement, run as it stands there."""

import json
import re
import shlex

import pytest

from tests.conftest import Yard
from tests.demo.conftest import invoke
from tests.manual._pages import ROOT, page

pytestmark = pytest.mark.slow

SECTION = page("tracing").text.split("## One figure of the owner's, traced\n")[1]
SHOWN = re.findall(r"```\n(fairhours [^\n]*)\n```\n\n```text\n(.*?)\n```\n", SECTION, re.DOTALL)
RAW = re.search(r"wrote like this:\n\n```text\n(.*)\n```\n", SECTION)


@pytest.mark.parametrize(("command", "output"), SHOWN, ids=[command for command, _ in SHOWN])
def test_a_trace_in_the_manual_shows_what_the_program_does(
    command: str, output: str, demo_book: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each command on the page gives the text below it, on a terminal of 120 columns."""
    monkeypatch.setenv("COLUMNS", "120")
    said = demo_book.run(*shlex.split(command)[1:]).stdout

    # The tests' book is made by nobody named; the demo's by the yard's clerk.
    assert said.replace(" local ", " ofarr ").splitlines() == output.splitlines()


def test_the_line_in_the_manual_is_that_of_the_file() -> None:
    """The raw line on the page is line 53 of the file that the trace names."""
    lines = (ROOT / "sample_data/sheets/week-2026-31.csv").read_text().splitlines()

    assert RAW
    assert RAW.group(1) == lines[52]
    assert len(SHOWN) == 3


def test_the_figure_traced_is_the_one_on_the_owners_statement(demo_book: Yard) -> None:
    """What the page traces is what the owner reads: 20.75 h worked on CR15, entry for entry."""
    asked = ("--job", "FERRY", "--status-date", "2026-08-23")
    out = demo_book.folder / "traced.json"
    invoke(demo_book, "report", "variations", *asked, "--out", str(out))
    details = json.loads(out.read_text())["details"]
    [worked] = [each["worked_ms"] for each in details if each["change"] == "CR15"]
    traced = demo_book.json("trace", *asked, "--place", "CR15")

    assert worked == 20.75 * 3_600_000
    assert sum(each["hours"] for each in traced["entries"]) * 3_600_000 == worked
