"""Tables for people fit the terminal; what does not fit is wrapped, then named."""

from decimal import Decimal

import pytest

from ledger.cli.tables import LEAST_WIDTH, WIDE, as_table

HEAD = ("worker_id", "hours", "note", "booked_to")
ROWS = [("A1", Decimal("7.50"), "fitted the stem and faired the planking below the rail", "HULL")]


def lines_at(monkeypatch: pytest.MonkeyPatch, width: int | None) -> list[str]:
    if width is None:
        monkeypatch.delenv("COLUMNS", raising=False)
    else:
        monkeypatch.setenv("COLUMNS", str(width))
    return as_table(HEAD, ROWS).splitlines()


def test_heads_are_words_and_numbers_stand_to_the_right(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is cut in a pipe, however long it is."""
    head, row = lines_at(monkeypatch, None)

    assert head.split("  ")[0] == "worker id"
    assert row == f"A1{' ' * 9} 7.50  {ROWS[0][2]}  HULL"


def test_a_long_text_goes_over_several_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    """In 56 columns the note takes several lines; every word of it is still there."""
    lines = lines_at(monkeypatch, 56)
    words = " ".join(line[len("worker id  hours  ") :][:27] for line in lines[1:])

    assert max(map(len, lines)) <= 56
    assert lines[0].endswith("booked to")
    assert words.split()[:3] == ["fitted", "the", "stem"]
    assert all(word in words for word in ROWS[0][2].split())


def test_columns_that_do_not_fit_are_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of eight columns of a long word those from the right are left out and named below."""
    monkeypatch.setenv("COLUMNS", str(LEAST_WIDTH))
    head = [f"column_{each}" for each in "abcdefgh"]
    lines = as_table(head, [["a" * 12] * 8]).splitlines()

    assert max(map(len, lines)) <= LEAST_WIDTH
    assert " ".join(line.strip() for line in lines[2:]) == (
        "not shown: column d, column e, column f, column g, column h; `fairhours --wide` shows all"
    )


def test_wide_shows_all(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked for, every column is as wide as what it holds."""
    token = WIDE.set(True)
    lines = lines_at(monkeypatch, LEAST_WIDTH)
    WIDE.reset(token)

    assert len(lines) == 2
    assert len(lines[1]) > LEAST_WIDTH
