"""Loads of what was paid of invoices, and of what the owner took off."""

from collections import defaultdict
from collections.abc import Hashable, Iterator
from decimal import Decimal

from ledger.documents.invoices import IssuedInvoice, invoices_of
from ledger.documents.payments import balances, payments_of
from ledger.domain.codes import code_of, word_of
from ledger.domain.handles import ERASED_NAME
from ledger.domain.receivables import DEDUCTION_KINDS, InvoiceBalance
from ledger.errors import Fault
from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import Row, supersede
from ledger.inputs.yard_files import file_loaded
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow, ReadTable


def load_payments(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add what was paid of the invoices of a job; more than is owed is taken, and said."""
    table = read_input(book, file, columns.PAYMENTS)
    invoices = _Invoices(book, job)
    for line in table.lines:
        for column, fault in invoices.faults(line):
            table.fault(line.number, fault, column)
    table.settle()
    rows = _numbered(book, job, [{**line.values, "job": job} for line in table.lines])
    loaded = supersede(book, batch, "payment", rows)
    return file_loaded(table, [loaded], _above(batch, job, table))


class _Invoices:
    """The invoices of a job, by their numbers."""

    def __init__(self, book: Book, job: str) -> None:
        self.issued = {code_of(each.document): each for each in invoices_of(book, job)}

    def faults(self, line: FileRow) -> Iterator[tuple[str, str]]:
        """Yield what does not fit of a row, and put the invoice as it is numbered."""
        if line["invoice"]:
            yield from self._of_invoice(line)
        nothing_off = not line["deducted"] and "deducted" not in line.unread
        if line["deducted"] and line.is_blank("deduction_kind"):
            kinds = ", ".join(DEDUCTION_KINDS)
            yield "deduction_kind", f"what was {line['deducted']} deducted for? use one of {kinds}"
        for column in ("deduction_kind", "accepted"):
            if line[column] and nothing_off:
                yield column, f"nothing is deducted; fill in deducted, or leave {column} blank"
        if line["amount"] == 0 and nothing_off:
            yield "amount", "nothing is paid and nothing deducted"

    def _of_invoice(self, line: FileRow) -> Iterator[tuple[str, str]]:
        invoice = self.issued.get(code_of(line["invoice"]))
        if invoice is None:
            known = ", ".join(each.document for each in self.issued.values())
            use = f"use {known}" if known else "no invoice was issued yet"
            yield "invoice", f'unknown invoice "{line["invoice"]}"; {use}'
            return
        line.values["invoice"] = invoice.document
        if invoice.credits:
            yield "invoice", _is_credit(invoice)
        if line["day"] and line["day"] < invoice.issued_on:
            issued = f"{invoice.issued_on}, the day that {invoice.document} was issued"
            yield "date", f"{line['day']} is before {issued}"


def _is_credit(credit: IssuedInvoice) -> str:
    return (
        f"{credit.document} is a credit note; name the invoice that it credits, {credit.credits}, "
        "with an amount below 0 for what was paid back"
    )


def _numbered(book: Book, job: str, rows: list[Row]) -> list[Row]:
    """Return rows with the number of their payment, which is never given again.

    The n-th of some alike, by invoice, day and reference, is the n-th of them in the book. Where a
    reference was erased a payment is known by invoice, day and amount.
    """
    known: dict[Hashable, list[Row]] = defaultdict(list)
    erased: dict[Hashable, list[Row]] = defaultdict(list)
    for row in book.records("documents/payments_known", job=job):
        known[_identity(row)].append(row)
        if row["reference"] == ERASED_NAME:
            erased[row["invoice"], row["day"], row["amount"]].append(row)
    last, numbered = int(book.rows("documents/last_payment", job=job)[0][0]), []
    for row in rows:
        same = known[_identity(row)] or erased[row["invoice"], row["day"], row["amount"]]
        if same:
            before = same.pop(0)
            reference = before["reference"]
            kept = {"reference": reference} if reference == ERASED_NAME else {}
            numbered.append({**row, **kept, "number": before["number"]})
        else:
            last += 1
            numbered.append({**row, "number": last})
    return numbered


def _identity(row: Row) -> Hashable:
    reference = row["reference"]
    return row["invoice"], row["day"], word_of(reference) if reference else None


def _above(batch: Batch, job: str, table: ReadTable) -> Iterator[Fault]:
    """Yield the invoices of a file of which more is paid and taken off now than was owed."""
    book = batch.book.known_by(batch.sequence)
    standing = balances(invoices_of(book, job), payments_of(book, job))
    by_document = {each.document: each for each in standing}
    last = {line["invoice"]: line.number for line in table.lines}
    for document, number in last.items():
        if above := _excess(by_document[document]):
            yield Fault(table.file.name, number, f"{document}: {above}")


def _excess(balance: InvoiceBalance) -> str:
    if balance.outstanding < 0:
        return f"{-balance.outstanding} more is paid than was outstanding"
    deducted = sum((e.deducted for e in balance.payments if not e.accepted), Decimal(0))
    if deducted > balance.outstanding:
        more = deducted - balance.outstanding
        return f"{more} more is deducted than is outstanding"
    return ""
