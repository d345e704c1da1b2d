"""Hours leave a job only when that is asked for."""

import pytest

from tests._stage import JOB, SAMPLE, SHEET_HEAD, booked, load, load_sheets
from tests.conftest import Yard
from tests.sheets.test_places import (
    ESTIMATE_HEAD,
    HOUR,
    OTHER_JOB,
    RULE_HEAD,
    estimate_of_quay,
    line,
    rule,
)

REFUSED = """\
this would take 8.00 h out of job STAGE:
  STAGE RAIL -> untagged, no job: 8.00 h
to keep the hours, give the lines their job first: \
`fairhours correct entries --file week.csv job=STAGE --reason "..."`; \
to move them anyway: --move-hours
"""


@pytest.fixture
def unnamed(stage: Yard) -> Yard:
    """A yard with 8 h on RAIL that are the job's only because it alone has that code."""
    stage.run("load", "sheets", stage.write("week.csv", SHEET_HEAD + line("RAIL")))
    return stage


def estimate_of_second_job(yard: Yard) -> tuple[object, ...]:
    """Load a second job, and return the words that load its estimate: a package RAIL."""
    yard.run("load", "job", yard.write("quay.toml", OTHER_JOB))
    row = "RAIL,Part,wall,carpenter,8,2026-03-02,2026-03-06,percent_complete\n"
    return "load", "estimate", "--job", "QUAY", yard.write("quay.csv", ESTIMATE_HEAD + row)


def test_a_second_job_with_the_same_code_takes_no_hours_unasked(unnamed: Yard) -> None:
    """Its estimate is refused, with the hours, the job and the way to settle it."""
    outcome = unnamed.run(*estimate_of_second_job(unnamed), ok=False)

    assert outcome.stderr == REFUSED
    assert booked(unnamed) == {(JOB, "RAIL", "", ""): 8 * HOUR}


def test_hours_leave_a_job_when_asked_for_and_are_listed(unnamed: Yard) -> None:
    """With --move-hours the load is done, and says what moved."""
    outcome = unnamed.run(*estimate_of_second_job(unnamed), "--move-hours")

    assert outcome.stderr.splitlines()[-2:] == [
        "1 entry moved, 8.00 h:",
        "  STAGE RAIL -> untagged, no job: 8.00 h",
    ]
    assert booked(unnamed) == {("", "untagged", "", ""): 8 * HOUR}


def test_a_package_left_out_of_the_estimate_keeps_its_hours(unnamed: Yard) -> None:
    """A renamed package would leave its hours without a job: refused too."""
    text = (SAMPLE / "estimate.csv").read_text(encoding="utf-8").replace("RAIL,", "RAILING,")

    assert load(unnamed, "estimate", text, ok=False) == REFUSED


def test_a_second_job_takes_no_lost_time_unasked(stage: Yard) -> None:
    """A cause of lost time is a code of every job: with two jobs a line has to name its own."""
    stage.run("load", "sheets", stage.write("week.csv", SHEET_HEAD + line("RAIN")))
    outcome = stage.run("load", "job", stage.write("quay.toml", OTHER_JOB), ok=False)

    assert outcome.stderr == REFUSED.replace("STAGE RAIL", "STAGE non_productive weather")


def test_lines_that_name_their_job_stay_without_asking(stage: Yard) -> None:
    """A second job with the same codes moves nothing of lines that were loaded for a job."""
    load_sheets(stage, SHEET_HEAD + line("RAIL"))
    estimate_of_quay(stage, "RAIL")

    assert booked(stage) == {(JOB, "RAIL", "", ""): 8 * HOUR}


def test_rules_move_hours_out_of_a_job_as_they_were_asked_to(unnamed: Yard) -> None:
    """What a rule moves is asked for, and listed."""
    rules = RULE_HEAD + rule("shop", 1, "overhead", booking_code="RAIL", cause="clean_up")
    outcome = unnamed.run("load", "rules", unnamed.write("rules.csv", rules))

    assert outcome.stderr.splitlines()[-2:] == [
        "1 entry moved, 8.00 h:",
        "  STAGE RAIL -> overhead clean_up: 8.00 h",
    ]
