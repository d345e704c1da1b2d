"""What was paid of the invoices of a job, and how each stands."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.documents.invoices import CREDIT_NOTE, IssuedInvoice
from ledger.domain.pricing import NOTHING
from ledger.domain.receivables import InvoiceBalance, Payment
from ledger.store.book import Book


def payments_of(book: Book, job: str) -> list[Payment]:
    """Return what was paid of the invoices of a job, in the order of the days."""
    return [
        Payment(
            row["number"],
            row["invoice"],
            row["day"],
            _money(row["amount"]),
            _money(row["deducted"] or NOTHING),
            row["deduction_kind"] or "",
            bool(row["accepted"]),
            row["reference"] or "",
            row["reason"] or "",
        )
        for row in book.records("documents/payments_known", job=job)
    ]


def balances(
    issued: Sequence[IssuedInvoice], payments: Iterable[Payment], day: date | None = None
) -> list[InvoiceBalance]:
    """Return how each invoice stands on a day, or after all that is recorded.

    A credit note stands with the invoice that it credits, one of no invoice by itself.
    """
    by_invoice: dict[str, list[Payment]] = defaultdict(list)
    for payment in payments:
        if day is None or payment.day <= day:
            by_invoice[payment.invoice].append(payment)
    counted = [each for each in issued if day is None or each.issued_on <= day]
    credited: dict[str, Decimal] = defaultdict(lambda: NOTHING)
    for each in counted:
        if each.kind == CREDIT_NOTE:
            credited[each.credits or each.document] += each.gross
    return [
        InvoiceBalance(
            each.document,
            each.issued_on,
            each.due_on,
            each.currency,
            NOTHING if each.kind == CREDIT_NOTE else each.gross,
            credited[each.document],
            tuple(by_invoice[each.document]),
        )
        for each in counted
        if each.kind != CREDIT_NOTE or not each.credits
    ]


def _money(amount: Decimal) -> Decimal:
    return amount.quantize(NOTHING, ROUND_HALF_UP)
