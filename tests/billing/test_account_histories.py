"""Whatever is claimed, invoiced, credited, paid and taken off, the account is what was done."""

import random
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal

import pytest

from tests.billing._invoices import pay
from tests.billing._job import ClaimedJob, claimed
from tests.billing.test_account import account
from tests.conftest import Yard

RETAINED = "[retention]\npercent = 10\n"
FIRST, LAST = date(2026, 2, 1), "2026-10-30"
STEPS = 9


@dataclass
class History:
    """A job with random dealings, and what they come to by a reckoning of its own."""

    job: ClaimedJob
    chance: random.Random
    day: date = FIRST
    percent: int = 0
    claims: int = 0
    owed: dict[str, Decimal] = field(default_factory=dict)
    standing: dict[str, int] = field(default_factory=dict)
    payments: int = 0
    paid: Decimal = Decimal(0)
    accepted: Decimal = Decimal(0)
    credited: Decimal = Decimal(0)

    def later(self) -> str:
        self.day += timedelta(self.chance.randint(1, 9))
        return str(self.day)

    def claim(self) -> None:
        """Claim a larger share, and invoice it at once or leave it to the next."""
        more = self.chance.randint(1, 12)
        if self.percent + more > 100:
            return
        self.percent += more
        self.claims += 1
        self.job.claim_to(self.later(), f"base {self.percent}")
        if self.chance.random() < 0.8:
            self.bill()

    def bill(self) -> None:
        """Invoice the last claim, where nothing stands of it."""
        if self.claims and self.claims not in self.standing.values():
            self.job.bill(self.claims, self.later())
            invoice = [each for each in self.job.invoices() if each.kind == "invoice"][-1]
            self.owed[invoice.document], self.standing[invoice.document] = (
                invoice.gross,
                self.claims,
            )

    def credit(self) -> None:
        """Credit the last invoice, and bill its claim again."""
        if self.standing:
            number = list(self.standing)[-1]
            self.job.credit(number, self.later())
            self.credited += self.owed[number]
            del self.standing[number]
            self.bill()

    def pay(self) -> None:
        """Pay part of an invoice, sometimes with something taken off."""
        if not self.owed:
            return
        number, cents = self.chance.choice(list(self.owed)), self.chance.randint(1, 90_000)
        amount, off = Decimal(cents) / 100, Decimal(self.chance.choice((0, 0, 25)))
        accepted = bool(off) and self.chance.random() < 0.5
        self.payments += 1
        row = f"{number},{self.later()},{amount},P{self.payments}"
        row += f",{off},set_off,{'yes' if accepted else 'no'}" if off else ""
        pay(self.job.yard, row)
        self.paid += amount
        self.accepted += off if accepted else 0

    def holds(self) -> None:
        """The account has what was done, and adds up in each of its parts."""
        found = account(self.job.yard, LAST)
        issued = self.job.invoices()
        net = sum((e.net if e.kind == "invoice" else -e.net for e in issued), Decimal(0))

        assert found["invoiced_to_date"] == sum(self.owed.values())
        assert (found["credited_to_date"], found["paid_to_date"]) == (self.credited, self.paid)
        assert found["deductions_accepted"] == self.accepted
        if self.claims in self.standing.values():
            # Retention is held on the invoices as it is on the claim.
            assert net == found["certified_to_date"]
        for kind in ("invoice", "credit_note"):
            numbers = [int(e.document[-4:]) for e in issued if e.kind == kind]
            assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2))
def test_no_history_of_payments_loses_anything(yard: Yard, seed: int) -> None:
    """Invoiced, credited, paid and outstanding are those of a reckoning beside the book."""
    history = History(claimed(yard, "10000.00", RETAINED), random.Random(seed))
    history.claim()
    for _ in range(STEPS):
        step = history.chance.choice(
            (history.claim, history.bill, history.credit, history.pay, history.pay)
        )
        step()
        history.holds()
    yard.run("check")
