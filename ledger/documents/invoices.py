"""The invoices and credit notes of a job as they were issued."""

import json
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Any

from ledger.domain.allocation import to_places
from ledger.domain.invoices import tax_key, taxed
from ledger.domain.pricing import NOTHING
from ledger.domain.units import LUMP_SUM, unit_code
from ledger.store.book import Book

INVOICE, CREDIT_NOTE = "invoice", "credit_note"
# What an invoice may be besides one of a claim as it goes.
ADVANCE, FINAL = "advance", "final"
# What a line is of that is of no item of the claim: what is kept back, what was paid before work,
# and the cent by which lines of rounded quantities differ from what is certified.
ONE = Decimal(1)
OF_THE_WHOLE = ("retention", "advance", "rounding")


@dataclass(frozen=True)
class InvoicedLine:
    """A line as it was issued: its increment `amount`, and what this comes from.

    `claim_kind` is that of the claim, or one of `OF_THE_WHOLE`; `item` is that of the claim, "" of
    the whole. Quantity and price are of the increment, where the claim reckons by them. Of a credit
    note the figures are those credited, above 0 where the invoice's were.
    """

    claim_kind: str
    item: str
    change: str | None
    description: str
    quantity: Decimal | None
    unit: str
    unit_price: Decimal | None
    to_date: Decimal
    before: Decimal
    tax_category: str
    tax_rate: Decimal

    @property
    def amount(self) -> Decimal:
        """Return its amount without tax, two places."""
        return self.to_date - self.before

    @property
    def charged(self) -> tuple[Decimal, str, Decimal]:
        """Return quantity, unit by its code, and price; what is below zero is so in quantity.

        By its own quantity and price where these come to the amount, else as a lump sum.
        """
        code, quantity, price = unit_code(self.unit), self.quantity, self.unit_price
        if code and quantity and price and _product(quantity, price) == self.amount:
            return quantity, code, price
        return (-ONE if self.amount < 0 else ONE), LUMP_SUM, abs(self.amount)


def _product(quantity: Decimal, price: Decimal) -> Decimal:
    return to_places(Fraction(quantity) * Fraction(price), 2)


@dataclass(frozen=True)
class IssuedInvoice:
    """An invoice or a credit note of a job; amounts have two places, in `currency`.

    `claim` is the claim that it bills, None of an advance; `credits` the invoice that a credit note
    credits, `credited_by` the credit note of an invoice that is credited whole. `particulars` are
    what was typed with it, `day_from` and `day_to` the days of the work, where it names any.
    """

    document: str
    kind: str
    job: str
    claim: int | None
    credits: str | None
    mark: str | None
    issued_on: date
    due_on: date | None
    currency: str
    known_at: int
    lines: tuple[InvoicedLine, ...]
    credited_by: str | None = None
    particulars: dict[str, Any] = field(default_factory=dict)
    day_from: date | None = None
    day_to: date | None = None

    @property
    def net(self) -> Decimal:
        """Return its sum without tax."""
        return sum((line.amount for line in self.lines), NOTHING)

    @property
    def tax(self) -> Decimal:
        """Return its tax: by category and rate, each rounded once."""
        keyed = ((tax_key(line.tax_category, line.tax_rate), line.amount) for line in self.lines)
        return sum((tax for _, tax in taxed(keyed).values()), NOTHING)

    @property
    def gross(self) -> Decimal:
        """Return its sum with tax."""
        return self.net + self.tax

    @property
    def stands(self) -> bool:
        """Whether it is an invoice that is not credited."""
        return self.kind == INVOICE and self.credited_by is None

    def by_item(self) -> dict[str, Decimal]:
        """Return its amounts without tax by item of the claim; "" is what is of the whole."""
        sums: dict[str, Decimal] = defaultdict(lambda: NOTHING)
        for line in self.lines:
            sums[line.item] += line.amount
        return dict(sums)


def invoices_of(book: Book, job: str) -> list[IssuedInvoice]:
    """Return the invoices and credit notes of a job, in the order they were issued."""
    issued = book.records("documents/invoices_issued", job=job)
    if not issued:
        return []
    lines: dict[str, list[InvoicedLine]] = defaultdict(list)
    for row in book.records("documents/invoice_lines", job=job):
        lines[row["document"]].append(_line(row))
    credited = {row["credits"]: row["document"] for row in issued if row["credits"]}
    return [_invoice(job, row, lines[row["document"]], credited) for row in issued]


def _invoice(
    job: str, row: dict[str, Any], lines: Iterable[InvoicedLine], credited: dict[str, str]
) -> IssuedInvoice:
    return IssuedInvoice(
        row["document"],
        row["kind"],
        job,
        row["claim"],
        row["credits"],
        row["mark"],
        row["issued_on"],
        row["due_on"],
        row["currency"],
        row["known_at"],
        tuple(lines),
        credited.get(row["document"]),
        json.loads(row["particulars"] or "{}"),
        row["day_from"],
        row["day_to"],
    )


def _line(row: dict[str, Any]) -> InvoicedLine:
    return InvoicedLine(
        row["claim_kind"],
        row["item"],
        row["change"],
        row["description"] or "",
        row["quantity"],
        row["unit"] or "",
        row["unit_price"],
        _money(row["to_date"]),
        _money(row["before"]),
        row["tax_category"],
        row["tax_rate"],
    )


def _money(amount: Decimal) -> Decimal:
    return amount.quantize(NOTHING, ROUND_HALF_UP)
