"""The account of a job: its sum, the value to date, what of it is certified, invoiced and paid."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from ledger.billing.certified import ClaimStanding, claims_standing
from ledger.billing.claimable import Claimable, NotClaimed, claimable
from ledger.billing.final_account import Agreed, agreed_final_account
from ledger.billing.retention import RetentionOf, held_on_invoices, retention_by_claim
from ledger.changes.base_time import time_beyond
from ledger.changes.standing import standings
from ledger.changes.sums import ContractSums, contract_sum_on, contract_sums, sums_unspent
from ledger.documents.invoices import CREDIT_NOTE, IssuedInvoice, invoices_of
from ledger.documents.payments import balances, payments_of
from ledger.domain.pricing import NOTHING
from ledger.domain.receivables import Aged, InvoiceBalance, aged
from ledger.jobs.jobs import job_card
from ledger.store.book import Book


@dataclass(frozen=True)
class AccountLine:
    """A line of the statement of account: what was invoiced, credited, paid or taken off.

    `amount` moves what is outstanding, `balance` is that after it. `entry` is what it is: a kind of
    document, "payment", or the kind of a deduction that is accepted.
    """

    day: date
    entry: str
    document: str
    reference: str
    amount: Decimal
    balance: Decimal = NOTHING


@dataclass(frozen=True, kw_only=True)
class Billed:
    """What both parties have of a job by a day: claims, invoices and payments, these with tax."""

    job: str
    day: date
    claims: tuple[ClaimStanding, ...]
    issued: tuple[IssuedInvoice, ...]
    balances: tuple[InvoiceBalance, ...]
    retention: tuple[RetentionOf, ...]

    @property
    def invoiced(self) -> Decimal:
        """Return what was invoiced."""
        return self._issued(CREDIT_NOTE, is_so=False)

    @property
    def credited(self) -> Decimal:
        """Return what was credited."""
        return self._issued(CREDIT_NOTE, is_so=True)

    def _issued(self, kind: str, *, is_so: bool) -> Decimal:
        amounts = (each.gross for each in self.issued if (each.kind == kind) is is_so)
        return sum(amounts, NOTHING)

    @property
    def paid(self) -> Decimal:
        """Return what was paid, less what was paid back."""
        return sum((each.paid for each in self.balances), NOTHING)

    @property
    def deducted(self) -> Decimal:
        """Return what the owner took off and the yard accepted."""
        return sum((each.accepted for each in self.balances), NOTHING)

    @property
    def outstanding(self) -> Decimal:
        """Return what is invoiced, less what is credited, paid, and deducted and accepted."""
        return self.invoiced - self.credited - self.paid - self.deducted

    @property
    def disputed(self) -> Decimal:
        """Return what of it the owner took off and the yard did not accept."""
        return sum((each.disputed for each in self.balances), NOTHING)

    @property
    def aged(self) -> tuple[Aged, ...]:
        """Return what is outstanding by how long it is due."""
        return aged(self.balances, self.day)

    @property
    def statement(self) -> tuple[AccountLine, ...]:
        """Return what moved what is outstanding, by the day, with the balance after each."""
        rows, balance = [], NOTHING
        for move in sorted(self._moves(), key=lambda move: move.day):
            balance += move.amount
            rows.append(replace(move, balance=balance))
        return tuple(rows)

    def _moves(self) -> Iterator[AccountLine]:
        for each in self.issued:
            sign = -1 if each.kind == CREDIT_NOTE else 1
            gross = sign * each.gross
            yield AccountLine(each.issued_on, each.kind, each.document, each.credits or "", gross)
        for paid in (payment for each in self.balances for payment in each.payments):
            if paid.amount:
                yield AccountLine(paid.day, "payment", paid.invoice, paid.reference, -paid.amount)
            if paid.deducted and paid.accepted:
                kind, taken = paid.deduction_kind, -paid.deducted
                yield AccountLine(paid.day, kind, paid.invoice, paid.reason, taken)


@dataclass(frozen=True, kw_only=True)
class Account(Billed):
    """The account of a job by a day, what may be claimed included."""

    sums: ContractSums
    claimable: Claimable
    agreed: Agreed | None

    @property
    def disallowed(self) -> tuple[NotClaimed, ...]:
        """Return what was claimed and not certified, until it is settled."""
        return tuple(each for each in self.claimable.left_out if each.reason == "disallowed")


def account(book: Book, job: str, day: date) -> Account:
    """Return the account of a job by a day.

    Raises: Refused when there is no such job, or an approved change cannot be priced.
    """
    contract_sum, _ = contract_sum_on(book, job, job_card(book, job).contract_sum, day)
    every = standings(book, job, day)
    beyond = time_beyond(book, job, day, contract_sum, every)
    sums = contract_sums(contract_sum, every, sums_unspent(book, job, day, every), beyond)
    return Account(
        **vars(billed(book, job, day)),
        sums=sums,
        claimable=claimable(book, job, day),
        agreed=agreed_final_account(book, job, day),
    )


def billed(book: Book, job: str, day: date) -> Billed:
    """Return what was claimed, invoiced and paid of a job by a day."""
    claims = tuple(claims_standing(book, job, day))
    issued = tuple(each for each in invoices_of(book, job) if each.issued_on <= day)
    retention = tuple(retention_by_claim(book, job, claims))
    held = held_on_invoices(book, job, issued, retention, day)
    return Billed(
        job=job,
        day=day,
        claims=claims,
        issued=issued,
        balances=tuple(
            replace(each, held=held.get(each.document, ()))
            for each in balances(issued, payments_of(book, job), day)
        ),
        retention=retention,
    )
