"""What the pages for developers name is there: files, functions, tables, links, decisions."""

import ast
import csv
import re
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from tests.manual import _program
from tests.manual._pages import ROOT, Page

ROOMS = sorted(path.parent for path in (ROOT / "ledger").glob("*/__init__.py"))
PAGES = [Page(ROOT / "DEVELOPERS.md"), Page(ROOT / "tests" / "README.md")]
PAGES += [Page(room / "README.md") for room in ROOMS if (room / "README.md").exists()]
SUFFIXES = (".py", ".sql", ".md", ".csv", ".toml", ".html", ".css", ".yaml")
FOLDERS = (".ci", "ledger", "queries", "templates", "tests", "sample_data")
FREE = re.compile(r"<\w+>|[NJ]\b|\.\.\.|\*")  # What stands for something in a pattern.
DECISION = re.compile(r"^\*\*D(\d+)\*\* \((\d{4}-\d\d-\d\d)\)\. ", re.MULTILINE)


@cache
def paths() -> frozenset[str]:
    """Return every path of the repository's folders, from its root."""
    found = [path for folder in FOLDERS for path in (ROOT / folder).rglob("*")]
    return frozenset(path.relative_to(ROOT).as_posix() for path in found)


@cache
def words() -> frozenset[str]:
    """Return every word of the code, the queries, the templates and the settings of tools."""
    sources = [path for path in paths() if path.endswith((".py", ".sql", ".html", ".toml"))]
    sources += ["pyproject.toml", ".ci/run"]
    return frozenset(
        word
        for source in sources
        if source != "tests/manual/test_developers.py"
        for word in re.findall(r"\w+", (ROOT / source).read_text(encoding="utf-8"))
    )


def is_path(page: Page, text: str) -> bool:
    """Whether a file or folder is there: from the root, the page's folder, ledger or queries."""
    text = text.rstrip("/")
    folders = (ROOT, page.path.parent, ROOT / "ledger", ROOT / "queries")
    if any((folder / text).exists() for folder in folders):
        return True
    by_name = text.endswith((".sql", ".html", ".css"))
    return by_name and any(path.endswith(f"/{text}") for path in paths())


def names_in(module: Path) -> set[str]:
    """Return the names that a module defines at its top."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    return {
        name
        for node in tree.body
        for name in (
            [getattr(node, "name", "")]
            + [each.id for each in ast.walk(node) if isinstance(each, ast.Name)]
        )
    }


def is_shell(text: str) -> bool:
    return text.startswith(
        (".venv/", "apt-get ", "python3 ", "time ", "FUZZED_CHUNKS=", "pdfdetach")
    )


def astray(page: Page, text: str) -> list[str]:
    """Return what a text in backticks names that is not there."""
    if FREE.search(text) or is_shell(text):
        return []
    if text in _program.commands():
        return []
    if text.startswith("--"):
        option = text.split()[0]
        of_tools = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
        return [] if option in _program.options() or option in of_tools else [option]
    file, _, name = text.partition(":")
    if file.endswith(SUFFIXES) or ("/" in file and " " not in file):
        if not is_path(page, file):
            return [file]
        defined = names_in(ROOT / "ledger" / file.removeprefix("ledger/")) if name else {name}
        return [] if name in defined else [text]
    if is_path(page, text):
        return []
    return [word for word in re.findall(r"\w+", text) if word not in words()]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_name_is_in_the_code(page: Page) -> None:
    """A file, folder, function, macro, table or option that a page names is there."""
    found = {span: names for span in page.spans() if (names := astray(page, span))}

    assert found == {}


@pytest.mark.parametrize(
    "span", ["cli/output.number", "store/books.py", "store/book.py:opened", "Book.uptoo", "--gone"]
)
def test_a_name_that_is_gone_is_found(span: str) -> None:
    """A file, function or option that is not there is named."""
    assert astray(PAGES[0], span) != []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_leads_to_a_file(page: Page) -> None:
    """A link of a page leads to a file or folder of the repository."""
    links = [link for link in page.links() if "://" not in link]

    assert [link for link in links if not (page.path.parent / link).exists()] == []


def test_every_room_has_a_page() -> None:
    """Each room but the command line, which the manual tells of, has a page linked here."""
    linked = {link.removesuffix("/README.md") for link in PAGES[0].links()}
    rooms = {room.relative_to(ROOT).as_posix() for room in ROOMS}

    assert rooms - linked == {"ledger/cli"}


def test_decisions_are_numbered_once() -> None:
    """The decisions of all pages are numbered from 1 without a gap, each with its day."""
    found = [match for page in PAGES for match in DECISION.finditer(page.text)]
    named = sum(page.text.count("\n**D") for page in PAGES)

    assert sorted(int(match[1]) for match in found) == list(range(1, named + 1))
    assert all(date.fromisoformat(match[2]) for match in found)


def test_measurements_are_added_at_the_end() -> None:
    """Each line of the measurements has a day, not before the last one's, and a figure."""
    path = ROOT / "tests" / "bench" / "results.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    days = [date.fromisoformat(row["measured_on"]) for row in rows]

    assert list(rows[0]) == ["measured_on", "bench", "what", "size", "figure", "unit"]
    assert days == sorted(days)
    assert all(Decimal(row["figure"]) > 0 and row["unit"] for row in rows)
