"""Sentences fit the terminal; commands, tables and what machines read stay whole."""

import pytest

from ledger.cli.colour import marked, spans_of
from ledger.cli.output import as_csv, give, to_json
from ledger.cli.wrapping import laid_out, wrapped

WIDTH = 40
COMMAND = "`fairhours changes --job FERRY --status-date 2026-11-01`"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("short", "short"),
        (
            "booked to the job 20724.75 = AC 20511.00 + instructed 186.25",
            "booked to the job 20724.75 = AC 20511.00\n  + instructed 186.25",
        ),
        (
            "sheets of the yard: 821 of 821 in; 36.25 h held",
            "sheets of the yard: 821 of 821 in;\n  36.25 h held",
        ),
        (f"see {COMMAND} for the others", f"see\n  {COMMAND}\n  for the others"),
        ("first\n\nlast", "first\n\nlast"),
        (f"  fairhours {'x ' * 30}", f"  fairhours {'x ' * 30}"),
    ],
)
def test_a_sentence_is_broken_at_blanks(text: str, expected: str) -> None:
    """No command, word or number with its unit is broken, nor a line that is to be copied."""
    actual = wrapped(text, WIDTH)

    assert actual == expected


def test_a_sentence_is_whole_where_there_is_no_width() -> None:
    """In a pipe a sentence is a line."""
    text = "word " * 40

    assert wrapped(text, None) == text


def test_what_is_marked_stays_marked() -> None:
    """A mark that goes over the end of a line is one in each of both."""
    text = marked(
        "821 of 821 sheets are in; 36.25 h held and untagged, all of it", "held and untagged"
    )
    actual = wrapped(text, WIDTH)
    shown = [actual[start:end] for start, end in spans_of(actual)]

    assert shown == ["held", "and untagged"]


@pytest.mark.parametrize(
    "text",
    [
        laid_out("wide " * 20),
        to_json({"note": "wide " * 20}),
        as_csv(["note"], [["wide " * 20]]),
    ],
)
def test_what_is_laid_out_stays(
    text: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A table, JSON and CSV are printed as they are on the narrowest terminal."""
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    give(text)

    assert capsys.readouterr().out == text.rstrip("\n") + "\n"


def test_a_sentence_given_fits_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """COLUMNS is the width."""
    monkeypatch.setenv("COLUMNS", str(WIDTH))
    give("What is due, and when, is a matter of the contract and local law.")

    assert capsys.readouterr().out == (
        "What is due, and when, is a matter of\n  the contract and local law.\n"
    )
