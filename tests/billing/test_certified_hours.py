"""Hours that a certificate leaves short: freed, moved, or accepted later."""

from decimal import Decimal

import pytest

from tests.billing._job import ClaimedJob, claimed
from tests.billing.test_claimed_hours import HOUR, MARCH, entry_of, postings
from tests.conftest import Yard

LATER = "2026-04-10"


def certified_short(yard: Yard) -> None:
    """Make a job of which 8 and 4 h of daywork at 50.00 are claimed; 450.00 are certified."""
    job = claimed(yard, "10000.00", 'certificate = "required"')
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,8,D1,", "2026-02-03,4,D1,")
    job.sign("S1", "D1", "2026-02-02", "2026-02-03")
    job.issue(MARCH)
    job.certify("1,2026-03-20,D1,450,3 h not seen")


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    yard.copy_made_by(certified_short)
    return ClaimedJob(yard)


@pytest.mark.slow
def test_hours_that_a_certificate_disallows_are_freed(job: ClaimedJob) -> None:
    """150.00 short at 50.00 an hour are 3 h, of the latest day; they are listed as disallowed."""
    left = [(e["reason"], e["amount"]) for e in job.claimable(MARCH)["left_out"]]

    assert postings(job)[2:] == [("CLAIM-C-001", "", str(-3 * HOUR))]
    assert left == [("disallowed", Decimal(150))]


@pytest.mark.slow
def test_hours_struck_off_and_accepted_later_are_claimed_again(job: ClaimedJob) -> None:
    """Certified in full after all they are taken up again, and billed once."""
    job.certify("1,2026-03-27,D1,600,")
    found = job.claimable(LATER)

    assert postings(job)[2:] == [
        ("CLAIM-C-001", "", str(-3 * HOUR)),
        ("CLAIM-C-001", "1", str(3 * HOUR)),
    ]
    assert (found["total"], found["left_out"]) == (0, [])
    job.yard.run("check")


@pytest.mark.slow
def test_the_next_claim_asks_for_freed_hours(job: ClaimedJob) -> None:
    """As they are still agreed the next claim takes them up, and its certificate keeps them."""
    due = job.claimable(LATER)["due"]
    job.issue(LATER)
    job.certify(f"2,{LATER},D1,600,")

    assert due == 150
    assert postings(job)[3:] == [("CLAIM-C-002", "1", str(3 * HOUR))]
    assert job.claimable(LATER)["due"] == 0
    job.yard.run("check")


@pytest.mark.slow
def test_freed_hours_may_go_elsewhere_and_are_then_credited(yard: Yard) -> None:
    """An entry all of whose hours are struck off may be tagged; certified later it is credited."""
    yard.copy_made_by(certified_short)
    job = ClaimedJob(yard)
    job.certify("1,2026-03-20,D1,400,4 h not seen")
    entry = entry_of(job, "2026-02-03")
    yard.run("tag", "entries", entry, "--to", "CLAIM P1", "--reason", "as the owner says")
    job.certify("1,2026-03-27,D1,600,")
    found = job.claimable(LATER)

    assert sum(int(ms) for _, _, ms in postings(job)) == 8 * HOUR
    assert (found["to_be_credited"], found["due"]) == (200, -200)
    yard.run("check")


@pytest.mark.slow
def test_hours_are_claimed_again_once_a_certificate_is_withdrawn(job: ClaimedJob) -> None:
    """Without a certificate the claim waits with all its hours."""
    [fact] = [row["id"] for row in job.shown("certified")]
    job.yard.run("withdraw", "fact", fact, "--reason", "of another job")

    assert sum(int(ms) for _, _, ms in postings(job)) == 12 * HOUR
    job.yard.run("check")
