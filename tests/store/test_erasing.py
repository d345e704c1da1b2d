"""Texts are erased for good: out of the file's bytes, with every head as it was."""

from collections.abc import Iterator

import pytest

from tests.conftest import Yard
from tests.store._sample import opened, tamper

WHY = ("--reason", "asked for by letter")
COPIED = "the book was copied anew; copies, exports and pages made earlier still hold the text"


@pytest.fixture
def crewed(yard: Yard) -> Yard:
    """A yard with two workers in its book, one of them renamed once."""
    crew = "worker_id,name,trade,grade\nW1,{0},joiner,lead\nW2,Edda Wennergren,welder,lead\n"
    yard.run("load", "crew", yard.write("crew.csv", crew.format("Ruprecht Oxenhielm")))
    yard.run("load", "crew", yard.write("crew.csv", crew.format("Ruprecht Oxenhielm-Vale")))
    return yard


def beside(yard: Yard) -> set[str]:
    return {path.name for path in yard.folder.iterdir() if path.name.startswith((".", "book"))}


def heads(yard: Yard) -> list[str]:
    rows = yard.rows(yard.run("history", "--format", "csv").stdout)
    return [row["head"] for row in rows]


def holding(yard: Yard, text: str) -> Iterator[str]:
    """Yield the files of the book that hold a text anywhere in their bytes."""
    for path in yard.folder.glob("book.duckdb*"):
        if text.encode() in path.read_bytes():
            yield path.name


@pytest.mark.slow
def test_a_forgotten_worker_is_nowhere_in_the_bytes_of_the_book(crewed: Yard) -> None:
    """Every name of the worker is gone from the file; all heads hold, and check says what went."""
    before, lay = heads(crewed), beside(crewed)
    there = list(holding(crewed, "Oxenhielm"))
    outcome = crewed.run("forget", "worker", "W1", *WHY)
    names = [row["name"] for row in crewed.json("show", "worker_name", "--all")]

    assert there == ["book.duckdb"]
    assert outcome.stderr.splitlines() == [
        "worker_name:2.1: name erased",
        "worker_name:3.1: name erased",
        COPIED,
    ]
    assert list(holding(crewed, "Oxenhielm")) == []
    assert list(holding(crewed, "Wennergren")) == ["book.duckdb"]
    assert beside(crewed) == lay
    assert names == ["erased", "Edda Wennergren", "erased"]
    assert heads(crewed)[: len(before)] == before
    assert crewed.run("check").stderr.splitlines()[:2] == [
        "worker_name:2.1: erased in batch 4: asked for by letter",
        "worker_name:3.1: erased in batch 4: asked for by letter",
    ]


def test_the_book_goes_on_after_erasing(crewed: Yard) -> None:
    """The file made anew has triggers and macros, takes the next batch, and links lead to it."""
    link = crewed.folder / "link.duckdb"
    link.symlink_to(crewed.book)
    crewed.run("--book", link, "erase", "text", "file:2.1", "batch:2", *WHY)
    rate = "trade,effective_from,cost_per_hour\njoiner,2026-01-05,30\n"
    crewed.run("load", "rates", crewed.write("rates.csv", rate))
    rows = crewed.rows(crewed.run("history", "--format", "csv").stdout)

    assert link.is_symlink()
    assert (rows[1]["actor"], rows[1]["command"]) == ("erased", "erased")
    assert [row["command"] for row in rows[3:]] == ["erase text", "load rates"]
    assert "batch:2: erased in batch 4: asked for by letter" in crewed.run("check").stderr


@pytest.mark.slow
def test_texts_that_name_a_forgotten_worker_are_erased(crewed: Yard) -> None:
    """Where the name stands in another text, a reason of before, it is erased there too."""
    crewed.run("erase", "text", "file:2.1", "--reason", "for RUPRECHT OXENHIELM, 2 May")
    told = crewed.run("forget", "worker", "w1", *WHY).stderr.splitlines()

    assert told[0] == "erasure:4.1: reason erased"
    assert told[-1] == COPIED
    assert list(holding(crewed, "OXENHIELM")) == []


def test_what_was_erased_before_adds_nothing(crewed: Yard) -> None:
    """Given again, the command copies the book anew and records no batch."""
    crewed.run("erase", "text", "worker_name:2.1", *WHY)
    before = heads(crewed)
    outcome = crewed.run("erase", "text", "worker_name:2.1", *WHY)

    assert outcome.stderr == f"already erased; no batch was added\n{COPIED}\n"
    assert heads(crewed) == before


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("erase", "text", "crew:2.1"),
            '"crew:2.1": the table crew has no text that can be erased',
        ),
        (("erase", "text", "pay:2.1"), '"pay:2.1": unknown table pay'),
        (
            ("erase", "text", "file"),
            '"file": not a valid id; write table:batch.row, change_event:12.3',
        ),
        (
            ("erase", "text", "worker_name:2.9"),
            "worker_name:2.9: there is no such row; `fairhours show worker_name`",
        ),
        (
            ("erase", "text", "setting:1.1"),
            "setting:1.1: is in use; load another in its place or withdraw it, then erase it",
        ),
        (
            ("forget", "worker", "W9"),
            "worker W9: no name is in the book; `fairhours show crew` lists them",
        ),
    ],
)
def test_what_cannot_be_erased_is_refused(
    crewed: Yard, words: tuple[str, ...], message: str
) -> None:
    """An id that names no text gets one message, and the book's file stays as it is."""
    before = crewed.book.read_bytes()
    outcome = crewed.run(*words, *WHY, ok=False)

    assert outcome.stderr == f"{message}\n"
    assert crewed.book.read_bytes() == before


def test_an_erased_text_put_back_is_found(crewed: Yard) -> None:
    """A text under an erasure, the right one too, fails the check."""
    with opened(crewed.book) as connection:
        kept = connection.execute("SELECT name, name_salt FROM worker_name LIMIT 1").fetchall()[0]
    crewed.run("erase", "text", "worker_name:2.1", *WHY)
    put_back = f"SET name = '{kept[0]}', name_salt = unhex('{kept[1].hex()}')"
    tamper(crewed.book, "worker_name", f"UPDATE worker_name {put_back} WHERE batch = 2 AND row = 1")

    told = crewed.run("check", ok=False).stderr

    assert told == "batch 4: table erasure: row 1 names a text that is still there\n"


def test_one_of_two_erased_texts_put_back_is_found(crewed: Yard) -> None:
    """A row whose texts were erased has none of them, or the check fails."""
    with opened(crewed.book) as connection:
        name, salt = connection.execute("SELECT name, name_salt FROM file").fetchall()[0]
    crewed.run("erase", "text", "file:2.1", "file:02.01", *WHY)
    put_back = f"SET name = '{name}', name_salt = unhex('{salt.hex()}')"
    tamper(crewed.book, "file", f"UPDATE file {put_back} WHERE batch = 2")

    told = crewed.run("check", ok=False).stderr

    assert told == "batch 2: table file: row 1 is not the sha256 that was sealed\n"


def test_a_book_that_cannot_be_copied_says_that_texts_are_left(
    crewed: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the copy fails the erasure stands, nothing lies about, and giving it again helps."""
    lay = beside(crewed)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("ledger.store.erasing.shutil.copymode", full)
        told = crewed.run("forget", "worker", "W2", *WHY, ok=False).stderr

    assert "the texts are erased, but the book could not be copied anew" in told
    assert beside(crewed) == lay
    crewed.run("erase", "text", "worker_name:2.2", *WHY)
    assert list(holding(crewed, "Wennergren")) == []


def test_an_address_and_a_name_of_the_yard_print_as_erased(yard: Yard) -> None:
    """What is printed of the yard can be erased while it counts, and reads as erased."""
    settings = '[yard]\nname = "Oxenhielm & Daughter"\naddress = ["Quay 1", "Port"]\n'
    yard.run("load", "settings", yard.write("settings.toml", settings))
    ids = [row["id"] for row in yard.json("show", "setting") if row["name"].startswith("yard.")]
    yard.run("erase", "text", *ids, *WHY)
    shown = {row["name"]: row["value"] for row in yard.json("show", "settings")}

    assert (shown["yard.name"], shown["yard.address"]) == ("erased", '["erased"]')
    assert list(holding(yard, "Oxenhielm")) == []


@pytest.mark.parametrize("mark", ["\x1d", "\x1e", "\x1f"])
def test_a_text_with_a_mark_of_the_seals_is_refused(crewed: Yard, mark: str) -> None:
    """A character that stands between sealed fields is refused in a file and in a reason."""
    crew = f"worker_id,name,trade,grade\nW3,Ada{mark},joiner,lead\n"
    in_file = crewed.run("load", "crew", crewed.write("crew.csv", crew), ok=False).stderr
    why = ("--reason", f"asked{mark}for")
    in_reason = crewed.run("forget", "worker", "W1", *why, ok=False).stderr

    assert in_file == (
        f"crew.csv:2: has the control character U+{ord(mark):04X}; remove it and load again\n"
    )
    assert in_reason == (
        'erasure: reason "asked?for": has a control character at the ?; remove it and try again\n'
    )
    assert len(heads(crewed)) == 3
    assert crewed.json("show", "worker_name")[-1]["name"] == "Ruprecht Oxenhielm-Vale"


def test_a_page_says_that_something_on_it_was_erased(copied: Yard) -> None:
    """Made again as known before, a page reads "erased", says so at its end, and holds no more."""
    page, then = copied.folder / "page.html", ("--known-at", "15")
    words = ("report", "variations", "--job", "STAGE", "--status-date", "2026-03-20", "--out")
    copied.run(*then, *words, page)
    before = page.read_text(encoding="utf-8")
    (change, *_) = copied.json("show", "change")
    copied.run("erase", "text", change["id"], *WHY)
    copied.run(*then, *words, page)
    after = page.read_text(encoding="utf-8")

    assert change["title"] in before
    assert "a page made before it was has another digest" not in before
    assert change["title"] not in after
    assert "a page made before it was has another digest" in after
