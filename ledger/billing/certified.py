"""What of the claims of a job is certified: the one place that says so.

Where the contract asks for no certificate a claim is certified in full by its invoice
(`needs_no_certificate`), and stays so when that is credited.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ledger.changes.claim_terms import claim_base, needs_no_certificate
from ledger.documents.invoices import invoices_of
from ledger.documents.issued_claims import Claim, claims_of
from ledger.domain.certified import by_item, certified_of, claimed
from ledger.domain.claims import ClaimLine, ClaimSums, claim_sums
from ledger.domain.pricing import NOTHING
from ledger.store.book import Book

Lines = tuple[ClaimLine, ...]


@dataclass(frozen=True)
class Disallowed:
    """What of an item was claimed and not certified, and the reason on the certificate."""

    claim: int
    item: str
    amount: Decimal
    reason: str


@dataclass(frozen=True)
class Certified:
    """What is certified of a job: lines at what is certified of them, and that net.

    `net` is less the retention held and the advance recovered, as the last claim that is certified
    had them. `open_claim` is the last claim if nothing of it is certified.
    """

    lines: Lines = ()
    net: Decimal = NOTHING
    disallowed: tuple[Disallowed, ...] = ()
    claims: int = 0
    last_day: date | None = None
    open_claim: int | None = None
    sums: ClaimSums | None = None


def certified_to_date(book: Book, job: str, day: date | None = None) -> Certified:
    """Return what is certified of the claims to a day or earlier, of all if none is named.

    A certificate counts whatever its own day: what it certifies was done by the day of its claim.
    """
    claims = [each for each in claims_of(book, job) if day is None or each.day <= day]
    if not claims:
        return Certified()
    tally = _Tally(book, job)
    for claim in claims:
        tally.take(claim)
    return tally.result(claims)


def certified_by_claim(book: Book, job: str, claims: list[Claim], number: int) -> Certified:
    """Return what the claims up to a number are certified at, once that one is invoiced.

    `open_claim` is that number if nothing of it is certified.
    """
    tally = _Tally(book, job, number)
    of_it = claims[:number]
    for claim in of_it:
        tally.take(claim)
    return tally.result(of_it)


@dataclass(frozen=True)
class ClaimStanding:
    """A claim, and the sums that it is certified at to date; None while nothing of it is."""

    claim: Claim
    sums: ClaimSums | None

    @property
    def certified(self) -> Decimal | None:
        """Return the value to date that is certified."""
        return self.sums.value_to_date if self.sums else None

    @property
    def value(self) -> Decimal:
        """Return the value to date that it claims."""
        return claimed(self.claim.lines)


def claims_standing(book: Book, job: str, day: date) -> list[ClaimStanding]:
    """Return the claims to a day or earlier, each with what is certified of it."""
    tally, standing = _Tally(book, job), []
    for claim in claims_of(book, job):
        if claim.day <= day:
            tally.take(claim)
            standing.append(ClaimStanding(claim, tally.sums if tally.last is claim else None))
    return standing


@dataclass
class _Tally:
    """What the claims that were looked at come to, by item."""

    book: Book
    job: str
    invoicing: int | None = None
    items: dict[str, list[ClaimLine]] = field(default_factory=dict)
    disallowed: dict[str, Disallowed] = field(default_factory=dict)
    last: Claim | None = None

    def __post_init__(self) -> None:
        self.rows: dict[int, list[dict[str, Any]]] = {}
        for row in self.book.records("billing/certificates", job=self.job):
            self.rows.setdefault(row["claim"], []).append(row)
        self.invoiced = {each.claim for each in invoices_of(self.book, self.job)}
        self.invoiced.add(self.invoicing)

    def take(self, claim: Claim) -> None:
        """Count what is certified of a claim, in the place of what was before."""
        of_claim = by_item(claim.lines)
        if needs_no_certificate(self.book, self.job, claim.known_at):
            if claim.number in self.invoiced:
                self.items, self.disallowed, self.last = dict(of_claim), {}, claim
        elif rows := self.rows.get(claim.number):
            self.last = claim
            for row in rows:
                self._certify(claim, of_claim, row)

    @property
    def lines(self) -> Lines:
        """Return the lines certified by the claims taken so far."""
        return tuple(line for own in self.items.values() for line in own)

    @property
    def sums(self) -> ClaimSums:
        """Return what they come to, by the terms of the last claim of which anything is."""
        assert self.last is not None, "something is certified"
        base = claim_base(self.book.known_by(self.last.known_at), self.job, self.last.day)
        return claim_sums(base.terms, base.original_sum, self.lines, self.last.day)

    def _certify(
        self, claim: Claim, of_claim: Mapping[str, list[ClaimLine]], row: Mapping[str, Any]
    ) -> None:
        item, lines = row["item"], of_claim[row["item"]]
        amount = row["amount"].quantize(NOTHING, ROUND_HALF_UP)
        self.items[item] = certified_of(lines, amount)
        self.disallowed.pop(item, None)
        if short := claimed(lines) - amount:
            self.disallowed[item] = Disallowed(claim.number, item, short, row["reason"] or "")

    def result(self, claims: list[Claim]) -> Certified:
        """Return what is certified, net by the terms of the last claim of which anything is."""
        open_claim = None if self.last is claims[-1] else claims[-1].number
        if self.last is None:
            return Certified(claims=len(claims), last_day=claims[-1].day, open_claim=open_claim)
        sums = self.sums
        return Certified(
            self.lines,
            sums.net_to_date,
            tuple(self.disallowed.values()),
            len(claims),
            claims[-1].day,
            open_claim,
            sums,
        )
