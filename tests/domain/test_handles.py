"""Handles: what may stand in the book for a person for ever."""

import pytest

from ledger.domain.handles import is_handle
from tests.conftest import Yard


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("W07", True),
        ("o.farr_2-x", True),
        ("local", True),
        ("", False),
        ("Ottoline Farr", False),
        ("bj\u00f8rk", False),
        ("a@b", False),
        ("W07\n", False),
        ("\u0664", False),
    ],
)
def test_a_handle_is_plain_letters_digits_and_three_marks(text: str, expected: bool) -> None:
    """Only ASCII letters, digits, points, underscores and hyphens make a handle."""
    assert is_handle(text) is expected


def test_an_actor_who_is_no_handle_is_refused(yard: Yard) -> None:
    """A name with a blank gets one message, and nothing is written."""
    settings = yard.write("settings.toml", '[yard]\nname = "Tarn End"\n')
    outcome = yard.run("--actor", "Ottoline Farr", "load", "settings", settings, ok=False)

    assert outcome.exit_code == 2
    assert outcome.stderr == (
        '--actor "Ottoline Farr": not a valid handle; use a worker id or initials: letters a to z, '
        "digits, points, underscores and hyphens\n"
    )
