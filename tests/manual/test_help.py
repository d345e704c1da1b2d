"""`fairhours help` prints the manual as it lies in the package."""

from importlib.resources import files

import pytest

from ledger.cli.manual import topics
from ledger.cli.manual_text import as_text
from tests.conftest import Yard
from tests.manual._pages import MANUAL, manual


def test_every_page_is_a_topic() -> None:
    """The index names each page of the manual once, and no other."""
    assert sorted(topics()) == [page.path.stem for page in manual()]


def test_the_manual_lies_in_the_package() -> None:
    """Installed or in a checkout, the pages are found as files of the package."""
    packed = sorted(each.name for each in (files("ledger") / "manual").iterdir())

    assert packed == sorted(path.name for path in MANUAL.iterdir())


def test_help_lists_the_topics(yard: Yard) -> None:
    """Without a topic, `help` gives each in a line, in the order of the index; no book is made."""
    lines = yard.run("help").stdout.splitlines()

    assert [line.split()[0] for line in lines[: len(topics())]] == list(topics())


def test_help_prints_a_page(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """A topic, in any case, prints its page, as wide as the terminal."""
    monkeypatch.setenv("COLUMNS", "60")
    text = yard.run("help", "Exit-Codes").stdout

    assert text.startswith(
        "Exit codes and output\n=====================\n\nExit codes, output formats"
    )
    assert "0          done\n" in text
    assert max(map(len, text.splitlines())) <= 60


def test_an_unknown_topic_is_refused(yard: Yard) -> None:
    """A topic that the manual does not have is wrong usage, with those it has."""
    outcome = yard.run("help", "sheets", ok=False)

    assert outcome.exit_code == 2
    assert outcome.stderr == f'unknown topic "sheets"; use one of {", ".join(topics())}\n'


@pytest.mark.parametrize(
    ("markdown", "expected"),
    [
        pytest.param("# A\n\nb\nc `d` [e](f.md).", "A\n=\n\nb c d e.", id="heading and text"),
        pytest.param("## Ab\ntext", "Ab\n--\n\ntext", id="heading without a blank line"),
        pytest.param("see `a b` **now**", "see `a b` now", id="code of two words keeps its marks"),
        pytest.param("```\na  b\n\nc\n```", "  a  b\n\n  c", id="code"),
        pytest.param("- a\n  b\n- c", "- a b\n- c", id="list"),
        pytest.param("<!-- mark -->\ntext", "text", id="comment"),
        pytest.param(
            "| a | b |\n| --- | --- |\n| one | t\\|wo |", "a    b\n---  ----\none  t|wo", id="table"
        ),
        pytest.param(
            "| a | b |\n| --- | --- |\n| x | one two three four five |",
            "a  b\n-  -----------------\nx  one two three\n   four five",
            id="table wider than the terminal",
        ),
    ],
)
def test_markdown_becomes_plain_text(markdown: str, expected: str) -> None:
    """Marks are left out, paragraphs and cells are wrapped to the width, code keeps its lines."""
    actual = as_text(markdown, 20)

    assert actual == expected
