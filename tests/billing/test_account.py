"""The account of a job from claim to money: claimed, invoiced, credited, paid, and held."""

from decimal import Decimal
from typing import Any

import pytest

from tests.billing._invoices import pay
from tests.billing._job import ClaimedJob, claimed
from tests.conftest import Yard
from tests.reports._yard_pages import conforms

FIRST, SECOND = "2026-02-27", "2026-03-27"
RETAINED = "[retention]\npercent = 10\n"


def billed(yard: Yard) -> None:
    """Make a job of 10,000 with 10 % retained, of which half is claimed and invoiced."""
    job = claimed(yard, "10000.00", RETAINED)
    job.claim_to(FIRST, "base 50")
    job.bill(1, FIRST)


def account(yard: Yard, to: str) -> Any:
    """Return the account of the job, which adds up in each of its parts."""
    found = yard.json("account", "--job", "CLAIM", "--to", to)
    outstanding = found["outstanding"]
    assert sum(each["outstanding"] for each in found["aged"]) == outstanding
    assert sum(each["outstanding"] for each in found["invoices"]) == outstanding
    assert sum(each["amount"] for each in found["statement"]) == outstanding
    assert [each["balance"] for each in found["statement"]][-1:] in ([], [outstanding])
    return found


TAXED = ("invoiced_to_date", "credited_to_date", "paid_to_date", "outstanding", "disputed")


def taxed(found: Any) -> list[Decimal]:
    return [found[name] for name in TAXED]


@pytest.mark.slow
def test_an_account_goes_from_value_to_what_is_outstanding(yard: Yard) -> None:
    """Of 5,000 done 500 are held; 4,500 and 21 % tax are invoiced, 5,000 paid, 445 set off."""
    yard.copy_made_by(billed)
    pay(yard, "INV-0001,2026-03-10,5000,B1,445,set_off,,late hatch")
    found = account(yard, SECOND)

    assert (found["value_to_date"], found["retention_held"]) == (5000, 500)
    assert (found["net_to_date"], found["certified_to_date"]) == (4500, 4500)
    assert taxed(found) == [Decimal("5445"), 0, 5000, 445, 445]
    assert [(e["claim"], e["value"], e["kept"], e["held"]) for e in found["retention"]] == [
        (1, 5000, 500, 500)
    ]


@pytest.mark.slow
def test_left_out_the_day_is_that_of_the_newest_money(yard: Yard) -> None:
    """An invoice and a payment later than the last work are in the account all the same."""
    yard.copy_made_by(billed)
    pay(yard, "INV-0001,2026-04-20,5000,B1,,,,")
    found = yard.json("account", "--job", "CLAIM")

    assert found["to"] == "2026-04-20"
    assert yard.run("claimable", "--job", "CLAIM", ok=False).stderr == (
        "job CLAIM: no week has both an entry and a measurement; give --to\n"
    )
    assert taxed(found) == [Decimal("5445"), 0, 5000, 445, 0]


@pytest.mark.slow
def test_an_invoice_credited_and_billed_again_is_owed_once(yard: Yard) -> None:
    """A wrongly addressed invoice falls away with its credit note; the next one is owed."""
    yard.copy_made_by(billed)
    job = ClaimedJob(yard)
    job.credit("INV-0001", "2026-03-02")
    credited = account(yard, "2026-03-02")
    job.bill(1, "2026-03-03")
    numbers = [each.document for each in job.invoices()]
    pay(yard, f"{numbers[2]},2026-03-10,5445")
    refused = pay(yard, f"{numbers[1]},2026-03-10,1", ok=False)

    assert taxed(credited) == [5445, 5445, 0, 0, 0]
    assert taxed(account(yard, SECOND)) == [10890, 5445, 5445, 0, 0]
    assert f"{numbers[1]} is a credit note; name the invoice that it credits, INV-0001" in refused
    yard.run("check")


@pytest.mark.slow
def test_claims_to_the_same_day_retain_each_their_own(yard: Yard) -> None:
    """Of 5,000 and then 8,000 certified, 500 and 800 are held, though both go to one day."""
    yard.copy_made_by(billed)
    job = ClaimedJob(yard)
    job.claim_to(FIRST, "base 80")
    job.bill(2, FIRST)
    found = account(yard, FIRST)

    assert [(each["claim"], each["value"], each["held"]) for each in found["retention"]] == [
        (1, 5000, 500),
        (2, 8000, 800),
    ]


@pytest.mark.slow
def test_retention_is_listed_claim_by_claim(yard: Yard) -> None:
    """Each claim with what was certified to its day, kept of it, released, and held."""
    yard.copy_made_by(billed)
    job = ClaimedJob(yard)
    job.claim_to(SECOND, "base 80")
    open_yet = account(yard, SECOND)["retention"]
    job.bill(2, SECOND)

    assert [each["claim"] for each in open_yet] == [1]
    assert [
        (each["claim"], each["value"], each["kept"], each["held"])
        for each in account(yard, SECOND)["retention"]
    ] == [(1, 5000, 500, 500), (2, 8000, 800, 800)]


@pytest.mark.slow
def test_work_in_progress_counts_what_is_invoiced_before_retention(yard: Yard) -> None:
    """Of 5,000 invoiced 500 are held: 5,000 are billed; credited, nothing is."""
    yard.copy_made_by(billed)
    job = ClaimedJob(yard)
    yard.run(
        "load",
        "rates",
        yard.write("r.csv", "trade,effective_from,cost_per_hour\ncraft,2025-01-01,1\n"),
    )
    job.work("2026-02-02,1,P1,")
    job.load("job-costs", "date,cost_kind,amount,forecast_remaining\n2026-02-02,material,10,10\n")
    words = ("work-in-progress", "--job", job.job, "--to", SECOND)
    before = yard.json(*words)["billed_to_date"]
    job.credit("INV-0001", "2026-03-02")

    assert before == 5000
    assert yard.json(*words)["billed_to_date"] == 0


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["html", "xlsx", "json", "pdf"])
def test_the_account_is_made_as_a_page(yard: Yard, ending: str) -> None:
    """Outstanding, overdue and every move stand on it; nothing of what the work cost does."""
    yard.copy_made_by(billed)
    pay(yard, "INV-0001,2026-03-10,5000,B1,445,set_off,,late hatch")
    out = yard.folder / f"account.{ending}"
    said = yard.run("report", "account", "--job", "CLAIM", "--to", SECOND, "--out", out).stderr

    assert said.startswith(f"{out}: CLAIM to {SECOND}, record stamp ")
    if ending == "pdf":
        assert conforms(out.read_bytes()) == []
    if ending == "html":
        text = out.read_text(encoding="utf-8")
        shown = (
            "445.00 EUR outstanding, with tax",
            "INV-0001",
            "1 to 30 days",
            "Less retention held",
        )
        assert [words for words in shown if words not in text] == []
