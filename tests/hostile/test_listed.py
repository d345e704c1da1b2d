"""The files, folders and options of README.md: each does what is written beside it, and no more."""

import re
from hashlib import sha256
from pathlib import Path

import pytest

from tests._stage import batches
from tests.conftest import Yard, slow_beyond
from tests.hostile._cases import CASES

LIST = Path(__file__).parent / "README.md"
_ROW = re.compile(
    r"\| ([^|]+) \| ([^|]+) \| (?:(?P<tick>``?)(?P<message>.+)(?P=tick)|(?P<read>read as.+)) \|"
)
ROWS = [match for line in LIST.read_text("utf-8").splitlines() if (match := _ROW.fullmatch(line))]
REFUSED = {row[1]: row["message"] for row in ROWS if row["message"]}
ACCEPTED = {row[1] for row in ROWS if row["read"]}


def test_the_list_names_every_case_once() -> None:
    """README.md and the cases are the same list."""
    listed = [row[1] for row in ROWS]

    assert sorted(listed) == sorted(CASES)
    assert set(listed) == set(REFUSED) | ACCEPTED


@pytest.mark.parametrize("name", slow_beyond(30, REFUSED))
def test_what_is_hostile_ends_in_one_message(stage: Yard, name: str) -> None:
    """A hostile file, folder or option ends in its message, and the book is as it was."""
    given = stage.folder / "given"
    given.mkdir()
    words = CASES[name](given)
    bytes_before = sha256(stage.book.read_bytes()).digest()
    before = [] if name.startswith("book") else batches(stage)
    said = stage.run(*words, ok=False)
    expected = REFUSED[name].replace("{folder}", str(given))
    expected = expected.replace("{fault}", "\n1 fault; nothing was loaded")
    if "{begun}" in expected:
        begun = stage.json("history")[0]["recorded_at"][:19].replace("T", " ")
        expected = expected.replace("{begun}", f"{begun}+00:00")

    assert (said.stderr, said.stdout) == (f"{expected}\n", "")
    if sha256(stage.book.read_bytes()).digest() != bytes_before:
        assert batches(stage) == before


@pytest.mark.parametrize("name", sorted(ACCEPTED))
def test_what_only_looks_hostile_is_read(stage: Yard, name: str) -> None:
    """What is odd and sound is read: one line booked, or the three batches and more shown."""
    given = stage.folder / "given"
    given.mkdir()
    words = CASES[name](given)
    if words[0] == "--known-at":
        assert stage.run(*words).stdout == stage.run("history").stdout
        return
    loaded = stage.json(*words)["files"][0]

    assert (loaded["lines_read"], loaded["booked"]) == (1, 1)
