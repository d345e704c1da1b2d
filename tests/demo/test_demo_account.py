"""The ferry's account is the one reckoned from its files, to the cent, at four dates."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.conftest import Yard
from tests.demo import _replay
from tests.demo._reckon_account import Account
from tests.demo._reckon_schedule import loads_of
from tests.demo.conftest import REPORTED

EVENINGS = [(evening[:10], day) for evening, day in REPORTED.items()]


def in_cents(amount: Decimal) -> int:
    whole = amount * 100
    assert whole == int(whole)
    return int(whole)


def told(book: Yard, known: str, day: str, names: Any) -> dict[str, Any]:
    """Return the account of the ferry on a day, as known on another: the amounts of some names."""
    found = book.json("--known-at", known, "account", "--job", "FERRY", "--to", day)
    amounts = {name: in_cents(found[name]) for name in names if name != "aged"}
    return amounts | {"aged": {row["band"]: in_cents(row["outstanding"]) for row in found["aged"]}}


@pytest.mark.slow
@pytest.mark.parametrize(("known", "day"), EVENINGS)
def test_the_account_is_as_reckoned(demo_book: Yard, known: str, day: str) -> None:
    """Its sums, value, retention, and what is certified, invoiced, paid and outstanding by age."""
    loads = loads_of(_replay.SAMPLE, date.fromisoformat(known))
    expected = Account(loads, "FERRY", date.fromisoformat(day)).figures()

    assert told(demo_book, known, day, expected) == expected
    assert expected["invoiced_to_date"] > 0


@pytest.mark.slow
def test_a_set_off_stays_in_dispute(demo_book: Yard) -> None:
    """What the society took off its second payment is outstanding, in dispute, and long overdue."""
    known, day = EVENINGS[-1]
    found = demo_book.json("--known-at", known, "account", "--job", "FERRY", "--to", day)
    [overdue] = [row for row in found["aged"] if row["band"] == "over_90"]

    assert found["disputed"] == overdue["disputed"] == overdue["outstanding"] == 3200
