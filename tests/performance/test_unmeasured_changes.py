"""A change that is complete and was never measured says so beside its forecast."""

import pytest

from tests._stage import JOB, load_sheets
from tests.conftest import Yard, slow_beyond
from tests.inputs._moves import freeze, measure, price, request, tell

HEAD = "worker_id,date,hours,booking_code,note\n"
FINISHED = "what was booked, as the work is finished"
NEVER = f"{FINISHED}; never measured as done, so that EV is 0: Q1"


@pytest.mark.parametrize(("percent", "reason"), slow_beyond(1, [(None, NEVER), ("100", FINISHED)]))
def test_the_reason_names_a_change_that_was_never_measured(
    stage: Yard, percent: str | None, reason: str
) -> None:
    """8 h approved, 5 h booked and complete: without a measure nothing is earned of it."""
    freeze(stage)
    request(stage, "Q1")
    price(stage, "Q1,1,carpenter,8")
    tell(stage, "Q1,approved,2026-03-09")
    load_sheets(stage, f"{HEAD}A1,2026-03-11,5,Q1,\n")
    if percent:
        measure(stage, "Q1", "2026-03-12", percent=percent)
    tell(stage, "Q1,complete,2026-03-13")
    words = ("--job", JOB, "--status-date", "2026-03-15", "--by", "work-package")
    rows = {row["key"]: row for row in stage.json("performance", *words)["rows"]}

    assert rows["Q1"]["ev"] == (8 if percent else 0)
    assert (rows["Q1"]["eac_method"], rows["Q1"]["eac_method_reason"]) == ("finished", reason)
