"""The help of a command names the formats that it gives."""

import pytest

from tests.conftest import Yard


@pytest.mark.parametrize("words", [("status",), ("quote", "change")])
def test_what_gives_no_csv_does_not_offer_it(yard: Yard, words: tuple[str, ...]) -> None:
    """A screen and a comparison are a table for people, or JSON."""
    [given] = [
        line for line in yard.run(*words, "--help").stdout.splitlines() if "--format" in line
    ]

    assert "table or json" in given
    assert "csv" not in given
