"""What a certificate rests on is not withdrawn while the certificate stands."""

import pytest

from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard, book_made_by, slow_beyond

FEBRUARY, MARCH = "2026-02-27", "2026-03-13"
ITEMS = "change,item,date,cost_kind,description,quantity,unit,unit_cost\n"
HEAD = "name,date,person,reference,work_package,trade,hours,contract_sum\n"
MOVED = "B1,2026-02-02,Owner,letter,P1,craft,5,12000\nB1,2026-02-02,Owner,letter,P2,craft,-5,\n"


def all_certified(yard: Yard) -> None:
    """Make a job of which all kinds of work are claimed to March and certified."""
    job = claimed(yard, "10000.00", 'certificate = "required"\n')
    job.load("baseline-changes", HEAD + MOVED)
    job.change("V1", "1,lot,400")
    job.change("V2", "1,lot,300", events=("V2,submitted,2026-01-13", "V2,instructed,2026-01-14"))
    job.change("D1", "labour,craft,20", basis="daywork")
    crane, rope = "D1,1,2026-02-02,plant,Crane,2,day,100\n", "D1,2,2026-03-16,material,Rope,1,m,5\n"
    job.load("daywork-items", ITEMS + crane + rope)
    job.work("2026-02-02,8,D1,", "2026-03-16,2,D1,")
    job.sign("S1", "D1", "2026-02-02", "2026-02-03")
    job.percents("base,2026-01-30,20,,", f"base,{FEBRUARY},50,,", f"V1,{FEBRUARY},100,,")
    job.percents(f"V2,{FEBRUARY},,100,yes")
    job.issue(MARCH)
    job.certify(*(f"1,{MARCH},{item},{sum_},less" for item, sum_ in CERTIFIED.items()))
    job.percents(f"base,{MARCH},60,,")
    job.sign("S2", "D1", "2026-03-16", "2026-03-16")


CERTIFIED = {"base": "5000", "V1": "400", "V2": "100", "D1": "600"}


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job of which all kinds of work are certified."""
    yard.book.write_bytes(book_made_by(all_certified))
    return ClaimedJob(yard)


def fact(job: ClaimedJob, table: str, **values: str) -> str:
    """Return the id of a fact by some of its values."""
    rows = [row for row in job.shown(table) if values.items() <= row.items()]
    return rows[0]["id"]


def withdraw(job: ClaimedJob, *ids: str, ok: bool = True) -> str:
    return job.yard.run("withdraw", "fact", *ids, "--reason", "typed wrongly", ok=ok).stderr


# A fact, and the item whose certificate rests on it.
RESTS = [
    ("claim_percent", {"item": "base", "day": FEBRUARY}, "base"),
    ("daywork_sheet", {"daywork_sheet": "S1"}, "D1"),
    ("daywork_item", {"number": "1"}, "D1"),
    ("change_event", {"change": "V1", "event": "approved"}, "V1"),
    ("change_event", {"change": "V2", "event": "instructed"}, "V2"),
    ("baseline_change", {"contract_sum": "12000.0000"}, "base"),
]


@pytest.mark.parametrize(("table", "values", "item"), slow_beyond(1, RESTS))
def test_a_fact_that_a_certificate_rests_on_is_not_withdrawn(
    job: ClaimedJob, table: str, values: dict[str, str], item: str
) -> None:
    """It is named with the certificate, which may be withdrawn with it."""
    ident, certificate = fact(job, table, **values), fact(job, "certified", item=item)

    assert withdraw(job, ident, ok=False) == (
        f"{ident}: what was certified of {item} on claim 1 depends on it; enter what applies "
        f"from now on, or withdraw {certificate} as well\n"
    )


@pytest.mark.slow
def test_a_fact_is_withdrawn_with_its_certificate(job: ClaimedJob) -> None:
    """Nothing of the base is certified any more, and 20 % of 12,000.00 may be claimed."""
    percent = fact(job, "claim_percent", item="base", day=FEBRUARY)
    withdraw(job, percent, fact(job, "certified", item="base"))
    (base, *_) = job.claimable(FEBRUARY)["lines"]

    assert (base["to_date"], base["certified"]) == (2400, 0)


# Facts of the same kinds on which no certificate rests: an earlier one, and what came later.
FREE = [
    ("claim_percent", {"item": "base", "day": "2026-01-30"}),
    ("claim_percent", {"item": "base", "day": MARCH}),
    ("daywork_sheet", {"daywork_sheet": "S2"}),
]


@pytest.mark.slow
@pytest.mark.parametrize(("table", "values"), FREE)
def test_what_no_certificate_rests_on_may_be_withdrawn(
    job: ClaimedJob, table: str, values: dict[str, str]
) -> None:
    """A percentage before the one that was claimed by, or a sheet signed since, is no ground."""
    assert "withdrawn" in withdraw(job, fact(job, table, **values))


@pytest.mark.slow
def test_a_claim_without_certificate_refuses_no_withdrawal(yard: Yard) -> None:
    """Before it is invoiced what it asked for in error is asked for no more by the next claim."""
    job = claimed(yard, "10000.00")
    job.percents(f"base,{FEBRUARY},50,,")
    job.issue(FEBRUARY)
    withdraw(job, fact(job, "claim_percent", item="base"))

    assert job.claimable(MARCH)["due"] == 0
