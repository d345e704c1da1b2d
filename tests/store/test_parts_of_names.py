"""A word of a forgotten worker's name that stands alone is listed, and refused in the reason."""

from collections.abc import Sequence

import pytest

from ledger.domain.name_patterns import words_of_names
from tests._stage import load_sheets, prepare
from tests.conftest import Yard, slow_beyond

REASON = ("--reason", "asked for by letter")
HEAD = "sheet,worker_id,date,hours,booking_code,note\n"


def named_in_part(yard: Yard) -> None:
    """Make a book in which a worker's name stands whole once, and each of its words elsewhere."""
    prepare(yard)
    crew = 'worker_id,name,trade\nH1,"Quillfeather, Zebedee",joiner\nH2,Ann Quillfeather,joiner\n'
    yard.run("load", "crew", yard.write("crew.csv", crew))
    leave = "worker_id,from,to,cause\nH1,2026-03-09,2026-03-09,Quillfeather wedding\n"
    yard.run("load", "leave", yard.write("leave.csv", leave))
    rows = (
        "S1,A1,2026-03-02,8,DECK,with QUILLFEATHER\n"
        "S1,A1,2026-03-03,8,DECK,for Zebedee Quillfeather\n"
        "S1,A1,2026-03-04,8,DECK,Zebedees door\n"
        "Zebedee,A1,2026-03-05,8,DECK,\n"
    )
    load_sheets(yard, HEAD + rows, "week of quillfeather.csv")


@pytest.fixture
def named(yard: Yard) -> Yard:
    return yard.copy_made_by(named_in_part)


def texts_of(yard: Yard, fate: str) -> dict[str, tuple[list[str], str | None]]:
    held = yard.json("show", "worker", "H1")["holdings"]
    return {
        each["what"]: (each["ids"], each["named"]) for each in held if each["if_forgotten"] == fate
    }


def test_texts_with_a_part_of_the_name_are_listed_before_and_after(named: Yard) -> None:
    """Notes, causes and file names with one word of the name are named, with what erases them."""
    notes = {row["note"]: row["id"] for row in named.json("show", "note")}
    before = texts_of(named, "part_of_name")
    sealed = texts_of(named, "sealed")
    table = named.run("show", "worker", "H1").stdout
    told = named.run("forget", "worker", "H1", *REASON).stderr
    words = "Quillfeather, Zebedee"

    # Zebedees is another word; Ann's name is hers.
    assert before["note"] == ([notes["with QUILLFEATHER"]], words)
    assert set(before) == {"leave", "note", "file"}
    assert sealed["line.sheet"][1] == "Zebedee"
    assert "holds a part of the name; add --name" in table
    assert (
        "holds a part of the name; add --name with that part to erase it: "
        f"note, {words} ({notes['with QUILLFEATHER']})"
    ) in told.splitlines()


def test_a_part_of_the_name_that_is_named_is_erased(named: Yard) -> None:
    """With --name of each word nothing that can be erased has one, and nothing is left to list."""
    names = ("--name", "Zebedee", "--name", "Quillfeather")
    told = named.run("forget", "worker", "H1", *names, *REASON).stderr
    export = named.folder / "out"
    named.run("export", export)
    left = {
        path.name
        for path in export.rglob("*.csv")
        if "quillfeather" in path.read_text(encoding="utf-8").lower()
    }

    assert "holds a part of the name" not in told
    assert left == {"worker_name.csv"}
    assert [
        row["name"] for row in named.json("show", "worker_name") if row["worker_id"] == "H2"
    ] == ["Ann Quillfeather"]


REASONS = ["Zebedee asked", "left, as MR QUILLFEATHER wished", "Quillfeather, Zebedee: asked"]


@pytest.mark.parametrize("reason", slow_beyond(1, REASONS))
def test_a_reason_with_a_part_of_the_name_is_refused(named: Yard, reason: str) -> None:
    """The reason would be kept, and with it the surname."""
    refused = named.run("forget", "worker", "H1", "--reason", reason, ok=False).stderr

    assert refused == (
        "the reason names worker H1 and would be kept; give one without any part of the name\n"
    )


WORDS = [
    (["Zebedee Quillfeather"], ["Zebedee", "Quillfeather"]),
    (["Quillfeather, Z. B."], ["Quillfeather"]),
    (["Jo van der Meer"], ["van", "der", "Meer"]),
    (["Dot"], []),
    # A word that is a name of its own is whole: it is erased, not listed.
    (["Dot Lee", "LEE"], ["Dot"]),
    (["Bo 1234"], []),
]


@pytest.mark.parametrize(("names", "words"), WORDS)
def test_parts_of_a_name_are_its_words_of_three_letters_at_least(
    names: Sequence[str], words: Sequence[str]
) -> None:
    """Initials and numbers stand for too much else."""
    assert words_of_names(names) == words
