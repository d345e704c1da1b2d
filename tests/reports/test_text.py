"""Other people's words are shown whole or said to be cut, with nothing hidden in them."""

import pytest

from ledger.reports.text import cut, visible


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Décking, gröoved; 甲板", "Décking, gröoved; 甲板"),
        ("two\nlines\tand   a gap", "two lines and a gap"),
        ("می\N{ZERO WIDTH NON-JOINER}خواهم", "می\N{ZERO WIDTH NON-JOINER}خواهم"),
        ("paid \N{RIGHT-TO-LEFT OVERRIDE}00.01", "paid ■00.01"),
        ("a\N{LEFT-TO-RIGHT ISOLATE}b\N{POP DIRECTIONAL ISOLATE}", "a■b■"),
        ("nul\0 bell\a", "nul■ bell■"),
        ("half \ud800", "half ■"),
    ],
)
def test_hidden_characters_are_shown(text: str, expected: str) -> None:
    """A control or a mark of direction is seen on the page; letters of any script stay."""
    assert visible(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a" * 10, "a" * 10),
        ("a" * 11, "a" * 10 + "… [cut here, 11 characters in all]"),
        ("a" * 9 + " bc", "a" * 9 + "… [cut here, 12 characters in all]"),
    ],
)
def test_a_text_without_end_is_cut_and_says_so(text: str, expected: str) -> None:
    """What is longer than its place ends with how long it is in all."""
    assert cut(text, 10) == expected
