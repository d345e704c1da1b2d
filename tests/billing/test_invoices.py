"""An invoice bears what is certified and not invoiced: nothing twice, nothing left out."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from tests.billing._job import ClaimedJob, claimed, owner
from tests.conftest import Yard, book_made_by
from tests.reports._paper import Elements

FEBRUARY, MARCH, APRIL = "2026-02-27", "2026-03-13", "2026-03-20"
RETAINED = "[retention]\npercent = 5\n"
ADVANCE = "[advance]\namount = 1000\nrecovery_percent = {percent}\n"
REQUIRED = 'certificate = "required"\n'


def billed_job(yard: Yard) -> None:
    """Make a job of 10,000.00 with daywork and an omission, its first claim invoiced."""
    job = claimed(yard, "10000.00", RETAINED)
    job.change("V1", "1,lot,400", "-1,lot,150")
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,4.3333,D1,", "2026-02-03,7.5,D1,")
    job.sign("W1", "D1", "2026-02-02", "2026-02-03")
    job.claim_to(FEBRUARY, "base 50", "V1 100")
    job.bill(1, "2026-03-02")
    job.work("2026-03-03,2.3333,D1,")
    job.sign("W2", "D1", "2026-03-03", "2026-03-03")
    job.claim_to(MARCH, "base 80")


@pytest.fixture
def job(yard: Yard) -> ClaimedJob:
    """A job with one claim that is invoiced, and a second one that is not."""
    yard.book.write_bytes(book_made_by(billed_job))
    return ClaimedJob(yard)


@pytest.mark.slow
def test_an_invoice_bears_its_increment_alone(job: ClaimedJob) -> None:
    """5,916.50 less 5 % at first, then what 8,988.50 less 5 % is above it, by quantity and rate."""
    said = job.bill(2, "2026-03-14").stderr
    first, second = job.invoices()
    lines = [(line.claim_kind, line.charged, line.amount) for line in second.lines]

    # 5,000.00 + 400.00 - 75.00 + 11.83 h x 50.00 = 5,916.50, less 295.83.
    assert (first.net, first.tax, first.gross) == tuple(
        map(Decimal, ("5620.67", "1180.34", "6801.01"))
    )
    # 8,000.00 + 400.00 - 120.00 + 14.17 h x 50.00 = 8,988.50, less 449.43, less 5,620.67.
    assert second.net == Decimal("2918.40")
    assert [(kind, quantity, amount) for kind, (quantity, _, _), amount in lines] == [
        ("base", 1, 3000),
        ("daywork", Decimal("2.34"), 117),
        ("omission", -1, -45),
        ("retention", -1, Decimal("-153.60")),
    ]
    assert "INV-0002: invoice of CLAIM, claim 2, due 2026-03-28, issued 2026-03-14" in said


@pytest.mark.slow
def test_a_wrongly_addressed_invoice_is_credited_and_billed_again(job: ClaimedJob) -> None:
    """The credit note has the lines of the invoice; its claim is billed again, and only once."""
    before = job.claimable(MARCH)
    job.credit("inv-0001", "2026-03-03")
    credited = job.claimable(MARCH)
    job.bill(2, "2026-03-14")
    again = job.bill(2, "2026-03-14", ok=False).stderr
    first, credit, second = job.invoices()

    assert (credit.kind, credit.credits, first.credited_by) == (
        "credit_note",
        "INV-0001",
        "CN-0001",
    )
    assert credit.gross == first.gross
    assert second.net == Decimal("8539.07")  # 8,988.50 less 449.43.
    assert credited["certified_before"] == before["certified_before"] != 0
    assert "nothing is left to invoice of claim 2" in again
    job.yard.run("check")


@pytest.mark.slow
def test_a_credit_note_names_the_days_of_work_of_its_invoice(yard: Yard) -> None:
    """So one of a supply within the Union, which needs them, can be credited."""
    within = owner("DE", "DE136695976", 'tax_category = "K"\ndeliver_to_country = "DE"')
    job = claimed(yard, "10000.00", within)
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY)
    job.credit("INV-0001", MARCH)
    page = (yard.folder / f"credit-{MARCH}.html").read_text(encoding="utf-8")

    assert "until 27 February 2026" in " ".join(Elements(page).text.split())
    assert [each.day_to for each in job.invoices()] == [date(2026, 2, 27)] * 2


@pytest.mark.slow
def test_what_an_invoice_rests_on_is_not_withdrawn(job: ClaimedJob) -> None:
    """The percentage invoiced stays, as the sheet does; what is not invoiced yet may go."""
    typed = {row["day"]: row["id"] for row in job.shown("claim_percent") if row["item"] == "base"}
    words = ("withdraw", "fact", typed[FEBRUARY], "--reason", "typed wrongly")
    said = job.yard.run(*words, ok=False).stderr
    job.yard.run("withdraw", "fact", typed[MARCH], "--reason", "typed wrongly")

    assert "what was invoiced of base by INV-0001, claim 1, depends on it" in said


def test_an_invoice_certifies_its_claim_where_no_certificate_is_needed(yard: Yard) -> None:
    """The next claim is value to date less it, credited or not; its number is the next one."""
    job = claimed(yard, "10000.00")
    job.claim_to(FEBRUARY, "base 50")
    before = job.claimable(FEBRUARY)["due"]
    job.bill(1, FEBRUARY)
    after = job.claimable(FEBRUARY)["due"]
    job.credit("INV-0001", MARCH)

    assert (before, after, job.claimable(FEBRUARY)["due"]) == (5000, 0, 0)
    assert job.amounts() == [("INV-0001", 5000, 6050), ("CN-0001", 5000, 6050)]


@pytest.mark.slow
def test_three_claims_of_which_the_last_is_invoiced_bill_nothing_twice(yard: Yard) -> None:
    """A claim that is not invoiced is superseded: the last one bears all, the others nothing."""
    job = claimed(yard, "10000.00")
    for day, percent in ((FEBRUARY, 30), (MARCH, 55), (APRIL, 80)):
        job.claim_to(day, f"base {percent}")
    superseded = job.bill(1, APRIL, ok=False).stderr
    job.bill(3, APRIL)
    behind = job.bill(2, APRIL, ok=False).stderr

    assert "claim 1 was superseded; invoice claim 3, which covers all to date" in superseded
    assert "claim 3 is invoiced already; invoice that one again" in behind
    assert job.amounts() == [("INV-0001", 8000, 9680)]
    assert job.claimable(APRIL)["due"] == 0
    yard.run("check")


@pytest.mark.slow
def test_a_short_certificate_is_invoiced_and_recovered(yard: Yard) -> None:
    """Nothing is invoiced before the certificate; what it left out follows with the next one."""
    job = claimed(yard, "10000.00", REQUIRED + RETAINED)
    job.claim_to(FEBRUARY, "base 50")
    early = job.bill(1, MARCH, ok=False).stderr
    job.certify(f"1,{MARCH},base,4200,not painted")
    job.bill(1, MARCH)
    job.claim_to(MARCH, "base 60")
    job.certify(f"2,{APRIL},base,6000,")
    job.bill(2, APRIL)

    assert early == "job CLAIM: claim 1 is not certified; `fairhours load certified`\n"
    assert [net for _, net, _ in job.amounts()] == [3990, 1710]


@pytest.mark.slow
def test_less_than_nothing_is_not_claimed(yard: Yard) -> None:
    """What falls below zero is carried forward, or an invoice is credited and billed again."""
    job = claimed(yard, "10000.00")
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY)
    job.claim_to(MARCH, "base 40")
    said = job.bill(2, MARCH, ok=False).stderr
    job.credit("INV-0001", MARCH)
    job.bill(2, MARCH)

    assert said == (
        "job CLAIM: the invoice of claim 2 comes to -1000.00 EUR; carry it forward to the next "
        "claim, or credit INV-0001 and bill the claim again: `fairhours credit invoice INV-0001 "
        "--reason REASON`\n"
    )
    assert [net for _, net, _ in job.amounts()] == [5000, 5000, 4000]


@pytest.mark.slow
def test_all_invoices_that_must_be_credited_are_named(yard: Yard) -> None:
    """5,000 and 1,000 were billed and 500 are due: both are credited, the last first."""
    job = claimed(yard, "10000.00")
    job.claim_to("2026-02-20", "base 50")
    job.bill(1, "2026-02-20")
    job.claim_to(FEBRUARY, "base 60")
    job.bill(2, FEBRUARY, "--final")
    page = (yard.folder / f"invoice-{FEBRUARY}.html").read_text(encoding="utf-8")
    job.claim_to(MARCH, "base 5")
    said = job.bill(3, MARCH, ok=False).stderr
    job.credit("INV-0002", MARCH)
    job.credit("INV-0001", MARCH)
    job.bill(3, MARCH)

    assert "comes to -5500.00 EUR" in said
    assert "credit INV-0002 and INV-0001 and bill the claim again: `fairhours credit" in said
    assert "credit invoice INV-0002 --reason" in said
    assert job.amounts()[-1] == ("INV-0003", 500, 605)
    assert "This is the final invoice of the contract." in page


@pytest.mark.slow
def test_retention_is_released_with_the_tax_of_the_day(yard: Yard) -> None:
    """Held with 19 % it is released with 21 %, a line of its own beside the work's; it adds up."""
    held = "delivered_on = 2026-03-10\n[retention]\npercent = 10\n"
    release = '[[retention.release]]\npercent = 100\nat = "delivery"\n'
    job = claimed(yard, "10000.00", held + release)
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY, "--tax-rate", "19")
    job.claim_to(MARCH, "base 60")
    job.bill(2, MARCH)
    lines = [(e.claim_kind, e.amount, e.tax_rate) for e in job.invoices()[-1].lines]

    # 4,500 x 1.19; then 1,000 of work and 500 released, at 21 %.
    assert lines == [("base", 1000, 21), ("retention", 500, 21)]
    assert job.amounts() == [("INV-0001", 4500, 5355), ("INV-0002", 1500, 1815)]
    yard.run("check")


@pytest.mark.slow
def test_a_first_claim_below_zero_is_carried_forward(yard: Yard) -> None:
    """Nothing was invoiced that a credit note could credit; the next claim makes up for it."""
    job = claimed(yard, "10000.00", 'omissions_credited = "at_once"\n')
    job.change("V1", "-1,lot,500")
    job.issue(FEBRUARY)
    said = job.bill(1, FEBRUARY, ok=False).stderr
    job.claim_to(MARCH, "base 20")
    job.bill(2, MARCH)

    assert said == (
        "job CLAIM: the invoice of claim 1 comes to -500.00 EUR, and no invoice of a claim is "
        "left to credit; carry it forward to the next claim\n"
    )
    assert [net for _, net, _ in job.amounts()] == [1500]


@pytest.mark.slow
def test_an_advance_is_deducted_with_the_tax_it_bore(yard: Yard) -> None:
    """Invoiced at 9 %, deducted at 9 %; the last invoice waits until all of it is deducted."""
    job = claimed(yard, "10000.00", ADVANCE.format(percent=10))
    words = ("issue", "invoice", "--job", job.job, "--advance", "--on", "2026-02-01")
    job.yard.run(*words, "--tax-rate", "9")
    again = job.yard.run(*words, ok=False).stderr
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY)
    early = job.bill(1, FEBRUARY, "--final", ok=False).stderr
    job.claim_to(MARCH, "base 90")
    final = job.bill(2, MARCH, "--final", ok=False).stderr
    job.bill(2, MARCH)
    job.claim_to(APRIL, "base 100")
    job.bill(3, APRIL, "--final")
    of_first = job.invoices()[1]

    assert "no advance is left to invoice; agreed 1000.00, invoiced 1000.00" in again
    assert "nothing is left to invoice" in early
    assert "claim 2 bills the whole, and 100.00 of the advance invoiced is not deducted" in final
    # 1,000.00 with 90.00; 5,000.00 at 21 % less 500.00 at 9 %; and so on: 10,000.00 in all.
    assert [net for _, net, _ in job.amounts()] == [1000, 4500, 3600, 900]
    assert of_first.tax == Decimal("1005.00")
    assert [line.tax_rate for line in of_first.lines] == [21, 9]
    job.yard.run("check")


@pytest.mark.slow
def test_an_advance_exempt_from_tax_is_deducted_with_its_reason(yard: Yard) -> None:
    """The reason stands on the invoice that deducts it, and on the credit note of that one."""
    job = claimed(yard, "10000.00", ADVANCE.format(percent=10))
    reason = ("--tax-reason", "Deposit, exempt")
    words = ("issue", "invoice", "--job", job.job, "--advance", "--on", "2026-02-01")
    yard.run(*words, "--tax-category", "E", *reason)
    job.claim_to(FEBRUARY, "base 50")
    refused = job.bill(1, FEBRUARY, ok=False).stderr
    job.bill(1, FEBRUARY, *reason)
    job.credit("INV-0002", MARCH)

    assert "tax category E needs the reason why no tax is due" in refused
    assert [(each.net, each.tax) for each in job.invoices()] == [
        (1000, 0),
        (4500, 1050),
        (4500, 1050),
    ]


@pytest.mark.slow
def test_no_advance_is_deducted_that_is_not_invoiced(yard: Yard) -> None:
    """An advance that is credited is invoiced again before more of it is deducted."""
    job = claimed(yard, "10000.00", ADVANCE.format(percent=10))
    advance = ("issue", "invoice", "--job", job.job, "--advance", "--on")
    yard.run(*advance, "2026-02-01")
    job.claim_to(FEBRUARY, "base 50")
    job.credit("INV-0001", FEBRUARY)
    refused = job.bill(1, FEBRUARY, ok=False).stderr
    yard.run(*advance, FEBRUARY)
    job.bill(1, FEBRUARY)

    assert refused == (
        "job CLAIM: claim 1 deducts 500.00 more of the advance than is invoiced and not credited; "
        "invoice the advance first (--advance)\n"
    )
    assert [net for _, net, _ in job.amounts()] == [1000, 1000, 1000, 4500]


@pytest.mark.slow
def test_retention_may_be_invoiced_in_full_and_stated(yard: Yard) -> None:
    """5,000.00 are invoiced with tax; the page says that 250.00 are held of it."""
    job = claimed(yard, "10000.00", RETAINED + 'invoiced = "in_full"\n')
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY)
    page = (yard.folder / f"invoice-{FEBRUARY}.html").read_text(encoding="utf-8")
    text = " ".join(Elements(page).text.split())

    assert job.amounts() == [("INV-0001", 5000, 6050)]
    assert "By the contract 250.00 EUR without tax are held of the work to 27 February" in text


REFUSED: list[tuple[Any, str]] = [
    ((9, MARCH), "there is no claim 9; issued so far: 1"),
    ((1, "2026-02-26"), "dated 2026-02-26, before 2026-02-27, the last day of the work"),
    ((1, "2190-01-01"), "dated 2190-01-01, after today"),
    ((1, MARCH, "--tax-category", "E"), "tax category E needs the reason why no tax is due"),
    ((1, MARCH, "--tax-category", "K"), "buyer: tax category K needs a tax number"),
    ((1, MARCH, "--tax-category", "X"), '--tax-category "X": unknown; use one of S, Z, E'),
    ((1, MARCH, "--tax-rate", "0"), "--tax-rate: 0 is not above 0 and up to 100"),
    ((1, MARCH, "--as", "ubl"), "--out: as ubl it is a file ending in .xml"),
    ((1, MARCH, "--draft", "--as", "cii", "--out", "x.xml"), "a draft is a page: give --out"),
]


@pytest.mark.slow
def test_an_invoice_that_does_not_fit_is_refused(yard: Yard) -> None:
    """Each is said in one message, and nothing is issued; a draft writes nothing either."""
    job = claimed(yard, "10000.00")
    job.claim_to(FEBRUARY, "base 50")
    said = [job.bill(*words, ok=False).stderr for words, _ in REFUSED]
    job.bill(1, MARCH, "--draft")
    draft = (yard.folder / f"invoice-{MARCH}.html").read_text(encoding="utf-8")

    assert [text for text, (_, why) in zip(said, REFUSED, strict=True) if why not in text] == []
    assert "Draft: not issued, without a number" in draft
    assert job.invoices() == []


@pytest.mark.slow
def test_another_currency_states_the_tax_in_both(yard: Yard) -> None:
    """At the rate typed that holds on its day; without one it is refused."""
    job = claimed(yard, "10000.00", owner("NO", invoice='currency = "NOK"'))
    job.claim_to(FEBRUARY, "base 50")
    job.bill(1, FEBRUARY)
    page = (yard.folder / f"invoice-{FEBRUARY}.html").read_text(encoding="utf-8")
    text = " ".join(Elements(page).text.split())
    claimed_in = job.claimable(FEBRUARY)["currency"], "NOK" in job.page(FEBRUARY)
    yard.run("load", "job", yard.write("job.toml", _in(yard, "SEK")))
    job.percents(f"base,{MARCH},60,,")
    job.issue(MARCH)
    mixed = job.bill(2, MARCH, ok=False).stderr
    job.credit("INV-0001", MARCH)
    refused = job.bill(2, MARCH, ok=False).stderr

    # 21 % of 5,000.00 NOK is 1,050.00 NOK, at 0.0852 89.46 EUR.
    assert "Tax in EUR 89.46 EUR" in text
    assert "1 NOK = 0.0852 EUR; Central bank, 20 February 2026" in text
    assert "to be invoiced in SEK, but INV-0001 is in NOK; an account has one currency" in mixed
    assert "in SEK, while the yard's currency is EUR: the tax is stated in both" in refused
    assert job.invoices()[1].currency == "NOK"
    assert claimed_in == ("NOK", True)


def _in(yard: Yard, currency: str) -> str:
    card = (yard.folder / "job.toml").read_text(encoding="utf-8")
    return card.replace("NOK", currency)
