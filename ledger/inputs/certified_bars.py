"""What a certificate rests on is not withdrawn: what was typed, approved, agreed and signed of it.

A claim that needs no certificate refuses nothing: what it asked for in error is credited by the
next one.
"""

from collections.abc import Callable, Sequence

from ledger.changes.sums import contract_sum_on
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.certified import by_item
from ledger.domain.change_life import APPROVALS, ORDERED
from ledger.domain.claims import ClaimLine
from ledger.domain.daywork import AGREED
from ledger.errors import Refused
from ledger.store.book import Book
from ledger.store.rerun import Placed, standing

# Whether lines certified of an item of a claim rest on a fact that was known and dated by then;
# the book is as it was known when the claim was made.
Rests = Callable[[Book, Claim, Sequence[ClaimLine], Placed], bool]


def refuse_certified(book: Book, facts: Sequence[Placed]) -> None:
    """Raises: Refused when a certificate that stands rests on one of facts withdrawn."""
    asked = [each for each in facts if each.table in RESTS]
    for job in sorted({each.values["job"] for each in asked}):
        certificates = [e for e in standing(book, "certified") if e.values["job"] == job]
        claims = {each.number: each for each in claims_of(book, job)} if certificates else {}
        for certificate in certificates:
            claim, item = claims[certificate.values["claim"]], certificate.values["item"]
            lines = by_item(claim.lines)[item]
            then = book.known_by(claim.known_at)
            for fact in asked:
                if _was_known(claim, fact, job) and RESTS[fact.table](then, claim, lines, fact):
                    raise Refused(
                        "certificate_rests",
                        fact=fact.named,
                        item=item,
                        claim=claim.number,
                        certificate=certificate.named,
                    )


def _was_known(claim: Claim, fact: Placed, job: str) -> bool:
    day = next((fact.values[name] for name in ("agreed_on", "day") if name in fact.values), None)
    known = fact.values["job"] == job and fact.batch <= claim.known_at
    return known and (day is None or day <= claim.day)


def _percent(then: Book, claim: Claim, lines: Sequence[ClaimLine], fact: Placed) -> bool:
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


def _event(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: Placed) -> bool:
    on_account = lines[0].claim_kind == "on_account"
    needed = ORDERED | {"disputed"} if on_account else APPROVALS | {"value_agreed"}
    return fact.values["change"] == lines[0].change and fact.values["event"] in needed


def _sheet(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: Placed) -> bool:
    by_sheets = any(line.quantity is not None for line in lines)
    agreed = fact.values["mark"] == AGREED and fact.values["change"] == lines[0].change
    return by_sheets and agreed


def _item(_: Book, __: Claim, lines: Sequence[ClaimLine], fact: Placed) -> bool:
    alike = [(line.change, line.description, line.unit) for line in lines]
    return tuple(fact.values[name] or "" for name in ("change", "description", "unit")) in alike


def _baseline_change(then: Book, claim: Claim, lines: Sequence[ClaimLine], fact: Placed) -> bool:
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
