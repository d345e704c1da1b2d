"""Whatever is booked, moved, approved, claimed, certified, invoiced and paid, all together."""

import random
from collections import Counter, defaultdict
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from ledger.billing.account import Account, account
from ledger.billing.claimable import Claimable
from ledger.store.book import open_book
from ledger.store.rerun import standing
from tests.billing._invoices import HEAD
from tests.billing._job import CHARGE_RATES, DAYWORK, JOB, ClaimedJob, claimed
from tests.conftest import Yard

TERMS = 'certificate = "{0}"\n[retention]\npercent = 10\n'
DAYS = ("2026-02-02", "2026-02-03", "2026-02-04")
LAST, CERTIFIED_ON = "2026-03-27", "2026-03-28"
BOOKED = "sheet,worker_id,date,hours,booking_code,note\n"
RULES = "rule,priority,booked_to,note_contains,reason\n"
CERTIFICATE = "claim,date,item,amount,reason\n"
RATES = "trade,effective_from,cost_per_hour\n"
PROGRESS = "work_package,date,percent\n"
STEPS = (
    *("work", "reverse", "correct", "tag", "write_rule", "sign", "sign_for_record", "percent"),
    *("move_rate", "approve", "claim", "certify", "bill", "credit", "pay"),
)
WITHDRAWN = (
    *("claim_percent", "certified", "daywork_sheet", "payment", "charge_rate", "rate"),
    "progress",
)
NOTHING = Decimal(0)


def daywork_job(yard: Yard, certificate: str) -> None:
    """Make a job with daywork of 20 h approved; cost and progress, on which no claim rests."""
    job = claimed(yard, "10000.00", TERMS.format(certificate))
    job.change("D1", "labour,craft,20", basis="daywork")
    job.work("2026-02-02,6,D1,", "2026-02-03,5.5,D1,")
    job.sign("W0", "D1", DAYS[0], DAYS[1])
    job.percents(f"base,{LAST},20,,")
    rates = "".join(f"craft,{day},30\n" for day in ("2026-01-01", *DAYS))
    yard.run("load", "rates", yard.write("rates.csv", RATES + rates))
    job.load("progress", PROGRESS + "".join(f"P1,{day},10\n" for day in DAYS))


def certified_job(yard: Yard) -> None:
    daywork_job(yard, "required")


def uncertified_job(yard: Yard) -> None:
    daywork_job(yard, "none")


class Dealings:
    """A job that is dealt with at random, and what it owes by a reckoning of its own.

    What a rule of the program does not allow is refused, and is not counted as done.
    """

    def __init__(self, yard: Yard, making: Callable[[Yard], object], chance: random.Random) -> None:
        self.yard, self.job = yard.copy_made_by(making), ClaimedJob(yard)
        self.chance = chance
        self.counts: dict[str, int] = defaultdict(int)
        self.accepted_steps: Counter[str] = Counter()
        self.bytes: dict[str, bytes] = {}
        self.owed: dict[str, Decimal] = {}
        self.payments: dict[str, tuple[Decimal, Decimal]] = {}
        self.credited = NOTHING
        self.to_certify: list[int] = []
        self.billed: set[int | None] = {0}

    def steps(self) -> dict[str, Callable[[], bool]]:
        """Return every kind of step by name; each says whether it was accepted."""
        steps: dict[str, Callable[[], bool]] = {step: getattr(self, step) for step in STEPS}
        withdrawals = {f"withdraw {each}": partial(self.withdraw, each) for each in WITHDRAWN}
        return steps | withdrawals

    def is_ready(self, step: str) -> bool:
        """Whether there is anything to deal with, as a claim before it is certified."""
        needs: dict[str, Any] = {
            "certify": self.to_certify,
            "withdraw certified": self.accepted_steps["certify"],
            "bill": self.counts["claim"] not in self.billed,
            "credit": self.owed,
            "pay": self.owed,
            "withdraw payment": self.payments,
            "withdraw charge_rate": self.accepted_steps["move_rate"],
        }
        return bool(needs.get(step, True))

    def deal(self) -> None:
        """Take each kind of step once, in an order by chance among what there is to deal with."""
        self.claim_all()
        steps = self.steps()
        left = list(steps)
        while ready := [name for name in left if self.is_ready(name)]:
            name = self.chance.choice(ready)
            left.remove(name)
            if steps[name]():  # else the book is as it was, byte by byte
                self.accepted_steps[name] += 1
                self.holds()

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

    def entry(self) -> str:
        return str(self.chance.choice(self.yard.json("entries"))["entry"])

    # what moves hours

    def work(self) -> bool:
        number, hours = self.number("sheet"), self.chance.choice(("1.25", "4.5"))
        day = self.chance.choice(DAYS)
        return self.load("sheets", f"{BOOKED}S{number},A1,{day},{hours},D1,note {number}\n")

    def reverse(self) -> bool:
        return self.tried("reverse", "entry", self.entry(), "--reason", "wrong")

    def correct(self) -> bool:
        hours = self.chance.choice(("0.5", "2", "9"))
        return self.tried("correct", "entry", self.entry(), f"hours={hours}", "--reason", "misread")

    def tag(self) -> bool:
        place = self.chance.choice(("CLAIM P1", "CLAIM D1"))
        return self.tried("tag", "entries", self.entry(), "--to", place, "--reason", "asked")

    def write_rule(self) -> bool:
        place, digit = self.chance.choice(("P1", "D1")), self.chance.randint(1, 4)
        return self.load("rules", f"{RULES}R{self.number('rule')},5,{place},note {digit},asked\n")

    # what moves the value

    def sign(self, mark: str = "agreed") -> bool:
        first, last = sorted(self.chance.choices(DAYS, k=2))
        row = f"W{self.number('signed')},D1,{first},{last},{last},{mark},Owner\n"
        return self.load("daywork-sheets", DAYWORK + row)

    def sign_for_record(self) -> bool:
        return self.sign("for_record_only")

    def percent(self) -> bool:
        row = f"base,{LAST},{self.chance.randint(0, 100)}\n"
        return self.load("claim-percents", f"item,date,percent\n{row}")

    def move_rate(self) -> bool:
        """Charge another rate for hours of the daywork from one of its days on."""
        row = f"craft,{self.chance.choice(DAYS)},{self.chance.randint(40, 60)}\n"
        return self.load("charge-rates", CHARGE_RATES.splitlines(keepends=True)[0] + row)

    def approve(self) -> bool:
        price, code = self.chance.randint(1, 90), f"V{self.number('change')}"
        self.job.change(code, f"1,lot,{price * 10}", f"-1,lot,{price}")
        self.job.percents(f"{code},{LAST},{self.chance.randint(0, 100)},,")
        return True

    def withdraw(self, table: str) -> bool:
        with open_book(self.yard.book) as book:
            fact = self.chance.choice(standing(book, table))
        done = self.tried("withdraw", "fact", fact.named, "--reason", "misread")
        if done and table == "payment":
            del self.payments[fact.values["reference"]]
        return done

    # what is claimed, certified, invoiced and paid

    def claim(self) -> bool:
        """Claim what is due and leave it to be certified, or billed, later."""
        found = self.job.claimable(LAST)
        out = self.yard.folder / f"claim-{self.number('page')}.html"
        if not self.tried("issue", "claim", "--job", JOB, "--to", LAST, "--out", out):
            return False
        self.to_certify.append(self.number("claim"))
        self.bytes[f"CLAIM-C-{self.counts['claim']:03}"] = out.read_bytes()
        value = sum(line["to_date"] for line in found["lines"])

        assert value == found["value_to_date"] == found["total"] + self.certified(found)
        return True

    def claim_all(self) -> None:
        """Claim what is due, certify it in full and bill it."""
        if self.claim():
            self.certify(cut=0)
            self.bill()

    def certify(self, cut: int | None = None) -> bool:
        """Certify the last claim in full, short by something, or with an item disallowed."""
        number = self.to_certify[-1]
        cut = self.chance.choice((0, 7, 150)) if cut is None else cut
        sums: dict[str, Decimal] = defaultdict(lambda: NOTHING)
        for row in self.job.shown("document_line"):
            if row["document"] == f"CLAIM-C-{number:03}":
                sums[row["item"]] += Decimal(row["to_date"])
        if sums:
            item = self.chance.choice(list(sums))
            sums[item] = NOTHING if cut == 150 else sums[item] - cut
        rows = "".join(f"{number},{CERTIFIED_ON},{i},{v:.2f},why\n" for i, v in sums.items())
        return self.load("certified", CERTIFICATE + rows)

    def bill(self) -> bool:
        out = self.yard.folder / f"invoice-{self.number('page')}.html"
        named = ("--job", JOB, "--claim", self.counts["claim"], "--on", CERTIFIED_ON)
        if not self.tried("issue", "invoice", *named, "--out", out):
            return False
        made = self.job.invoices()[-1]
        self.bytes[made.document], self.owed[made.document] = out.read_bytes(), made.gross
        self.billed.add(self.counts["claim"])
        net = sum(each.net for each in self.job.invoices() if each.stands)

        assert net == self.found().claimable.certified.net
        return True

    def credit(self) -> bool:
        """Credit the last invoice that stands."""
        owed = [each for each in self.job.invoices() if each.stands]
        out = self.yard.folder / f"credit-{self.number('page')}.html"
        words = ("--reason", "Wrong address", "--on", CERTIFIED_ON, "--out", out)
        if not owed or not self.tried("credit", "invoice", owed[-1].document, *words):
            return False
        made = next(each for each in reversed(self.job.invoices()) if each.credits)
        self.bytes[made.document] = out.read_bytes()
        self.credited += owed[-1].gross
        self.billed.discard(owed[-1].claim)
        return True

    def pay(self) -> bool:
        """Pay something on an invoice, with 25 set off, accepted or not, or nothing."""
        number, amount = self.chance.choice(list(self.owed)), self.chance.randint(1, 90_000)
        reference, off = f"P{self.number('payment')}", self.chance.choice((0, 25))
        yes = self.chance.choice(("yes", "no"))
        row = f"{number},{CERTIFIED_ON},{Decimal(amount).scaleb(-2)},{reference}"
        row += f",{off},set_off,{yes},why" if off else ",,,,"
        if not self.load("payments", f"{HEAD}{row}\n"):
            return False
        accepted = Decimal(off if yes == "yes" else 0)
        self.payments[reference] = Decimal(amount).scaleb(-2), accepted
        return True

    # what holds

    def found(self) -> Account:
        with open_book(self.yard.book) as book:
            return account(book, JOB, date.fromisoformat(CERTIFIED_ON))

    @staticmethod
    def certified(found: Any) -> Decimal:
        return sum((line["certified"] for line in found["lines"]), NOTHING)

    def holds(self) -> None:
        """What is in the book is right after each step."""
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
        paid = sum((amount for amount, _ in self.payments.values()), NOTHING)
        accepted = sum((off for _, off in self.payments.values()), NOTHING)
        assert (found.paid, found.deducted) == (paid, accepted)
        assert found.outstanding == found.invoiced - self.credited - paid - accepted
        for kind in ("invoice", "credit_note"):
            numbers = [int(e.document[-4:]) for e in found.issued if e.kind == kind]
            assert sorted(numbers) == list(range(1, len(numbers) + 1))

    def end(self) -> None:
        """Whatever was dealt, hours taken out last are to be credited, until a claim does it."""
        self.reverse()
        self.holds()
        self.claim_all()
        self.holds()
        self.bytes_stay()
        self.yard.run("check")

    def bytes_stay(self) -> None:
        """What was issued is in the book as it was written."""
        out = self.yard.folder / "again.html"
        for number, issued in self.bytes.items():
            self.yard.run("show", "document", number, "--out", out)

            assert (number, out.read_bytes()) == (number, issued)
            out.unlink()


@pytest.mark.slow
def test_no_dealings_bill_twice_or_lose_anything(tmp_path: Path) -> None:
    """All that moves hours, value and money is dealt together; each step leaves the sums right.

    Of three histories one needs no certificate; over all each kind of step is accepted.
    """
    accepted: Counter[str] = Counter()
    for seed, making in ((1, certified_job), (2, uncertified_job), (3, certified_job)):
        folder = tmp_path / str(seed)
        folder.mkdir()
        dealings = Dealings(Yard(folder), making, random.Random(seed))
        dealings.deal()
        dealings.end()
        accepted += dealings.accepted_steps

    assert set(dealings.steps()) - set(accepted) == set()
