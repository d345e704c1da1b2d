"""When a text names a code: as a word of its own, however its letters and digits are set apart."""

import duckdb
import pytest

from ledger.domain.naming import pattern_of, pattern_of_any

NAMED = {
    "CR7": (
        ["CR7", "cr 7", "ladder (CR-07)", "see CR.7, later", "für CR7"],
        ["CR70", "SCR7", "CR7a", "7", "CR", "ÄCR7", "CR  - 7"],
    ),
    "V-12": (["v12", "V 12", "V-012"], ["V1", "V121"]),
    "Ö3": (["ö3", "Ö-3"], ["Ö30", "O3"]),
}


@pytest.mark.parametrize("code", NAMED)
def test_a_text_names_a_code_as_a_word_of_its_own(code: str) -> None:
    """Case, leading noughts and one sign between letters and digits are alike."""
    yes, no = NAMED[code]
    found = duckdb.execute(
        "SELECT list(t ORDER BY n) FROM (SELECT unnest($t) AS t, generate_subscripts($t, 1) AS n)"
        " WHERE regexp_matches(t, $p, 'i')",
        {"t": yes + no, "p": pattern_of(code)},
    ).fetchall()

    assert found == [(yes,)]


@pytest.mark.parametrize("code", ["12", "EXTRA", "-", ""])
def test_a_code_that_may_be_any_number_or_word_is_named_by_no_text(code: str) -> None:
    """Without letters or without digits a code is not looked for."""
    assert pattern_of(code) is None


def test_no_text_that_names_a_code_is_missed_where_any_of_some_is_looked_for() -> None:
    """One expression for all codes finds all that those of each find, and little else."""
    named = [text for yes, _ in NAMED.values() for text in yes]
    others = ["CR70", "SCR7", "CR7a", "7", "CR", "V1", "V121", "O3", "ladder"]
    pattern = pattern_of_any([*NAMED, "12", "EXTRA"])
    found = duckdb.execute(
        "SELECT t FROM (SELECT unnest($t) AS t, generate_subscripts($t, 1) AS n)"
        " WHERE regexp_matches(t, $p, 'i') ORDER BY n",
        {"t": [*named, *others], "p": pattern},
    ).fetchall()

    assert [text for (text,) in found] == named


def test_no_pattern_is_made_of_codes_that_no_text_names() -> None:
    """Where no code is looked for, no text has to be read."""
    assert pattern_of_any(["12", "EXTRA"]) is None
