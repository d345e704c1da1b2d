"""One content has one text and one digest."""

import hashlib
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from ledger.reports.canonical import canonical_json, digest
from tests.reports._landing import LANDING


@dataclass(frozen=True)
class Held:
    """Something with one field of any type."""

    held: Any


@pytest.mark.parametrize(
    ("held", "expected"),
    [
        ("Mole «é»", '{"held":"Mole «é»"}'),
        (3_600_000, '{"held":3600000}'),
        (True, '{"held":true}'),
        (None, '{"held":null}'),
        (date(2026, 9, 6), '{"held":"2026-09-06"}'),
        (Decimal("12300.00"), '{"held":"12300.00"}'),
        (Decimal("1.23E+4"), '{"held":"12300"}'),
        (Decimal("-0.00"), '{"held":"0.00"}'),
        ((), '{"held":[]}'),
        ((Held(1), Held("a")), '{"held":[{"held":1},{"held":"a"}]}'),
    ],
)
def test_values_have_one_text(held: object, expected: str) -> None:
    """Decimals and dates are text, exact and without exponent; the rest is JSON's own."""
    actual = canonical_json(Held(held)).decode("utf-8")

    assert actual == expected


@pytest.mark.parametrize("held", [0.5, [1], {"a": 1}, b"a", Held])
def test_other_types_are_refused(held: object) -> None:
    """A binary fraction, a list that could still change or a type has no canonical text."""
    with pytest.raises(TypeError) as caught:
        canonical_json(Held(held))

    assert str(caught.value) == f"a view model holds no {type(held).__name__}"


def test_keys_are_sorted() -> None:
    """The order of the fields in the program does not matter to the text."""
    text = canonical_json(LANDING.known_at).decode("utf-8")

    assert text == f'{{"head":"{LANDING.known_at.head}","sequence":57}}'


def test_digest_is_that_of_the_text() -> None:
    """Anybody can take the digest of the JSON file and compare."""
    expected = hashlib.sha256(canonical_json(LANDING)).hexdigest()

    assert digest(LANDING) == expected
    assert digest(replace(LANDING, caution="other")) != expected
