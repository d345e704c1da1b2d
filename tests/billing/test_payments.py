"""Payments of invoices: what is paid, taken off, in dispute, and overdue."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from ledger.commands.access import WriteAccess
from tests.billing._invoices import pay, put_invoice
from tests.billing._job import claimed
from tests.conftest import Yard


def invoiced(yard: Yard) -> Yard:
    """Make a job with two invoices, of 1,210.00 and 500.00."""
    claimed(yard, "10000.00")
    put_invoice(yard, "R-1", "1000.00", "2026-01-10", tax_rate=21)
    put_invoice(yard, "R-2", "500.00", "2026-03-01")
    return yard


def account(yard: Yard, to: str) -> Any:
    return yard.json("account", "--job", "CLAIM", "--to", to)


def bands(found: Any) -> dict[str, tuple[Decimal, Decimal]]:
    """Return what is outstanding by band and what of it is disputed, where there is any."""
    return {e["band"]: (e["outstanding"], e["disputed"]) for e in found["aged"] if e["outstanding"]}


@pytest.mark.slow
def test_a_deduction_is_outstanding_and_disputed_until_it_is_accepted(yard: Yard) -> None:
    """Of 1,210.00, 1,000.00 is paid and 150.00 set off: it ages as disputed until accepted."""
    yard.copy_made_by(invoiced)
    pay(yard, "R-1,2026-02-05,1000,B1,150,set_off,,scratched rail")
    disputed = account(yard, "2026-03-31")
    said = pay(yard, "r-1,2026-02-05,1000,B1,150,set_off,yes,scratched rail")
    accepted = account(yard, "2026-03-31")

    assert bands(disputed) == {"not_due": (500, 0), "31_60": (210, 150)}
    assert (disputed["outstanding"], disputed["disputed"]) == (710, 150)
    assert "payment CLAIM 1: accepted blank -> True" in said
    assert bands(accepted) == {"not_due": (500, 0), "31_60": (60, 0)}
    assert (accepted["deductions_accepted"], accepted["outstanding"]) == (150, 560)


@pytest.mark.slow
def test_the_statement_of_account_adds_to_what_is_outstanding(yard: Yard) -> None:
    """Invoices add, credit notes, payments and accepted deductions take off, by the day."""
    yard.copy_made_by(invoiced)
    put_invoice(yard, "R-3", "500.00", "2026-03-05", kind="credit_note", credits="R-2")
    pay(yard, "R-1,2026-02-05,1000,B1,10,bank_charge,yes,", "R-1,2026-02-20,100,B2")
    found = account(yard, "2026-03-31")

    assert [(e["day"], e["entry"], e["amount"], e["balance"]) for e in found["statement"]] == [
        ("2026-01-10", "invoice", 1210, 1210),
        ("2026-02-05", "payment", -1000, 210),
        ("2026-02-05", "bank_charge", -10, 200),
        ("2026-02-20", "payment", -100, 100),
        ("2026-03-01", "invoice", 500, 600),
        ("2026-03-05", "credit_note", -500, 100),
    ]
    totals = ("invoiced_to_date", "credited_to_date", "paid_to_date", "outstanding")
    assert [found[name] for name in totals] == [1710, 500, 1100, 100]
    assert account(yard, "2026-02-10")["outstanding"] == 200
    assert account(yard, "2026-01-09")["outstanding"] == 0


# The last day of each band: due on 9 February, then 30, 60 and 90 days.
AGES = [
    ("2026-02-09", "not_due"),
    ("2026-02-10", "1_30"),
    ("2026-03-11", "1_30"),
    ("2026-03-12", "31_60"),
    ("2026-04-10", "31_60"),
    ("2026-05-10", "61_90"),
    ("2026-05-11", "over_90"),
]


@pytest.mark.slow
def test_an_invoice_ages_by_the_days_since_it_was_due(yard: Yard) -> None:
    """Not due, 1 to 30, 31 to 60, 61 to 90 and over 90 days: common practice, no source."""
    yard.copy_made_by(invoiced)
    pay(yard, "R-2,2026-03-01,500")
    found = {day: list(bands(account(yard, day))) for day, _ in AGES}

    assert found == {day: [band] for day, band in AGES}


FAULTS = [
    ("R-9,2026-02-05,1", 'unknown invoice "R-9"; use R-1, R-2'),
    ("R-1,2026-01-09,1", "2026-01-09 is before 2026-01-10, the day that R-1 was issued"),
    ("R-1,2026-02-05,1,,5", "what was 5 deducted for? use one of set_off, delay_damages"),
    ("R-1,2026-02-05,1,,,,yes", "nothing is deducted; fill in deducted, or leave accepted blank"),
    ("R-1,2026-02-05,0,,-5,discount", '"-5" is negative; use zero or more'),
    ("R-1,2026-02-05,0", "nothing is paid and nothing deducted"),
]


@pytest.mark.slow
def test_payments_that_do_not_fit_are_refused_whole(yard: Yard) -> None:
    """Each fault is named with its line, and none of the file is loaded."""
    yard.copy_made_by(invoiced)
    said = pay(yard, "R-1,2026-02-05,7", *(row for row, _ in FAULTS), ok=False)

    assert [what for _, what in FAULTS if what not in said] == []
    assert "6 faults; nothing was loaded" in said
    assert account(yard, "2026-03-31")["paid_to_date"] == 0


@pytest.mark.slow
def test_a_payment_is_loaded_once_and_withdrawn(yard: Yard) -> None:
    """The same row again is nothing new; two alike are two; withdrawn it counts no longer."""
    yard.copy_made_by(invoiced)
    rows = ("R-1,2026-02-05,100", "R-1,2026-02-05,100", "R-1,2026-02-06,50,B7")
    pay(yard, *rows)
    pay(yard, *rows)
    paid = account(yard, "2026-03-31")["paid_to_date"]
    [last] = [
        row["id"] for row in yard.rows(yard.run("show", "payment", "--format", "csv").stdout)
    ][-1:]
    yard.run("withdraw", "fact", last, "--reason", "another job's")
    pay(yard, "R-2,2026-03-06,20")

    assert paid == 250
    assert account(yard, "2026-03-31")["paid_to_date"] == 220


@pytest.mark.slow
def test_more_than_is_outstanding_is_taken_and_said(yard: Yard) -> None:
    """Paid twice by mistake, the money is there: it is recorded, and said."""
    yard.copy_made_by(invoiced)
    said = pay(yard, "R-2,2026-03-05,500", "R-2,2026-03-06,500")

    assert "R-2: 500.00 more is paid than was outstanding" in said
    assert account(yard, "2026-03-31")["outstanding"] == 1210 - 500


@pytest.mark.slow
def test_check_finds_a_payment_of_no_invoice(yard: Yard) -> None:
    """Whatever put it there: a payment names an invoice of its job that was issued before it."""
    claimed(yard, "10000.00")
    row = {"job": "CLAIM", "number": 1, "invoice": "R-1", "day": date(2026, 2, 5)}
    with WriteAccess(yard.book, "Tester").writing("load payments") as (_, batch):
        batch.append_row("payment", {**row, "amount": Decimal(1)})
    said = yard.run("check", ok=False).stderr

    assert "row 1 is of no invoice of its job" in said


HELD = """
[retention]
percent = 5
invoiced = "in_full"
[[retention.release]]
percent = 50
at = 2026-05-01
[[retention.release]]
percent = 50
at = "defects_end"
"""


@pytest.mark.slow
def test_retention_invoiced_in_full_is_not_overdue(yard: Yard) -> None:
    """Of 6,050.00 with tax 250.00 are held; half is due from 1 May on, the rest waits.

    The second invoice bears 4,840.00, of which 200.00 are held.
    """
    job = claimed(yard, "10000.00", HELD)
    for claim, day, percent in ((1, "2026-02-27", 50), (2, "2026-03-27", 90)):
        job.claim_to(day, f"base {percent}")
        job.bill(claim, day)
    pay(yard, "INV-0001,2026-03-13,5800", "INV-0002,2026-04-10,4600,,40,set_off")
    out = yard.folder / "account.html"
    yard.run("report", "account", "--job", "CLAIM", "--to", "2026-05-31", "--out", out)

    assert bands(account(yard, "2026-04-20")) == {"1_30": (40, 40), "retention": (450, 0)}
    assert bands(account(yard, "2026-05-31")) == {
        "1_30": (225, 0),
        "31_60": (40, 40),
        "retention": (225, 0),
    }
    assert [row["days_overdue"] for row in account(yard, "2026-05-31")["invoices"]] == [30, 51]
    assert "Held as retention" in out.read_text(encoding="utf-8")
