"""The account of a job read a second time: what its changes, claims and payments come to.

Of a job at a fixed price without advance, stage payments or percentages on daywork. Amounts are
whole cents, from the input files alone; nothing of the program is used.
"""

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from typing import Any

from tests.demo._reckon_changes import Changes
from tests.demo._reckon_files import (
    MS_AN_HOUR,
    Files,
    Load,
    Row,
    a_day,
    normal,
    read_rows,
    round_half_away,
)
from tests.demo._reckon_sheets import Sheets

BANDS = (("not_due", 0), ("1_30", 30), ("31_60", 60), ("61_90", 90))
Groups = dict[tuple[str, str], Fraction]


def cents(amount: Fraction) -> int:
    return round_half_away(amount * 100)


@cache
def sheets_of(loads: tuple[Load, ...]) -> Sheets:
    return Sheets(Files(list(loads)))


class Account:
    """The account of a job on a day, of the loads that were in by then."""

    def __init__(self, loads: list[Load], job: str, day: date) -> None:
        self.loads, self.job, self.day = loads, job, day
        self.files = Files(loads)
        self.changes = Changes(self.files, job)
        own = self.files.job_files[job]
        self.original = cents(Fraction(own["job"]["contract_sum"]))
        self.retention, self.days_to_pay = own["retention"], own["invoice"]["payment_days"]
        [self.tax] = self.files.settings["tax_categories"]["S"].values()

    def rows(self, kind: str) -> Iterator[Row]:
        """Yield the rows of all files of a kind that were loaded for the job."""
        for load in self.loads:
            if load.kind == kind and load.job == self.job:
                for path in load.files:
                    yield from map(normal, read_rows(path))

    # what changes come to

    def rate(self, trade: str, grade: str, day: date) -> Fraction:
        """Return the charge of an hour on a day: of the grade, else of the trade."""
        begun = [row for row in self.rows("charge-rates") if a_day(row["effective_from"]) <= day]
        of_trade = [row for row in begun if row["trade"] == trade]
        own = [row for row in of_trade if row["grade"] == grade] or [
            row for row in of_trade if not row["grade"]
        ]
        return Fraction(max(own, key=lambda row: row["effective_from"])["charge_per_hour"])

    def lines(self, change: str, day: date) -> Iterator[tuple[Row, int]]:
        """Yield the lines of the revision approved by a day, each with its amount."""
        approval = self.changes.approval(change, day)
        assert approval
        told = self.changes.events[change]
        words = ("priced", "submitted", "approved")
        of_revision = [e for e in told if e.revision == approval.revision and e.word in words]
        priced = min(of_revision, key=lambda event: words.index(event.word)).day
        for row in self.changes.lines.get((change, approval.revision), ()):
            if row["price_kind"] == "labour":
                each = Fraction(row["hours"]) * self.rate(row["trade"], "", priced)
            else:
                each = Fraction(row["quantity"]) * Fraction(row["unit_price"])
            yield row, cents(each)

    def approved(self, day: date) -> list[str]:
        """Return the changes that are approved by a day and have a price."""
        names = (name for name in self.changes.rows if self.changes.approval(name, day))
        return [name for name in names if self.changes.basis(name) != "no_charge"]

    def added(self, change: str, day: date) -> int:
        return sum(amount for _, amount in self.lines(change, day) if amount > 0)

    def omitted(self, change: str, day: date) -> int:
        return sum(amount for _, amount in self.lines(change, day) if amount < 0)

    def agreed_hours(self, change: str, day: date) -> Groups:
        """Return the hours on sheets agreed by a day, by trade and grade, as known when marked."""
        found: Groups = defaultdict(Fraction)
        for load in self.loads:
            if load.kind != "daywork-sheets" or load.job != self.job:
                continue
            for row in read_rows(load.files[0]):
                if row["change"] == change and self.counts(row, day):
                    for group, worked_on, ms in self.worked(change, load.number):
                        if row["from"] <= str(worked_on) <= row["to"]:
                            found[group] += Fraction(ms, MS_AN_HOUR)
        return found

    def worked(self, change: str, before: int) -> list[tuple[tuple[str, str], date, int]]:
        """Return what was booked to a change before a load: trade and grade, day and ms."""
        sheets = sheets_of(tuple(each for each in self.loads if each.number < before))
        return [
            ((entry.trade, worker["grade"]), entry.day, entry.ms)
            for line in sheets.lines
            if not line.held
            for entry in sheets.entries_of(line)
            for worker in [sheets.worker_on(line.row["worker_id"].strip(), entry.day)]
            if entry.place == change
        ]

    @staticmethod
    def counts(sheet: Row, day: date) -> bool:
        return sheet["mark"] == "agreed" and a_day(sheet["agreed_on"]) <= day

    def agreed_items(self, change: str, day: date) -> dict[tuple[str, Fraction], Fraction]:
        """Return the items on sheets agreed by a day: their quantity by description and price."""
        found: dict[tuple[str, Fraction], Fraction] = defaultdict(Fraction)
        for sheet in self.rows("daywork-sheets"):
            if sheet["change"] != change or not self.counts(sheet, day):
                continue
            for item in self.rows("daywork-items"):
                if item["change"] == change and sheet["from"] <= item["date"] <= sheet["to"]:
                    in_part = sheet.get("item") == item["reference"]
                    quantity = sheet["agreed_quantity"] if in_part else item["quantity"]
                    unit_cost = Fraction(item["unit_cost"])
                    found[item["description"], unit_cost] += Fraction(quantity)
        return found

    def daywork(self, change: str, day: date) -> int:
        """Return the value of daywork that is agreed by a day."""
        value = self.changes.first(change, "value_agreed", day)
        if value:
            return cents(Fraction(value.row["agreed_value"]))
        labour = (
            cents(hours * self.rate(*group, day))
            for group, hours in self.agreed_hours(change, day).items()
        )
        items = (cents(n * price) for (_, price), n in self.agreed_items(change, day).items())
        return sum(labour) + sum(items)

    def movement(self, change: str, day: date) -> int:
        """Return what daywork moves against its estimate; what is not agreed stays estimated."""
        agreed = self.daywork(change, day)
        if self.changes.complete(change, day) or self.changes.first(change, "value_agreed", day):
            return agreed - self.added(change, day)
        assert not agreed, f"{change} is agreed in part and goes on: reckon what is left of it"
        return 0

    # what is claimed

    def percent(self, item: str, day: date) -> Fraction:
        """Return the percentage of an item that was typed last for a day or before."""
        rows = [row for row in self.rows("claim-percents") if row["item"] == item]
        by_day = [row for row in rows if a_day(row["date"]) <= day]
        return (
            Fraction(max(by_day, key=lambda row: row["date"])["percent"]) if by_day else Fraction()
        )

    def value(self, day: date) -> int:
        """Return the value to a day: base, changes at their percentage, omissions as the base."""
        base = cents(Fraction(self.original, 100) * self.percent("base", day) / 100)
        whole = base
        for change in self.approved(day):
            if self.changes.basis(change) == "daywork":
                whole += self.daywork(change, day)
                continue
            share = self.percent(change, day) / 100
            whole += cents(Fraction(self.added(change, day), 100) * share)
            whole += cents(Fraction(self.omitted(change, day) * base, self.original * 100))
        return whole

    def held(self, value: int) -> int:
        """Return what is retained of a value; nothing is released before delivery."""
        kept = cents(Fraction(value, 100) * self.retention["percent"] / 100)
        limit = cents(Fraction(self.original, 100) * self.retention["limit_percent"] / 100)
        return min(kept, limit)

    def net(self, day: date) -> int:
        value = self.value(day)
        return value - self.held(value)

    # what is billed and paid

    def figures(self) -> dict[str, Any]:
        """Return the account on its day, by the names that the program has for its amounts."""
        approved = self.approved(self.day)
        daywork = [each for each in approved if self.changes.basis(each) == "daywork"]
        added = sum(self.added(each, self.day) for each in approved)
        omitted = sum(self.omitted(each, self.day) for each in approved)
        moved = sum(self.movement(each, self.day) for each in daywork)
        value = self.value(self.day)
        return {
            "original_sum": self.original,
            "approved": added,
            "omitted": -omitted,
            "daywork_movement": moved,
            "adjusted_sum": self.original + added + omitted + moved,
            "value_to_date": value,
            "retention_held": self.held(value),
            "net_to_date": value - self.held(value),
            **self.receivables(),
        }

    def receivables(self) -> dict[str, Any]:
        """Return what is certified, and with tax what is invoiced, paid, outstanding and aged."""
        certified, invoices = 0, {}
        for number, (net, on) in enumerate(self.billed(), start=1):
            increment = net - certified
            certified += increment
            gross = increment + cents(Fraction(increment, 100) * self.tax / 100)
            invoices[f"INV-{number:04}"] = gross, on + timedelta(days=self.days_to_pay)
        paid: dict[str, int] = defaultdict(int)
        taken: dict[str, int] = defaultdict(int)
        for row in self.rows("payments"):
            if a_day(row["date"]) <= self.day:
                paid[row["invoice"]] += cents(Fraction(row["amount"]))
                taken[row["invoice"]] += cents(Fraction(row.get("deducted") or 0))
        left = {name: gross - paid[name] for name, (gross, _) in invoices.items()}
        aged = dict.fromkeys([*(name for name, _ in BANDS), "over_90"], 0)
        for name, (_, due) in invoices.items():
            aged[self.band(due)] += left[name]
        return {
            "certified_to_date": certified,
            "invoiced_to_date": sum(gross for gross, _ in invoices.values()),
            "paid_to_date": sum(paid.values()),
            "outstanding": sum(left.values()),
            "disputed": sum(min(taken[name], max(0, each)) for name, each in left.items()),
            "aged": aged,
        }

    def billed(self) -> Iterator[tuple[int, date]]:
        """Yield what each claim came to when it was made, net, and when it was billed."""
        claims = [load for load in self.loads if load.kind == "claim" and load.job == self.job]
        for load in self.loads:
            if load.kind == "invoice" and load.job == self.job and load.on and load.on <= self.day:
                claim = claims[load.claim - 1]
                assert claim.to
                before = [each for each in self.loads if each.number < claim.number]
                yield Account(before, self.job, claim.to).net(claim.to), load.on

    def band(self, due: date) -> str:
        overdue = (self.day - due).days
        return next((name for name, last in BANDS if overdue <= last), "over_90")
