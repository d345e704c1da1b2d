"""Whatever is booked, signed, reversed, tagged, approved, claimed and certified, in any order."""

import random
from dataclasses import dataclass, field
from decimal import Decimal

import pytest

from ledger.store.book import open_book
from tests.billing._job import DAYWORK, ClaimedJob, claimed
from tests.conftest import Yard

RETAINED = "[retention]\npercent = 10\n"
DAYS = ("2026-02-02", "2026-02-03", "2026-02-04")
LAST, CERTIFIED_ON = "2026-03-27", "2026-03-28"
STEPS = 12
SIGNED = "W{0},D1,{1},{2},{2},agreed,Owner\n"


@dataclass
class History:
    """A job to which random things are done; what a step cannot do is refused and changes nothing.

    `due` is what each claim asked for.
    """

    job: ClaimedJob
    chance: random.Random
    required: bool
    counts: dict[str, int] = field(default_factory=dict)
    due: list[Decimal] = field(default_factory=list)

    def number(self, what: str) -> int:
        self.counts[what] = self.counts.get(what, 0) + 1
        return self.counts[what]

    def tried(self, *words: object) -> None:
        """Run a command that may be refused."""
        try:
            self.job.yard.run(*words)
        except AssertionError:
            self.number("refused")

    def entry(self) -> str:
        return str(self.chance.choice(self.job.yard.json("entries"))["entry"])

    def work(self) -> None:
        number = self.number("sheet")
        day, hours = self.chance.choice(DAYS), self.chance.choice(("1.25", "3", "4.5"))
        row = f"S{number},A1,{day},{hours},D1,note {number}\n"
        text = f"sheet,worker_id,date,hours,booking_code,note\n{row}"
        path = self.job.yard.write(f"s{number}.csv", text)
        self.job.yard.run("load", "sheets", "--job", self.job.job, path)

    def sign(self) -> None:
        """Sign a sheet; where nothing is booked in its days it is refused."""
        first, last = sorted(self.chance.choices(DAYS, k=2))
        path = self.job.yard.write(
            "signed.csv", DAYWORK + SIGNED.format(self.number("signed"), first, last)
        )
        self.tried("load", "daywork-sheets", "--job", self.job.job, path)

    def reverse(self) -> None:
        self.tried("reverse", "entry", self.entry(), "--reason", "wrong")

    def tag(self) -> None:
        self.tried("tag", "entries", self.entry(), "--to", "CLAIM P1", "--reason", "asked")

    def percent(self) -> None:
        self.job.percents(f"base,{LAST},{self.chance.randint(0, 100)},,")

    def approve(self) -> None:
        code, price = f"V{self.number('change')}", self.chance.randint(1, 90)
        self.job.change(code, f"1,lot,{price * 10}", f"-1,lot,{price}")
        self.job.percents(f"{code},{LAST},{self.chance.randint(0, 100)},,")

    def claim(self) -> None:
        found = self.job.claimable(LAST)
        if not any(line["amount"] for line in found["lines"]) and not found["due"]:
            return
        if not self.required and found["due"] <= 0:
            return  # Its invoice would be refused: it is carried forward.
        self.job.issue(LAST)
        self.due.append(found["due"])
        if self.required:
            self.certify(len(self.due))
        self.invoice()
        after = self.job.claimable(LAST)
        if not any(each["reason"] == "disallowed" for each in after["left_out"]):
            assert (after["total"], after["due"], after["to_be_credited"]) == (0, 0, 0)
            assert after["certified_before"] == after["net_to_date"]
        if not self.required:
            assert sum(self.due) == after["net_to_date"]

    def invoice(self) -> None:
        """Invoice the last claim, which bears what is certified of it and not invoiced."""
        self.tried(*self.bill_words(len(self.due)))
        found = self.job.invoices()
        if self.chance.random() < 0.3 and any(each.stands for each in found):
            last = [each for each in found if each.stands][-1]
            self.job.credit(last.document, CERTIFIED_ON)
            self.tried(*self.bill_words(len(self.due)))
        invoiced = sum(each.net for each in self.job.invoices() if each.stands)
        assert invoiced == self.job.claimable(LAST)["certified_before"] or self.counts["refused"]

    def bill_words(self, claim: int) -> tuple[object, ...]:
        out = self.job.yard.folder / "invoice.html"
        named = ("--job", self.job.job, "--claim", claim, "--on", CERTIFIED_ON)
        return ("issue", "invoice", *named, "--out", out)

    def certify(self, number: int) -> None:
        """Certify a claim in full, or the base or a change short."""
        sums: dict[str, Decimal] = {}
        for row in self.job.shown("document_line"):
            if row["document"] == f"CLAIM-C-{number:03}":
                sums[row["item"]] = sums.get(row["item"], Decimal(0)) + Decimal(row["to_date"])
        cut = Decimal(self.chance.choice((0, 0, 7)))
        rows = [f"{number},{CERTIFIED_ON},{i},{v - cut:.2f},why" for i, v in sums.items()]
        self.job.certify(*rows)

    def holds(self) -> None:
        """Nothing is claimed beyond what was booked, and value less certified is what is asked."""
        with open_book(self.job.yard.book) as book:
            astray = book.rows("store/claims_beyond_booked")
        found = self.job.claimable(LAST)
        certified = sum(line["certified"] for line in found["lines"])

        assert astray == []
        assert found["total"] == found["value_to_date"] - certified
        assert found["to_be_credited"] >= 0


@pytest.mark.slow
@pytest.mark.parametrize("required", [False, True])
@pytest.mark.parametrize("seed", range(3))
def test_no_history_of_claims_bills_twice_or_beyond_what_was_booked(
    yard: Yard, seed: int, required: bool
) -> None:
    """Claimed never exceeds what was booked when claimed, and value claimed is value due.

    What is taken out of the book afterwards is to be credited until the next claim credits it.
    """
    terms = ('certificate = "required"\n' if required else "") + RETAINED
    history = History(claimed(yard, "10000.00", terms), random.Random(seed), required)
    history.job.change("D1", "labour,craft,20", basis="daywork")
    for step in (history.work, history.work, history.sign, history.claim, history.reverse):
        step()
    steps = (history.work, history.sign, history.reverse, history.tag, history.percent)
    for _ in range(STEPS):
        history.chance.choice((*steps, history.approve, history.claim))()
        history.holds()
    history.work()
    history.claim()

    assert history.due
    yard.run("check")
