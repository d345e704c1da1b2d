"""What is withdrawn with the right fact in its place, of certificates, payments and items."""

import pytest

from tests.billing._invoices import HEAD, pay, put_invoice
from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard

DAY = "2026-02-27"
CERTIFIED = "claim,date,item,amount,reason\n"
ITEMS = "change,date,cost_kind,description,quantity,unit,unit_cost,reference\n"
RAIL = "W1,2026-02-03,material,Rail,{0},lot,10,note 1\n"


def put_right(job: ClaimedJob, table: str, text: str, *, ok: bool = True, first: int = 0) -> str:
    """Withdraw a fact of a table with a file in its place; return what was said."""
    fact, path = job.shown(table)[first]["id"], job.yard.write("right.csv", text)
    words = ("withdraw", "fact", fact, "--reason", "misread", "--with", path)
    return job.yard.run(*words, ok=ok).stderr


@pytest.mark.slow
def test_a_certificate_takes_the_place_of_a_wrong_one(yard: Yard) -> None:
    """Of 5,000.00 claimed 4,000.00 were certified, recorded as 400.00: the rest is disallowed.

    The right row is judged as any other: what is above the claim, or no claim, is refused.
    """
    job = claimed(yard, "10000.00", 'certificate = "required"')
    job.claim_to(DAY, "base 50")
    job.certify("1,2026-03-05,base,400,painting not seen")
    above = put_right(job, "certified", f"{CERTIFIED}1,2026-03-05,base,6000,\n", ok=False)
    unknown = put_right(job, "certified", f"{CERTIFIED}2,2026-03-05,base,6000,\n", ok=False)
    put_right(job, "certified", f"{CERTIFIED}1,2026-03-05,base,4000,painting not seen\n")
    account = yard.json("account", "--job", job.job, "--to", "2026-03-31")
    yard.run("check")

    assert "6000 is above what was claimed of base, 5000.00" in above
    assert 'unknown claim "2"; use 1' in unknown
    assert account["certified_to_date"] == 4_000
    assert [row["amount"] for row in account["disallowed"]] == [1_000]


@pytest.mark.slow
def test_a_payment_is_withdrawn_alone(yard: Yard) -> None:
    """With a right row it is refused and the message says how; alone, the right row is loaded."""
    job = claimed(yard, "10000.00")
    put_invoice(yard, "R-1", "1000.00", "2026-02-10")
    pay(yard, "R-1,2026-02-15,100,B1")
    refused = put_right(job, "payment", f"{HEAD}R-1,2026-02-15,1000,B1,,,,\n", ok=False)
    yard.run("withdraw", "fact", job.shown("payment")[0]["id"], "--reason", "misread")
    pay(yard, "R-1,2026-02-15,1000,B1")

    assert (
        refused == "withdraw the payment alone, then `fairhours load payments` with the right row\n"
    )
    assert yard.json("account", "--job", job.job, "--to", DAY)["paid_to_date"] == 1_000


@pytest.mark.slow
def test_more_rows_in_the_place_of_one_leave_the_others(yard: Yard) -> None:
    """Two items in the place of the first of three: the others keep their numbers and amounts."""
    job = claimed(yard, "10000.00")
    job.change("W1", "1,lot,50", basis="daywork")
    job.load("daywork-items", ITEMS + "".join(map(RAIL.format, (1, 2, 3))))
    put_right(job, "daywork_item", ITEMS + RAIL.format(5) + RAIL.format(7))
    found = [(row["number"], row["quantity"]) for row in job.shown("daywork_item")]
    yard.run("check")

    assert sorted((int(number), float(quantity)) for number, quantity in found) == [
        (1, 5),
        (2, 2),
        (3, 3),
        (4, 7),
    ]
