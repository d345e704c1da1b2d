"""The time that claims take up, entry by entry, and what becomes of it."""

from decimal import Decimal

import pytest

from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard, book_made_by

MARCH, APRIL = "2026-03-13", "2026-03-20"
HOUR = 3_600_000


def daywork_claimed(yard: Yard) -> None:
    """Make a job whose daywork of 8, 6.5 and 4 h is signed for three days and claimed."""
    job = claimed(yard, "10000.00")
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,8,D1,", "2026-02-03,6.5,D1,", "2026-02-09,4,D1,", "2026-02-04,1,D1,own")
    job.sign("S1", "D1", "2026-02-02", "2026-02-04")
    job.issue(MARCH)
    job.bill(1, MARCH)


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job whose daywork of 14.5 h at 50.00 is claimed; 4 h are unsigned."""
    yard.book.write_bytes(book_made_by(daywork_claimed))
    return ClaimedJob(yard)


def postings(job: ClaimedJob) -> list[tuple[str, str, str]]:
    """Return what claims took up: of which document, for which line, how many ms."""
    rows = job.shown("claim_posting")
    return [(row["document"], row["position"], row["ms"]) for row in rows]


def entry_of(job: ClaimedJob, day: str) -> str:
    """Return the entry of a day."""
    rows = job.yard.json("entries")
    return str(next(r["entry"] for r in rows if str(r["day"]) == day))


@pytest.mark.slow
def test_an_excess_that_comes_later_is_to_be_credited(job: ClaimedJob) -> None:
    """6.5 h are reversed after the claim: 325.00 are a correction until the next one is invoiced.

    What was claimed of the entry is given back; unsigned hours and work done again never were.
    """
    first = postings(job)
    job.yard.run("reverse", "entry", entry_of(job, "2026-02-03"), "--reason", "of another job")
    before = job.claimable(APRIL)
    job.issue(APRIL)
    job.credit("INV-0001", APRIL)
    job.bill(2, APRIL)
    after = job.claimable(APRIL)
    lines = [(each["claim_kind"], each["to_date"], each["amount"]) for each in before["lines"]]

    assert first == [
        ("CLAIM-C-001", "1", str(8 * HOUR)),
        ("CLAIM-C-001", "1", str(13 * HOUR // 2)),
    ]
    assert lines == [("daywork", Decimal(400), Decimal(0)), ("correction", 0, Decimal(-325))]
    assert (before["to_be_credited"], before["due"]) == (Decimal(325), Decimal(-325))
    assert postings(job)[2:] == [("CLAIM-C-002", "", str(-13 * HOUR // 2))]
    assert (after["to_be_credited"], after["due"]) == (0, 0)
    job.yard.run("check")


@pytest.mark.slow
def test_hours_signed_later_are_claimed_by_the_next_claim(job: ClaimedJob) -> None:
    """The second claim takes up 4 h more, and none of those before."""
    job.sign("S2", "D1", "2026-02-09", "2026-02-09")
    due = job.claimable(APRIL)["due"]
    job.issue(APRIL)

    assert due == Decimal(200)
    assert postings(job)[2:] == [("CLAIM-C-002", "1", str(4 * HOUR))]


@pytest.mark.slow
def test_a_value_agreed_takes_up_all_that_is_booked(job: ClaimedJob) -> None:
    """1,000.00 are agreed of what was claimed at 725.00: 275.00 are due, and 4 h more claimed."""
    job.events("D1,value_agreed,2026-03-16,,,1000")
    found = job.claimable(APRIL)
    job.issue(APRIL)

    assert [(each["to_date"], each["amount"]) for each in found["lines"]] == [(1000, Decimal(275))]
    assert postings(job)[2:] == [("CLAIM-C-002", "1", str(4 * HOUR))]


@pytest.mark.slow
def test_a_job_by_the_hour_claims_the_hours_of_its_packages(yard: Yard) -> None:
    """Hours on packages are taken up as they are claimed, work done again is not."""
    job = claimed(yard, "10000.00", 'contract_basis = "time_charge"')
    job.work("2026-02-02,8,P1,", "2026-02-04,2,P2,own")
    job.issue(MARCH)

    assert postings(job) == [("CLAIM-C-001", "1", str(8 * HOUR))]
