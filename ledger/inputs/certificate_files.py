"""Loads of what was certified of claims: to date by item, with the reason where it is less."""

from collections.abc import Iterator
from decimal import Decimal

from ledger.changes.claim_terms import needs_no_certificate
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.certified import by_item, claimed
from ledger.domain.codes import code_of
from ledger.inputs import columns
from ledger.inputs.outcomes import FileLoaded
from ledger.inputs.small_files import supersede
from ledger.inputs.yard_files import file_loaded, refuse_equal_keys
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.input_files import InputFile, read_input
from ledger.tables.small_tables import FileRow


def load_certified(book: Book, batch: Batch, file: InputFile, job: str) -> FileLoaded:
    """Add what was certified of the claims of a job."""
    table = read_input(book, file, columns.CERTIFIED)
    claims = _Claims(book, job)
    for line in table.lines:
        for column, fault in claims.faults(line):
            table.fault(line.number, fault, column)
    refuse_equal_keys(table, ("claim", "item", "day"))
    table.settle()
    rows = [{**line.values, "job": job} for line in table.lines]
    return file_loaded(table, [supersede(book, batch, "certified", rows)])


class _Claims:
    """The claims of a job, and what of each can be certified."""

    def __init__(self, book: Book, job: str) -> None:
        self.book, self.job = book, job
        self.claims = claims_of(book, job)
        rows = [row for row in book.current("certified") if row["job"] == job]
        self.certified = {row["claim"] for row in rows}

    def faults(self, line: FileRow) -> Iterator[tuple[str, str]]:
        """Yield what does not fit of a row, and put claim and item as they are kept."""
        claim = self._named(line["claim"]) if line["claim"] else None
        if claim is None:
            if line["claim"]:
                yield "claim", self._unknown(line["claim"])
            return
        line.values["claim"] = claim.number
        if needs_no_certificate(self.book, self.job, claim.known_at):
            what = f"claim {claim.number} needs no certificate: its invoice certifies it in full"
            yield "claim", what
        elif self._is_superseded(claim):
            last = self.claims[-1].number
            yield "claim", f"claim {claim.number} was superseded; certify claim {last}"
        else:
            yield from self._of_claim(line, claim)

    def _named(self, named: str) -> Claim | None:
        wanted = code_of(named)
        names = ((each, {str(each.number), code_of(each.document)}) for each in self.claims)
        return next((each for each, own in names if wanted in own), None)

    def _unknown(self, named: str) -> str:
        issued = ", ".join(str(each.number) for each in self.claims)
        known = f"use {issued}" if issued else "no claim was issued yet"
        return f'unknown claim "{named}"; {known}'

    def _is_superseded(self, claim: Claim) -> bool:
        return claim is not self.claims[-1] and claim.number not in self.certified

    def _of_claim(self, line: FileRow, claim: Claim) -> Iterator[tuple[str, str]]:
        if line["day"] and line["day"] < claim.day:
            what = f"is before {claim.day}, the day that claim {claim.number} goes to"
            yield "date", f"{line['day']} {what}"
        items = {code_of(item): item for item in by_item(claim.lines)}
        if line["item"] is None:
            return
        item = items.get(code_of(line["item"]))
        if item is None:
            known = ", ".join(items.values())
            yield "item", f'"{line["item"]}" is not on claim {claim.number}; use {known}'
            return
        line.values["item"] = item
        if line["amount"] is not None:
            yield from _of_item(line, item, claimed(by_item(claim.lines)[item]))


def _of_item(line: FileRow, item: str, whole: Decimal) -> Iterator[tuple[str, str]]:
    amount = line["amount"]
    if amount > whole:
        yield "amount", f"{amount} is above what was claimed of {item}, {whole}"
    elif amount < whole and not line["reason"]:
        yield "reason", f"{amount} is less than was claimed of {item}, {whole}; fill in the reason"
