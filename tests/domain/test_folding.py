"""Codes and words are folded alike by the program and by the book."""

import unicodedata
from collections.abc import Callable

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.domain.codes import code_of, word_of
from ledger.store.definitions import macros
from tests.conftest import Yard

LETTERS = [chr(each) for each in range(1, 0x110000) if not 0xD800 <= each <= 0xDFFF]


@pytest.mark.slow
def test_every_letter_of_unicode_is_folded_alike() -> None:
    """The book's macros change exactly the letters that the program changes, and to the same."""
    connection = duckdb.connect()
    for statement in list(macros())[:5]:
        if "code_of" in statement or "word_of" in statement:
            connection.execute(statement)
    found = connection.execute(
        "SELECT letter, code_of(letter) AS code, word_of(letter) AS word"
        " FROM (SELECT unnest($letters::VARCHAR[]) AS letter)"
        " WHERE code <> letter OR word <> letter ORDER BY unicode(letter)",
        {"letters": LETTERS},
    ).fetchall()
    expected = [
        (letter, code, word)
        for letter in LETTERS
        if not letter.isspace()
        for code, word in [(code_of(letter), word_of(letter))]
        if code != letter or word != letter
    ]

    assert len(expected) > 2000
    assert [row for row in found if not row[0].isspace()] == expected


FOLDED = [
    (code_of, " deck-2\u2003", "DECK-2"),
    (code_of, "Spaß", "SPAẞ"),
    (code_of, "ᾳ1", "ᾼ1"),
    (code_of, "cafe\u0301", "CAFÉ"),
    (code_of, "ﬁn", "ﬁN"),
    (code_of, "i\u0307x", "İX"),
    (word_of, "JOINER", "joiner"),
    (word_of, "İÇ", "iç"),
    (word_of, "ΟΔΟΣ", "οδοσ"),
    (word_of, "E\u0301bE\u0301niste", "ébéniste"),
]


@pytest.mark.parametrize(("fold", "text", "folded"), FOLDED)
def test_a_code_has_one_form(fold: Callable[[str], str], text: str, folded: str) -> None:
    """Blanks around it, case and how an accent is written make no other code."""
    assert fold(text) == folded


@given(st.text())
def test_folding_again_changes_nothing(text: str) -> None:
    """A folded text is its own folding, and so is that of its decomposed form."""
    decomposed = unicodedata.normalize("NFD", text)

    assert [code_of(code_of(text)), word_of(word_of(text))] == [code_of(text), word_of(text)]
    assert [code_of(decomposed), word_of(decomposed)] == [code_of(text), word_of(text)]


# Written in the estimate or the crew; written on the sheet.
SHEETS = [("spaß", "SPAẞ"), ("ᾳ1", "ᾼ1"), ("CAFÉ", "cafe\u0301"), ("DECK", "deck\u2003")]


def test_a_code_on_a_sheet_is_found_however_it_is_written(stage: Yard) -> None:
    """Worker and booking code of a sheet are known in any case and any way to write an accent."""
    head = (
        "work_package,title,control_account,trade,budget_hours,planned_start,planned_finish,"
        "technique\n"
    )
    rest = "Work,hull,carpenter,8,2026-03-02,2026-03-06,percent_complete"
    stage.run(
        *("load", "estimate", "--job", "stage"),
        stage.write("estimate.csv", head + "".join(f"{code},{rest}\n" for code, _ in SHEETS)),
    )
    people = "".join(f"{worker},Name,carpenter,lead\n" for worker, _ in SHEETS)
    stage.run("load", "crew", stage.write("crew.csv", f"worker_id,name,trade,grade\n{people}"))
    lines = "".join(f"{code},2026-03-02,1,{code}\n" for _, code in SHEETS)
    sheet = stage.write("week.csv", f"worker_id,date,hours,booking_code\n{lines}")
    loaded = stage.json("load", "sheets", "--job", "Stage", sheet)["files"][0]
    postings = stage.rows(stage.run("show", "posting", "--format", "csv").stdout)

    assert (loaded["booked"], loaded["held"]) == (4, 0)
    assert {row["booked_to"] for row in postings} == {"SPAẞ", "ᾼ1", "CAFÉ", "DECK"}
