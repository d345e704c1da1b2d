"""Closed figures and late adjustments add up to the figures now, whatever is in the book."""

import itertools
import random
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.performance.periods import Figures, Period, periods
from ledger.performance.report import UNIT
from ledger.store.book import open_book
from tests.conftest import Yard
from tests.performance._random_books import DAYS, JOB, RandomBook, Row

NAMES = ("bac", "pv", "ev", "ac")


class ClosingBook(RandomBook):
    """A random book whose sheets, measurements and reversals come in parts, with closings between.

    Every part holds days of closed periods too.
    """

    def __init__(self, yard: Yard, dice: random.Random) -> None:
        super().__init__(yard, dice)
        self.kept: dict[tuple[date, str], dict[str, Fraction]] = {}

    def load(self, what: str, rows: Sequence[Row]) -> None:
        if what != "sheets":
            super().load(what, rows)
            return
        rows = self.dice.sample(rows, len(rows))
        third = len(rows) // 3
        ends = sorted(self.dice.sample(DAYS[9:35], 2))
        for number, part in enumerate((rows[:third], rows[third : 2 * third], rows[2 * third :])):
            super().load("sheets", part)
            self.alter(number)
            if number < 2:
                self.close(ends[number])

    def alter(self, number: int) -> None:
        """Reverse an entry, measure and price an earlier day, and send a code elsewhere."""
        entries = self.yard.json("entries")
        standing = [row["entry"] for row in entries if row["state"] == "stands"]
        self.yard.run("reverse", "entry", self.dice.choice(standing), "--reason", "not worked")
        quantity = {"work_package": "DECK", "date": self.day(), "quantity_done": 10 + 9 * number}
        super().load("progress", [quantity])
        rate = {"trade": "carpenter", "effective_from": self.day(), "cost_per_hour": self.rate()}
        super().load("rates", [rate])
        place = self.dice.choice(["HULL", "V1"])
        rule = f"rule,priority,booked_to,booking_code\nR,1,{place},UNKNOWN\n"
        self.yard.run("load", "rules", self.yard.write("rules.csv", rule))

    def close(self, day: date) -> None:
        for unit in ("hours", "cost"):
            self.kept[day, unit] = figures(self.yard, day, unit)
        self.yard.run("close", "period", "--to", day)


def figures(yard: Yard, day: date, unit: str, *before: str) -> dict[str, Fraction]:
    """Return the exact figures of the job's row by a day, in hours or money."""
    asked = ("performance", "--job", JOB, "--status-date", day, "--in", unit, "--exact")
    [row] = yard.json(*before, *asked)["rows"]
    return {name: exactly(row["exact"][name]) for name in NAMES}


def exactly(stated: dict[str, Decimal]) -> Fraction:
    if "ms" in stated:
        return Fraction(stated["ms"]) / UNIT["hours"]
    return Fraction(int(stated["num"]), int(stated["den"]))


def told(yard: Yard, unit: str) -> list[Period]:
    with open_book(yard.book) as book:
        return periods(book, JOB, unit)


def in_unit(amounts: Figures, unit: str) -> dict[str, Fraction]:
    return {name: Fraction(amounts[name] or 0, UNIT[unit]) for name in NAMES}


def plus(left: Figures, right: Figures, unit: str) -> dict[str, Fraction]:
    first, second = in_unit(left, unit), in_unit(right, unit)
    return {name: first[name] + second[name] for name in NAMES}


@pytest.mark.slow
@pytest.mark.parametrize("throw", [1, 2])
def test_closed_figure_and_late_adjustments_are_the_figure_now(yard: Yard, throw: int) -> None:
    """Closed figures stay; with what came late they are the figures now; own figures add up."""
    book = ClosingBook(yard, random.Random(throw))
    book.build()
    now = len(yard.rows(yard.run("history", "--format", "csv").stdout))
    for unit in UNIT:
        found = told(yard, unit)

        assert [each.last_day for each in found[:-1]] == sorted({day for day, _ in book.kept})
        for before, each in itertools.pairwise(found):
            day, known = before.last_day, each.closing.sequence if each.closing else now
            then = figures(yard, day, unit, "--known-at", str(known))
            late = [fact["ms"] for fact in each.late_facts if fact["kind"] == "booked"]

            assert in_unit(before.cumulative, unit) == book.kept[day, unit]
            assert figures(yard, day, unit) == book.kept[day, unit]
            assert plus(before.cumulative, each.late, unit) == then
            assert plus(before.cumulative, each.own, unit) == in_unit(each.cumulative, unit)
            assert late
            assert unit == "cost" or sum(late) == each.late["booked"]
    yard.run("check")
