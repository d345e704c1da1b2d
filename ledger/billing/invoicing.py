"""What an invoice bears: its increment alone, what is certified to date less what is invoiced.

Invoices that are credited count no more, so that their claims can be billed again. An advance is
invoiced by itself, and deducted again, with the tax it bore, as claims recover it.
"""

from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.billing.certified import Certified, certified_by_claim
from ledger.changes.claim_terms import claim_base, needs_no_certificate
from ledger.documents.invoices import ADVANCE, InvoicedLine, IssuedInvoice, invoices_of
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.allocation import to_places
from ledger.domain.certified import alike, set_against
from ledger.domain.claims import ClaimLine, ClaimSums
from ledger.domain.pricing import NOTHING
from ledger.errors import Refused, Remedy
from ledger.store.book import Book

NONE = Decimal(0)
# By how much quantity x price may miss the amount that is certified: the cents of two roundings.
TOLERANCE = Decimal("0.02")


@dataclass(frozen=True)
class Tax:
    """A tax category, and its rate in percent, 0 where it bears none."""

    category: str
    rate: Decimal


@dataclass(frozen=True)
class Increment:
    """What the invoice of a claim bears: its lines, and the sums of the claim they come from.

    `retention_in_full` says that retention is not deducted but held back when it is paid.
    `before` is what was invoiced without tax and is not credited, advances left out;
    `advances_left` what was invoiced of these and is not recovered; `standing` the invoices of
    claims before it that are not credited.
    """

    claim: Claim
    lines: tuple[InvoicedLine, ...]
    sums: ClaimSums
    before: Decimal
    advances_left: Decimal
    standing: tuple[IssuedInvoice, ...]
    retention_in_full: bool = False

    @property
    def last(self) -> IssuedInvoice | None:
        """Return the invoice before, None for the first."""
        return self.standing[-1] if self.standing else None

    @property
    def to_credit(self) -> tuple[IssuedInvoice, ...]:
        """Return the invoices, the last first, by whose credit it comes to more than nothing.

        Empty where all of them are not enough.
        """
        net = self.net
        for count, each in enumerate(reversed(self.standing), start=1):
            net += each.net
            if net > 0:
                return self.standing[-count:][::-1]
        return ()

    @property
    def retention_deducted(self) -> Decimal:
        """Return the retention that is deducted to date."""
        return NOTHING if self.retention_in_full else self.sums.retention_held

    @property
    def net(self) -> Decimal:
        """Return what it comes to without tax."""
        return sum((line.amount for line in self.lines), NOTHING)


def increment(book: Book, job: str, number: int, tax: Tax) -> Increment:
    """Return what the invoice of a claim bears; its increments are taxed as said.

    Raises: Refused when there is no such claim, it is not certified, a later one was invoiced or
    superseded it, or nothing is left to invoice.
    """
    claims = claims_of(book, job)
    if not 1 <= number <= len(claims):
        known = tuple(str(each.number) for each in claims)
        raise Refused("invoice_claim_unknown", job=job, claim=number, claims=known)
    claim, issued = claims[number - 1], invoices_of(book, job)
    _refuse_behind(job, claim, claims, issued)
    certified = certified_by_claim(book, job, claims, number)
    if certified.open_claim is not None:
        load = Remedy("load", what="certified")
        raise Refused("invoice_uncertified", job=job, claim=number, remedy=load)
    if needs_no_certificate(book, job, claim.known_at):
        _refuse_superseded(job, claim, claims, issued)
    terms = claim_base(book.known_by(claim.known_at), job, claim.day).terms
    in_full = terms.retention.invoiced == "in_full"
    return _increment(claim, certified, [e for e in issued if e.stands], tax, in_full=in_full)


def _refuse_behind(
    job: str, claim: Claim, claims: Sequence[Claim], issued: Iterable[IssuedInvoice]
) -> None:
    last = max((each.claim for each in issued if each.claim is not None), default=0)
    if claim.number < last:
        raise Refused("invoice_claim_behind", job=job, claim=claim.number, last=last)


def _refuse_superseded(
    job: str, claim: Claim, claims: Sequence[Claim], issued: Iterable[IssuedInvoice]
) -> None:
    """Raises: Refused for a claim that its successor has taken the place of."""
    invoiced = {each.claim for each in issued}
    if claim is not claims[-1] and claim.number not in invoiced:
        last = claims[-1].number
        raise Refused("invoice_claim_superseded", job=job, claim=claim.number, last=last)


def _increment(
    claim: Claim,
    certified: Certified,
    standing: Sequence[IssuedInvoice],
    tax: Tax,
    *,
    in_full: bool,
) -> Increment:
    assert certified.sums is not None, "something of the claim is certified"
    sums, advances = certified.sums, [each for each in standing if each.mark == ADVANCE]
    of_claims = [each for each in standing if each.mark != ADVANCE]
    invoiced = [line for each in of_claims for line in each.lines]
    lines = [*_of_items(certified.lines, invoiced, tax)]
    deducted = NOTHING if in_full else sums.retention_held
    lines += _of_the_whole("retention", -deducted, invoiced, tax)
    lines += _recovered(sums.advance_recovered, advances, invoiced, tax)
    before = sum((each.net for each in of_claims), NOTHING)
    to_date = sums.value_to_date - deducted - sums.advance_recovered
    off = to_date - before - sum((line.amount for line in lines), NOTHING)
    if off:
        lines.append(_line("rounding", off, NOTHING, tax))
    return Increment(
        claim,
        tuple(lines),
        sums,
        before,
        sum((each.net for each in advances), NOTHING) - sums.advance_recovered,
        tuple(of_claims),
        in_full,
    )


def advance_line(book: Book, job: str, day: date, tax: Tax) -> InvoicedLine:
    """Return the line of an invoice for the advance that is agreed and not invoiced yet.

    Raises: Refused when none is agreed, or all of it is invoiced.
    """
    issued = [each for each in invoices_of(book, job) if each.stands and each.mark == ADVANCE]
    before = sum((each.net for each in issued), NOTHING)
    agreed = claim_base(book, job, day).terms.advance.amount
    if agreed <= before:
        raise Refused("invoice_no_advance", job=job, agreed=agreed, invoiced=before)
    return _line("advance", agreed, before, tax)


# -- the items of a claim ------------------------------------------------------------------------


def _of_items(
    certified: Iterable[ClaimLine], invoiced: Sequence[InvoicedLine], tax: Tax
) -> Iterator[InvoicedLine]:
    """Yield a line for each line of the claim of which anything is left to invoice."""
    before = _before(invoiced)
    due = (line for line in certified if line.claim_kind != "correction")
    for line in set_against(due, before.values()):
        if line.amount:
            known = before.get((line.item, alike(line)))
            yield _of_item(line, known.quantity if known else None, tax)


def _before(invoiced: Iterable[InvoicedLine]) -> dict[Hashable, ClaimLine]:
    """Return what was invoiced of items, as lines of a claim to date."""
    lines: dict[Hashable, ClaimLine] = {}
    for line in invoiced:
        if not line.item:
            continue
        own = ClaimLine(
            line.claim_kind,
            line.change,
            line.description,
            line.amount,
            quantity=line.quantity,
            unit=line.unit,
            unit_price=line.unit_price,
        )
        key = own.item, alike(own)
        if known := lines.get(key):
            quantity = (known.quantity or NONE) + (own.quantity or NONE)
            to_date = known.to_date + own.to_date
            own = replace(own, to_date=to_date, quantity=quantity)
        lines[key] = own
    return lines


def _of_item(line: ClaimLine, invoiced: Decimal | None, tax: Tax) -> InvoicedLine:
    """Return the line of an invoice: by quantity and price if they come to its amount.

    The quantity to date is rounded once, hours to two places; the increment is what it is above the
    one invoiced, and the amount is reckoned from that.
    """
    quantity, amount = None, line.amount
    if line.quantity is not None and line.unit_price is not None:
        quantity = _rounded(line.quantity, line.unit) - (invoiced or NONE)
        reckoned = to_places(Fraction(quantity) * Fraction(line.unit_price), 2)
        if abs(reckoned - amount) <= TOLERANCE:
            amount = reckoned
    return InvoicedLine(
        line.claim_kind,
        line.item,
        line.change,
        line.description,
        quantity,
        line.unit if quantity is not None else "",
        line.unit_price if quantity is not None else None,
        line.certified + amount,
        line.certified,
        tax.category,
        tax.rate,
    )


def _rounded(quantity: Decimal, unit: str) -> Decimal:
    return to_places(Fraction(quantity), 2) if unit == "h" else quantity


# -- what is of the whole ------------------------------------------------------------------------


def _of_the_whole(
    kind: str, to_date: Decimal, invoiced: Iterable[InvoicedLine], tax: Tax
) -> list[InvoicedLine]:
    """Return the line that brings what was invoiced of a kind to what it is to date, if any."""
    before = sum((line.amount for line in invoiced if line.claim_kind == kind), NOTHING)
    return [_line(kind, to_date, before, tax)] if to_date != before else []


def _recovered(
    recovered: Decimal,
    advances: Sequence[IssuedInvoice],
    invoiced: Iterable[InvoicedLine],
    tax: Tax,
) -> list[InvoicedLine]:
    """Return what is recovered of advances, each with the tax that it bore, the first first.

    What is recovered of an advance that was not invoiced here is taxed as the invoice is.
    """
    before = -sum((line.amount for line in invoiced if line.claim_kind == "advance"), NOTHING)
    shares: dict[Tax, tuple[Decimal, Decimal]] = {}
    start = NOTHING
    for each in advances:
        borne = Tax(each.lines[0].tax_category, each.lines[0].tax_rate)
        _share(shares, borne, (start, start + each.net), (before, recovered))
        start += each.net
    _share(shares, tax, (start, max(start, before, recovered)), (before, recovered))
    return [_line("advance", -to, -done, own) for own, (done, to) in shares.items() if to != done]


def _share(
    shares: dict[Tax, tuple[Decimal, Decimal]],
    tax: Tax,
    of: tuple[Decimal, Decimal],
    moved: tuple[Decimal, Decimal],
) -> None:
    """Add what of an advance was recovered before, and is to date; `of` is its place among all."""
    start, end = of
    done, to = (min(max(each, start), end) - start for each in moved)
    known = shares.get(tax, (NOTHING, NOTHING))
    shares[tax] = (known[0] + done, known[1] + to)


def _line(kind: str, to_date: Decimal, before: Decimal, tax: Tax) -> InvoicedLine:
    own = (tax.category, tax.rate)
    return InvoicedLine(kind, "", None, "", None, "", None, to_date, before, *own)
