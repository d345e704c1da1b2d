"""What is certified of claims, and what the next claim makes of it."""

from decimal import Decimal
from typing import Any

import pytest

from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard, book_made_by

FEBRUARY, MARCH, APRIL = "2026-02-27", "2026-03-13", "2026-03-20"
REQUIRED = 'certificate = "required"\n[retention]\npercent = 10\n'


def certified_job(yard: Yard) -> None:
    """Make a job of 10,000.00 whose claims are certified, 10 % retained, with two changes."""
    job = claimed(yard, "10000.00", REQUIRED)
    job.change("V1", "1,lot,400")
    job.percents(f"base,{FEBRUARY},50,,", f"V1,{FEBRUARY},100,,")
    job.issue(FEBRUARY)


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job of 10,000.00 with its first claim: 5,000.00 and 400.00 of V1."""
    yard.book.write_bytes(book_made_by(certified_job))
    return ClaimedJob(yard)


def disallowed(found: Any) -> list[tuple[str, Decimal]]:
    """Return what is left out as disallowed, and the amount."""
    return [(e["change"], e["amount"]) for e in found["left_out"] if e["reason"] == "disallowed"]


def test_a_short_certificate_is_recovered_by_the_next_claim(job: ClaimedJob) -> None:
    """4,600.00 of 5,400.00 are certified; the rest is listed until it is, and claimed again."""
    job.certify(f"1,{MARCH},base,4200,frame not painted", f"CLAIM-C-001,{MARCH},v1,400,")
    job.percents(f"base,{MARCH},60,,")
    found = job.claimable(MARCH)
    job.issue(MARCH)
    job.certify(f"2,{APRIL},base,6000,", f"2,{APRIL},V1,400,")
    after = job.claimable(APRIL)

    assert disallowed(found) == [("base", Decimal(800))]
    assert [line["amount"] for line in found["lines"]] == [Decimal(1800), Decimal(0)]
    # 6,400 less 10 %, less 4,600 less 10 %.
    assert (found["net_to_date"], found["certified_before"]) == (Decimal(5760), Decimal(4140))
    assert found["due"] == Decimal(1620)
    assert (disallowed(after), after["due"]) == ([], 0)


@pytest.mark.slow
def test_a_claim_supersedes_one_that_is_not_certified(job: ClaimedJob) -> None:
    """The second claim asks for all to date, and the first cannot be certified any more."""
    job.percents(f"base,{MARCH},60,,")
    job.issue(MARCH)
    said = job.certify(f"1,{MARCH},base,5000,", ok=False)
    lines = [row for row in job.shown("document_line") if row["document"] == "CLAIM-C-002"]

    assert said.splitlines()[0] == "certified.csv:2: claim 1 was superseded; certify claim 2"
    assert [(row["to_date"], row["before"]) for row in lines] == [
        ("6000.0000", "0.0000"),
        ("400.0000", "0.0000"),
    ]


@pytest.mark.slow
def test_three_claims_without_certificate_bill_nothing_twice(yard: Yard) -> None:
    """What is due of each, invoiced, adds to the net value; it is asked for once."""
    job = claimed(yard, "10000.00", "[retention]\npercent = 10\n")
    due = []
    for day, percent in ((FEBRUARY, 30), (MARCH, 55), (APRIL, 80)):
        job.percents(f"base,{day},{percent},,")
        due.append(job.claimable(day)["due"])
        job.issue(day)
        job.bill(len(due), day)
    last = job.claimable(APRIL)

    assert due == [Decimal(2700), Decimal(2250), Decimal(2250)]
    assert (sum(due), last["due"]) == (last["net_to_date"], 0)
    assert job.issue(APRIL, ok=False) == (
        f"job CLAIM: nothing more may be claimed to {APRIL}; see "
        "`fairhours claimable --job CLAIM`\n"
    )
    assert "needs no certificate" in job.certify(f"1,{APRIL},base,3000,", ok=False)
    job.yard.run("check")


def test_items_that_differ_by_a_letter_are_certified_apart(yard: Yard) -> None:
    """STRASSE and STRAẞE are two changes, in small letters too, as they are wherever codes are."""
    job = claimed(yard, "10000.00", REQUIRED)
    for change, amount in (("strasse", 1000), ("straße", 500)):
        job.change(change, f"1,lot,{amount}")
    job.percents(f"strasse,{FEBRUARY},100,,", f"straße,{FEBRUARY},100,,")
    job.issue(FEBRUARY)
    job.certify(f"1,{MARCH},strasse,450,short", f"1,{MARCH},straße,500,")
    items = {row["item"]: Decimal(row["amount"]) for row in job.shown("certified")}

    assert items == {"STRASSE": Decimal(450), "STRAẞE": Decimal(500)}


REFUSED = [
    (f"2,{MARCH},base,1,late", 'unknown claim "2"; use 1'),
    (f"1,{MARCH},V2,1,late", '"V2" is not on claim 1; use base, V1'),
    (f"1,{MARCH},base,5000.01,", "5000.01 is above what was claimed of base, 5000.00"),
    (f"1,{MARCH},V1,1,", "1 is less than was claimed of V1, 400.00; fill in the reason"),
    ("1,2026-02-26,V1,400,", "2026-02-26 is before 2026-02-27, the day that claim 1 goes to"),
]


@pytest.mark.slow
def test_a_certificate_that_does_not_fit_is_refused_with_its_line(job: ClaimedJob) -> None:
    """Every row that does not fit the claim is named, and none is loaded."""
    said = job.certify(*(row for row, _ in REFUSED), ok=False).splitlines()

    assert said[:-1] == [
        f"certified.csv:{line}: {why}" for line, (_, why) in enumerate(REFUSED, start=2)
    ]
    assert job.shown("certified") == []


@pytest.mark.slow
def test_a_certificate_withdrawn_counts_no_longer(job: ClaimedJob) -> None:
    """The next claim asks for what it had certified."""
    job.certify(f"1,{MARCH},base,5000,", f"1,{MARCH},V1,400,")
    before = job.claimable(MARCH)["due"]
    ident = next(row["id"] for row in job.shown("certified") if row["item"] == "V1")
    job.yard.run("withdraw", "fact", ident, "--reason", "typed twice")

    assert (before, job.claimable(MARCH)["due"]) == (0, Decimal(360))


def test_an_account_states_claims_with_what_is_certified(job: ClaimedJob) -> None:
    """The adjusted sum, net of 10 %, 4,200.00 certified of 5,400.00; the second claim is open."""
    job.certify(f"1,{MARCH},base,4200,frame not painted")
    job.issue(MARCH)
    words = ("account", "--job", job.job, "--to", MARCH)
    found = job.yard.json(*words)
    amounts = job.yard.rows(job.yard.run(*words, "--format", "csv").stdout)

    assert (found["original_sum"], found["adjusted_sum"]) == (10_000, 10_400)
    assert (found["value_to_date"], found["retention_held"]) == (5_400, 540)
    assert (found["certified_to_date"], found["outstanding"]) == (3_780, 0)
    assert [(each["value_to_date"], each["certified"]) for each in found["claims"]] == [
        (5_400, 4_200),
        (5_400, None),
    ]
    assert [row for row in amounts if Decimal(row["amount"]).as_tuple().exponent != -2] == []


RELEASED = """
delivered_on = 2026-03-10
[retention]
percent = 10
[[retention.release]]
percent = 50
at = "delivery"
"""


@pytest.mark.slow
def test_retention_is_released_by_the_claim_after_delivery(yard: Yard) -> None:
    """4,500.00 of 5,000.00 are due; then 8,000.00 less 800.00, of which 400.00 are released."""
    job = claimed(yard, "10000.00", RELEASED)
    due = []
    for day, percent in ((FEBRUARY, 50), (MARCH, 80)):
        job.percents(f"base,{day},{percent},,")
        due.append(job.claimable(day)["due"])
        job.issue(day)
        job.bill(len(due), day)

    assert due == [Decimal(4500), Decimal(3100)]
    assert "Retention released" in job.page(MARCH)
    assert "Retention released" not in job.page(FEBRUARY)
