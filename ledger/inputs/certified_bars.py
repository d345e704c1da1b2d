"""What a certificate or an invoice rests on is not withdrawn: what was typed, agreed and signed.

A claim that needs no certificate refuses nothing until it is invoiced: what it asked for in error
is left out by the next one.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from ledger.changes.claim_terms import needs_no_certificate
from ledger.changes.sums import contract_sum_on
from ledger.documents.invoices import invoices_of
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.certified import by_item
from ledger.domain.change_life import APPROVALS, ORDERED
from ledger.domain.claims import ClaimLine
from ledger.domain.daywork import AGREED
from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.rerun import PlacedFact, standing

# Whether lines certified of an item of a claim rest on a fact that was known and dated by then;
# the book is as it was known when the claim was made.
Rests = Callable[[Book, Claim, Sequence[ClaimLine], PlacedFact], bool]


@dataclass(frozen=True)
class _Certified:
    """An item of a claim as certified: by a certificate, or by an invoice that no one comes before.

    `by` is the id of the certificate, else the number of the invoice.
    """

    claim: Claim
    item: str
    by: str
    is_invoice: bool = False

    def refusal(self, fact: str) -> Refused:
        """Return why a fact is not withdrawn."""
        item, claim, by = self.item, self.claim.number, self.by
        if self.is_invoice:
            return Refused("invoice_rests", fact=fact, item=item, claim=claim, by=by)
        return Refused("certificate_rests", fact=fact, item=item, claim=claim, by=by)


def refuse_certified(book: Book, facts: Sequence[PlacedFact]) -> None:
    """Raises: Refused when a certificate or an invoice rests on one of facts withdrawn."""
    asked = [each for each in facts if each.table in RESTS]
    for job in sorted({each.values["job"] for each in asked}):
        for certified in _certified(book, job):
            claim, lines = certified.claim, by_item(certified.claim.lines)[certified.item]
            then = book.known_by(claim.known_at)
            for fact in asked:
                if _was_known(claim, fact, job) and RESTS[fact.table](then, claim, lines, fact):
                    raise certified.refusal(fact.named)


def _certified(book: Book, job: str) -> Iterator[_Certified]:
    """Yield what is certified of a job, by whom; an invoice certifies what needs no certificate."""
    claims = {each.number: each for each in claims_of(book, job)}
    for certificate in standing(book, "certified") if claims else ():
        if certificate.values["job"] == job:
            claim = claims[certificate.values["claim"]]
            item = certificate.values["item"]
            yield _Certified(claim, item, certificate.named)
    for invoice in invoices_of(book, job) if claims else ():
        invoiced = claims.get(invoice.claim or 0)
        if invoiced and needs_no_certificate(book, job, invoiced.known_at):
            for item in by_item(invoiced.lines):
                yield _Certified(invoiced, item, invoice.document, is_invoice=True)


def _was_known(claim: Claim, fact: PlacedFact, job: str) -> bool:
    day = next((fact.values[name] for name in ("agreed_on", "day") if name in fact.values), None)
    known = fact.values["job"] == job and fact.batch <= claim.known_at
    return known and (day is None or day <= claim.day)


def _percent(then: Book, claim: Claim, lines: Sequence[ClaimLine], fact: PlacedFact) -> bool:
    """Whether a percentage or an amount typed is the one that counted."""
    if lines[0].item != fact.values["item"]:
        return False
    typed = [
        each
        for each in standing(then, "claim_percent")
        if all(each.values[name] == fact.values[name] for name in ("job", "item"))
        and each.values["day"] <= claim.day
    ]
    return max(typed, key=lambda each: (each.values["day"], each.place_batch)) == fact


def _event(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: PlacedFact) -> bool:
    on_account = lines[0].claim_kind == "on_account"
    needed = ORDERED | {"disputed"} if on_account else APPROVALS | {"value_agreed"}
    return fact.values["change"] == lines[0].change and fact.values["event"] in needed


def _sheet(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: PlacedFact) -> bool:
    by_sheets = any(line.quantity is not None for line in lines)
    agreed = fact.values["mark"] == AGREED and fact.values["change"] == lines[0].change
    return by_sheets and agreed


def _item(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: PlacedFact) -> bool:
    alike = [(line.change, line.description, line.unit) for line in lines]
    return tuple(fact.values[name] or "" for name in ("change", "description", "unit")) in alike


def _baseline_change(
    then: Book, claim: Claim, lines: Sequence[ClaimLine], fact: PlacedFact
) -> bool:
    """Whether it set the contract sum that was in force."""
    signed = fact.values["contract_sum"]
    if lines[0].change is not None or signed is None:
        return False
    _, amended_on = contract_sum_on(then, fact.values["job"], signed, claim.day)
    return amended_on is not None and amended_on == fact.values["day"]


RESTS: dict[str, Rests] = {
    "claim_percent": _percent,
    "change_event": _event,
    "daywork_sheet": _sheet,
    "daywork_item": _item,
    "baseline_change": _baseline_change,
}
