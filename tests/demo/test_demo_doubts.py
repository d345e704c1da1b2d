"""Every line of the demo yard that was planted to be doubted raises the doubt it should."""

from datetime import date, timedelta
from typing import Any

import pytest

from tests.conftest import Yard
from tests.demo import _faults, _yard

pytestmark = pytest.mark.slow

# The kind of doubt that each kind of fault is to raise.
RAISES = {
    "same line twice on the sheet": "same_line_twice",
    "double entry on two sheets": "double_entry",
    "time over midnight": "past_midnight",
    "finish before start by a slip of the pen": "past_midnight",
    "both jobs in the same hours": "clock_overlap",
    "a day too long": "daily_limit",
    "sick and at work on one day": "work_and_absence",
    "on leave and at work on one day": "work_and_absence",
    "line on a Sunday": "day_off",
    "code of a package that is finished": "package_finished",
    "a job that has ended": "outside_job_dates",
    "a change that is stopped": "change_closed",
    "a change that is declined": "change_closed",
    "a leaver's number": "outside_crew_dates",
    "two digits swapped in the year": "future_date",
    "last year's date": "far_date",
    "nought hours": "no_time",
    "cause of rework unknown": "rework_cause",
}
PLANTED = [fault for fault in _faults.FAULTS if fault.becomes == "doubt"]


@pytest.fixture(scope="module")
def raised(demo_book: Yard) -> list[dict[str, Any]]:
    """The doubts of the demo yard's book."""
    return list(demo_book.json("doubts")["doubts"])


def is_of(fault: _faults.Fault, doubt: dict[str, Any]) -> bool:
    """Return whether a doubt is of the kind, the worker and the week of a fault."""
    day, monday = date.fromisoformat(doubt["day"]), _yard.day_of(fault.week)
    if len(fault.written) == 4 and fault.written.isdigit():
        day = day.replace(year=monday.year)
    return (
        doubt["kind"] == RAISES[fault.kind]
        and fault.worker in doubt["workers"]
        and monday <= day < monday + timedelta(days=7)
    )


# Written for 10 September, the day before the change was stopped: by its day it is in order.
BEYOND_THE_RULES = ["a change that is stopped"]


def test_every_planted_doubt_is_raised(raised: list[dict[str, Any]]) -> None:
    """Each planted line but one has a doubt of its kind, for its worker, in its week."""
    missed = [fault for fault in PLANTED if not any(is_of(fault, each) for each in raised)]

    assert [fault.kind for fault in missed] == BEYOND_THE_RULES


def test_doubts_do_not_drown_what_was_planted(raised: list[dict[str, Any]]) -> None:
    """Of twelve thousand lines fewer are doubted gravely and not planted than were planted."""
    grave = [each for each in raised if each["severity"] == "warn"]
    others = [each for each in grave if not any(is_of(fault, each) for fault in PLANTED)]

    assert len(others) < len(PLANTED)
