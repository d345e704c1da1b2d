"""Clocked times and settled doubts are sealed as every fact is."""

import pytest

from tests._stage import SAMPLE
from tests.conftest import Yard
from tests.sheets._doubts import doubts
from tests.store import _verifier


@pytest.mark.slow
def test_clocked_times_and_settled_doubts_can_be_verified_from_the_export(yard: Yard) -> None:
    """Their leaves, roots and heads, reckoned without the program, are those of the book."""
    yard.run("load", "crew", SAMPLE / "crew.csv")
    clock = "worker_id,date,clock_in,clock_out,break_minutes\nA1,2026-03-02,07:00,15:30,\n"
    yard.run("load", "attendance", yard.write("clock.csv", clock))
    sheet = "sheet,worker_id,date,hours,booking_code\nS1,A1,2026-03-02,17,X\n"
    yard.run("load", "sheets", yard.write("week.csv", sheet))
    for each in doubts(yard):
        yard.run("settle", "doubt", each["doubt"], "--reason", 'the "launch", 水')
    folder = yard.folder / "archive"
    yard.run("export", folder)
    actual = _verifier.reckoned(folder)

    assert {"attendance", "doubt_settled"} < {name for batch in actual for name in batch.roots}
    assert actual == _verifier.as_exported(folder)
