"""Claimed entries are moved by no rule and no tag, and are listed instead."""

import pytest

from tests.billing._job import ClaimedJob
from tests.billing.test_claimed_hours import daywork_claimed, entry_of
from tests.conftest import Yard, book_made_by

RULE = "rule,priority,worker_id,from,to,booked_to,job\nall,1,A1,{from_},{to},P1,CLAIM\n"


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job whose daywork of 2 and 3 February is claimed, and that of the 9th is not."""
    yard.book.write_bytes(book_made_by(daywork_claimed))
    return ClaimedJob(yard)


def booked_to(job: ClaimedJob) -> dict[str, str]:
    """Return where the entries of each day are booked."""
    return {str(row["day"]): row["booked_to"] for row in job.yard.json("entries")}


def test_a_rule_moves_no_claimed_entry(job: ClaimedJob) -> None:
    """What is not claimed moves; what is claimed is listed, also by a dry run, and by `kept`."""
    path = job.yard.write("rules.csv", RULE.format(from_="2026-02-02", to="2026-02-09"))
    tried = job.yard.run("load", "rules", "--dry-run", path).stderr
    said = job.yard.run("load", "rules", "--with-closed", "--reason", "late", path).stderr
    kept = job.yard.json("kept")

    for text in (tried, said):
        assert "2 claimed entries not moved; see `fairhours kept`" in text
    assert booked_to(job) == {
        "2026-02-02": "CLAIM D1",
        "2026-02-03": "CLAIM D1",
        "2026-02-04": "CLAIM P1",
        "2026-02-09": "CLAIM P1",
    }
    assert [(str(row["day"]), row["is_claimed"]) for row in kept] == [
        ("2026-02-02", True),
        ("2026-02-03", True),
    ]
    job.yard.run("check")


def test_a_tag_moves_no_claimed_entry(job: ClaimedJob) -> None:
    """A claimed entry is named as not tagged, by the dry run too, and another is tagged."""
    claimed, free = entry_of(job, "2026-02-02"), entry_of(job, "2026-02-09")
    tag = ("tag", "entries", claimed, free, "--to", "CLAIM P1", "--reason", "asked")
    said = [job.yard.run(*tag, *more).stderr for more in (("--dry-run",), ("--with-closed",))]

    for text in said:
        assert (
            "1 claimed entry not tagged; correct or reverse what was claimed wrongly:\n"
            f"  {claimed}: A1 on 2026-02-02, 8.00 h" in text
        )
    assert booked_to(job)["2026-02-02"] == "CLAIM D1"
    assert booked_to(job)["2026-02-09"] == "CLAIM P1"


@pytest.mark.slow
def test_hours_shared_out_stay_once_claimed(job: ClaimedJob) -> None:
    """A rule that shares hours by the crew's splits no claimed entry anew."""
    rule = "rule,priority,worker_id,share_by,job\nall,1,A1,crew_hours,CLAIM\n"
    crew = "worker_id,name,trade\nB1,Bo,craft\n"
    job.yard.run("load", "crew", job.yard.write("crew2.csv", crew))
    hours = "worker_id,date,hours,booking_code\nB1,2026-02-02,4,P1\nB1,2026-02-09,4,P2\n"
    job.yard.run("load", "sheets", "--job", job.job, job.yard.write("b.csv", hours))
    said = job.yard.run("load", "rules", job.yard.write("share.csv", rule)).stderr
    places = {
        (str(row["day"]), row["booked_to"])
        for row in job.yard.json("entries")
        if row["worker_id"] == "A1"
    }

    assert "2 claimed entries not moved" in said
    assert {
        ("2026-02-02", "CLAIM D1"),
        ("2026-02-03", "CLAIM D1"),
        ("2026-02-09", "CLAIM P2"),
    } <= places
