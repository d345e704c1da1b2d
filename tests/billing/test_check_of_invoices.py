"""`check` finds invoices and credit notes that no command would record."""

from typing import Any

import pytest

from ledger.store.batches import Batch, Writing, batch
from ledger.store.book import open_book
from ledger.store.locking import Holder
from tests.billing._job import JOB, ClaimedJob
from tests.billing.test_check_of_claims import append
from tests.billing.test_claimed_hours import daywork_claimed
from tests.conftest import Yard, book_made_by, slow_beyond

# The first claim, of 725.00, is invoiced by INV-0001 on 13 March.
INVOICE = {"kind": "invoice", "series": "INV-", "number": 2, "document": "INV-0002"}
CREDIT = {"kind": "credit_note", "series": "CN-", "number": 1, "document": "CN-0001"}
BROKEN: list[tuple[dict[str, Any], int]] = [
    (INVOICE | {"claim": 2}, 5),
    (INVOICE | {"claim": None}, 5),
    (INVOICE | {"claim": 1}, -5),
    (INVOICE | {"claim": 1, "issued_on": "2026-03-12"}, 5),
    (INVOICE | {"claim": 1, "due_on": "2026-03-12"}, 5),
    (CREDIT | {"credits": "INV-0001"}, 724),
    (CREDIT | {"credits": "INV-0007"}, 725),
]


def issue(to: Batch, facts: dict[str, Any], amount: int) -> None:
    """Append a document of one line."""
    usual = {"job": JOB, "issued_on": "2026-03-13", "currency": "EUR"}
    append(to, "document", **(usual | facts), known_at=to.sequence - 1)
    sums = {"to_date": amount, "before": 0, "amount": amount}
    tax = {"tax_category": "S", "tax_rate": 21}
    what = {"document": facts["document"], "position": 1, "claim_kind": "base", "item": "base"}
    append(to, "document_line", **what, **sums, **tax)


@pytest.mark.parametrize(("facts", "amount"), slow_beyond(0, BROKEN))
def test_an_invoice_that_does_not_fit_is_found(
    yard: Yard, facts: dict[str, Any], amount: int
) -> None:
    """Of no claim, of no sum, dated back, or crediting what is none or another amount."""
    yard.book.write_bytes(book_made_by(daywork_claimed))
    with (
        open_book(yard.book, writer=Holder("Tester", "test")) as book,
        batch(book, Writing("Tester", "test")) as to,
    ):
        issue(to, facts, amount)
        now = to.sequence
    said = yard.run("check", ok=False).stderr

    assert ClaimedJob(yard).invoices()[0].net == 725
    assert said == f"document: batch {now} row 1 is not a valid invoice or credit note\n"
