"""Every name that README and manual give in code is one that the program has."""

import ast
import re
from functools import cache

import pytest

from ledger.store.errors import MEMORY
from ledger.tables.layout_files import shipped_layouts
from ledger.tables.layouts import MAPPED
from tests.manual import _program
from tests.manual._pages import README, ROOT, Page, manual

PAGES = [Page(README), *manual()]
FILE = re.compile(r"(?:python3 -I )?[\w-]*\.(?:csv|toml|xlsx|pdf|html|zip|py|duckdb|json)")
VALUE = re.compile(r"[0-9][\w.:]*|[.,;|]")
NAME = re.compile(r"[a-z][\w/.:-]*|[A-Z]\w*")


@cache
def said_in_code() -> str:
    """Return every text that stands in the package's code, docstrings left out."""
    texts = []
    for path in sorted((ROOT / "ledger").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docs = {
            id(node.body[0].value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and node.body
            and isinstance(node.body[0], ast.Expr)
        }
        texts += [
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in docs
        ]
    queries = sorted((ROOT / "queries").rglob("*.sql"))
    return "\n".join([*texts, *(path.read_text(encoding="utf-8") for path in queries)])


@cache
def words_in_code() -> frozenset[str]:
    """Return every whole word that is said in code."""
    return frozenset(re.findall(r"[\w-]+", said_in_code()))


@cache
def is_said(word: str) -> bool:
    if re.fullmatch(r"[\w-]+", word):
        return word in words_in_code()
    return re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", said_in_code()) is not None


def unknown(span: str) -> list[str]:
    """Return what a text in backticks names that the program does not have."""
    text = span.strip("[]").removesuffix(".NAME")
    if text.startswith(("fairhours ", "apt-get ")) or FILE.fullmatch(text) or VALUE.fullmatch(text):
        return []  # Examples are parsed by test_examples; the other two are the user's own.
    if text.startswith("--"):
        option = text.split()[0]
        return [] if option in _program.options() else [option]
    if text in {*_program.commands(), *shipped_layouts()} or (ROOT / text).exists():
        return []
    if pairs := re.findall(r"(\w+)=", text):
        return [field for field in pairs if field not in {*MAPPED, MEMORY}]
    return [] if NAME.fullmatch(text) and is_said(text.rstrip("/")) else [text]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_name_is_one_of_the_programs(page: Page) -> None:
    """A command, option, setting, column, reason or state that a page names is in the code."""
    astray = {span: found for span in page.spans() if (found := unknown(span))}

    assert astray == {}


@pytest.mark.parametrize(
    "span", ["--known", "workers_id", "load sheet", "date_unread", "templates/owners", "hour=7.5"]
)
def test_a_wrong_name_is_found(span: str) -> None:
    """A name that is nearly right is not taken for one of the program's."""
    assert unknown(span) != []


@pytest.mark.parametrize("page", [*PAGES, Page(ROOT / "ledger/manual/README.md")], ids=str)
def test_every_link_leads_to_a_file(page: Page) -> None:
    """A link of a page leads to a file of the repository."""
    links = [link for link in page.links() if "://" not in link]
    astray = [link for link in links if not (page.path.parent / link.split("#")[0]).exists()]

    assert astray == []


def test_the_readme_is_short() -> None:
    """README has at most 140 lines; what is more belongs in the manual."""
    assert len(README.read_text(encoding="utf-8").splitlines()) <= 140


def test_every_picture_is_small_and_used() -> None:
    """The pictures are PNG files under 150 kB, and README shows each."""
    pictures = sorted((ROOT / ".pictures").iterdir())
    shown = [link for link in Page(README).links() if link.startswith(".pictures/")]

    assert [f".pictures/{path.name}" for path in pictures] == sorted(shown)
    assert all(path.read_bytes().startswith(b"\x89PNG") for path in pictures)
    assert all(path.stat().st_size < 150_000 for path in pictures)
