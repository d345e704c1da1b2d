"""Whatever is booked, moved, approved, claimed, certified, invoiced and paid, all together."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from ledger.billing.account import Account, account
from ledger.billing.claimable import Claimable
from ledger.store.book import open_book
from tests.billing._invoices import HEAD
from tests.billing._job import DAYWORK, JOB, ClaimedJob, claimed
from tests.conftest import Yard

TERMS = 'certificate = "required"\n[retention]\npercent = 10\n'
DAYS = ("2026-02-02", "2026-02-03", "2026-02-04")
LAST, CERTIFIED_ON = "2026-03-27", "2026-03-28"
BOOKED = "sheet,worker_id,date,hours,booking_code,note\n"
RULES = "rule,priority,booked_to,note_contains,reason\n"
CERTIFICATE = "claim,date,item,amount,reason\n"
PLACES = st.sampled_from(("CLAIM P1", "CLAIM D1"))
NOTHING = Decimal(0)
PICK = st.integers(0, 99)


def daywork_job(yard: Yard) -> None:
    """Make a job with daywork of 20 h approved, which the owner's certificates certify."""
    job = claimed(yard, "10000.00", TERMS)
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,6,D1,", "2026-02-03,5.5,D1,")
    job.sign("W0", "D1", DAYS[0], DAYS[1])
    job.percents(f"base,{LAST},20,,")


class Dealings(RuleBasedStateMachine):
    """A job that is dealt with at random, and what it owes by a reckoning of its own.

    What a rule of the program does not allow is refused, and is not counted as done.
    """

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.yard = Yard(Path(self.folder.name))
        self.job = ClaimedJob(self.yard)
        self.counts: dict[str, int] = defaultdict(int)
        self.bytes: dict[str, bytes] = {}
        self.owed: dict[str, Decimal] = {}
        self.paid = self.accepted = self.credited = NOTHING
        self.to_certify: list[int] = []
        self.billed: set[int | None] = {0}

    @initialize()
    def begin(self) -> None:
        self.yard.copy_made_by(daywork_job)
        self.claim(0, 0)

    def number(self, what: str) -> int:
        self.counts[what] += 1
        return self.counts[what]

    def tried(self, *words: object) -> bool:
        """Run a command that a rule may refuse in one message; return whether it was done."""
        before = self.yard.book.read_bytes()
        try:
            self.yard.run(*words)
        except AssertionError:
            assert self.yard.book.read_bytes() == before
            return False
        return True

    def load(self, thing: str, text: str) -> bool:
        path = self.yard.write(f"{thing}-{self.number('file')}.csv", text)
        of_job = () if thing == "rules" else ("--job", JOB)
        return self.tried("load", thing, *of_job, path)

    def entry(self, pick: int) -> str:
        every = self.yard.json("entries")
        return str(every[pick % len(every)]["entry"])

    # what moves hours

    @rule(day=st.sampled_from(DAYS), hours=st.sampled_from(("1.25", "4.5")))
    def work(self, day: str, hours: str) -> None:
        number = self.number("sheet")
        assert self.load("sheets", f"{BOOKED}S{number},A1,{day},{hours},D1,note {number}\n")

    @rule(pick=PICK)
    def reverse(self, pick: int) -> None:
        self.tried("reverse", "entry", self.entry(pick), "--reason", "wrong")

    @rule(pick=PICK, hours=st.sampled_from(("0.5", "2", "9")))
    def correct(self, pick: int, hours: str) -> None:
        words = ("correct", "entry", self.entry(pick), f"hours={hours}", "--reason", "misread")
        self.tried(*words)

    @rule(pick=PICK, place=PLACES)
    def tag(self, pick: int, place: str) -> None:
        self.tried("tag", "entries", self.entry(pick), "--to", place, "--reason", "asked")

    @rule(place=st.sampled_from(("P1", "D1")), digit=st.integers(1, 4))
    def write_rule(self, place: str, digit: int) -> None:
        self.load("rules", f"{RULES}R{self.number('rule')},5,{place},note {digit},asked\n")

    # what moves the value

    @rule(days=st.lists(st.sampled_from(DAYS), min_size=2, max_size=2))
    def sign(self, days: list[str]) -> None:
        first, last = sorted(days)
        row = f"W{self.number('signed')},D1,{first},{last},{last},agreed,Owner\n"
        self.load("daywork-sheets", DAYWORK + row)

    @rule(pick=PICK, table=st.sampled_from(("daywork_sheet", "claim_percent", "certified")))
    def withdraw(self, pick: int, table: str) -> None:
        if rows := self.job.shown(table):
            fact = rows[pick % len(rows)]["id"]
            self.tried("withdraw", "fact", fact, "--reason", "misread")

    @rule(percent=st.integers(0, 100))
    def percent(self, percent: int) -> None:
        self.load("claim-percents", f"item,date,percent\nbase,{LAST},{percent}\n")

    @rule(price=st.integers(1, 90), percent=st.integers(0, 100))
    def approve(self, price: int, percent: int) -> None:
        code = f"V{self.number('change')}"
        self.job.change(code, f"1,lot,{price * 10}", f"-1,lot,{price}")
        self.job.percents(f"{code},{LAST},{percent},,")

    # what is claimed, certified, invoiced and paid

    @rule(cut=st.sampled_from((0, 7, 150, None)), pick=PICK)
    def claim(self, cut: int | None, pick: int) -> None:
        """Claim what is due and certify it, or leave it to a later certificate."""
        found = self.job.claimable(LAST)
        out = self.yard.folder / f"claim-{self.number('page')}.html"
        if self.tried("issue", "claim", "--job", JOB, "--to", LAST, "--out", out):
            self.to_certify.append(self.number("claim"))
            self.bytes[f"CLAIM-C-{self.counts['claim']:03}"] = out.read_bytes()
            value = sum(line["to_date"] for line in found["lines"])

            assert value == found["value_to_date"] == found["total"] + self.certified(found)
            if cut is not None:
                self.certify(cut, pick)
                self.bill()

    @precondition(lambda self: self.to_certify)
    @rule(cut=st.sampled_from((0, 7, 150)), pick=PICK)
    def certify(self, cut: int, pick: int) -> None:
        """Certify the last claim in full, short by something, or with an item disallowed."""
        number = self.to_certify[-1]
        sums: dict[str, Decimal] = defaultdict(lambda: NOTHING)
        for row in self.job.shown("document_line"):
            if row["document"] == f"CLAIM-C-{number:03}":
                sums[row["item"]] += Decimal(row["to_date"])
        items = list(sums)
        if items:
            item = items[pick % len(items)]
            sums[item] = NOTHING if cut == 150 else sums[item] - cut
        rows = "".join(f"{number},{CERTIFIED_ON},{i},{v:.2f},why\n" for i, v in sums.items())
        self.load("certified", CERTIFICATE + rows)

    @precondition(lambda self: self.counts["claim"] not in self.billed)
    @rule()
    def bill(self) -> None:
        out = self.yard.folder / f"invoice-{self.number('page')}.html"
        named = ("--job", JOB, "--claim", self.counts["claim"], "--on", CERTIFIED_ON)
        if self.tried("issue", "invoice", *named, "--out", out):
            made = self.job.invoices()[-1]
            self.bytes[made.document], self.owed[made.document] = out.read_bytes(), made.gross
            self.billed.add(self.counts["claim"])
            net = sum(each.net for each in self.job.invoices() if each.stands)

            assert net == self.found().claimable.certified.net

    @precondition(lambda self: self.owed)
    @rule()
    def credit(self) -> None:
        """Credit the last invoice that stands."""
        standing = [each for each in self.job.invoices() if each.stands]
        out = self.yard.folder / f"credit-{self.number('page')}.html"
        words = ("--reason", "Wrong address", "--on", CERTIFIED_ON, "--out", out)
        if standing and self.tried("credit", "invoice", standing[-1].document, *words):
            made = next(each for each in reversed(self.job.invoices()) if each.credits)
            self.bytes[made.document] = out.read_bytes()
            self.credited += standing[-1].gross
            self.billed.discard(standing[-1].claim)

    @precondition(lambda self: self.owed)
    @rule(pick=PICK, cents=st.integers(1, 90_000), off=st.sampled_from((0, 25)), yes=st.booleans())
    def pay(self, pick: int, cents: int, off: int, yes: bool) -> None:
        number, amount = list(self.owed)[pick % len(self.owed)], Decimal(cents).scaleb(-2)
        row = f"{number},{CERTIFIED_ON},{amount},P{self.number('payment')}"
        row += f",{off},set_off,{'yes' if yes else 'no'},why" if off else ",,,,"
        if self.load("payments", f"{HEAD}{row}\n"):
            self.paid += amount
            self.accepted += off if yes else 0

    # what holds

    def found(self) -> Account:
        with open_book(self.yard.book) as book:
            return account(book, JOB, date.fromisoformat(CERTIFIED_ON))

    @staticmethod
    def certified(found: Any) -> Decimal:
        return sum((line["certified"] for line in found["lines"]), NOTHING)

    @invariant()
    def holds(self) -> None:
        """What is in the book is right after each step."""
        if not self.yard.book.exists():
            return
        with open_book(self.yard.book) as book:
            beyond_booked = book.rows("store/claims_beyond_booked")
            found = account(book, JOB, date.fromisoformat(CERTIFIED_ON))

        assert beyond_booked == []
        self.value_claimed_is_value_due(found.claimable)
        self.the_balance_is_what_was_done(found)

    def value_claimed_is_value_due(self, found: Claimable) -> None:
        """By daywork too what is certified beyond its value is to be credited, until it is."""
        of_daywork = [line for line in found.lines if line.change == "D1"]
        record = found.certified.lines
        excess = sum((line.to_date for line in record if line.change == "D1"), NOTHING)
        excess -= sum((line.to_date for line in of_daywork), NOTHING)
        credited = (-e.amount for e in of_daywork if e.claim_kind == "correction")

        certified = sum(line.to_date for line in record)
        assert found.total == found.sums.value_to_date - certified
        assert sum(credited, NOTHING) == max(NOTHING, excess)

    def the_balance_is_what_was_done(self, found: Account) -> None:
        """Invoiced, credited and paid are those of the reckoning, and numbers have no gap."""
        assert (found.invoiced, found.credited) == (sum(self.owed.values()), self.credited)
        assert (found.paid, found.deducted) == (self.paid, self.accepted)
        assert found.outstanding == found.invoiced - self.credited - self.paid - self.accepted
        for kind in ("invoice", "credit_note"):
            numbers = [int(e.document[-4:]) for e in found.issued if e.kind == kind]
            assert sorted(numbers) == list(range(1, len(numbers) + 1))

    def teardown(self) -> None:
        try:
            if self.yard.book.exists():
                self.take_out()
                self.bytes_stay()
                self.yard.run("check")
        finally:
            self.folder.cleanup()

    def take_out(self) -> None:
        """Whatever was dealt, hours taken out last are to be credited, until a claim does it."""
        self.reverse(0)
        self.holds()
        self.claim(0, 0)
        self.holds()

    def bytes_stay(self) -> None:
        """What was issued is in the book as it was written."""
        out = self.yard.folder / "again.html"
        for number, issued in self.bytes.items():
            self.yard.run("show", "document", number, "--out", out)

            assert (number, out.read_bytes()) == (number, issued)
            out.unlink()


@pytest.mark.slow
def test_no_dealings_bill_twice_or_lose_anything() -> None:
    """All that moves hours, value and money is drawn together; each step leaves the sums right."""
    drawn = settings(
        max_examples=3,
        stateful_step_count=15,
        deadline=None,
        database=None,
        phases=[Phase.generate],  # a step takes seconds: what fails is not shrunk
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(seed(2)(Dealings), settings=drawn)
