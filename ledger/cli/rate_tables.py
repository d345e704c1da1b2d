"""Burdened rates as tables: each with its lines, sum, hours and rate."""

from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.cli.output import give
from ledger.cli.tables import as_table
from ledger.domain.counting import grouped

if TYPE_CHECKING:
    from ledger.commands.rates import RatesBuilt
    from ledger.domain.burdened_rates import BuiltItem, BuiltRate

HEAD = ("item", "quantity", "amount", "less", "percent", "of", "comes to", "hours")
CSV = ("trade", "grade", "item", "amount", "hours")
LEAVE = {
    "in_cost": "leave is in the cost; book no absence at this rate",
    "out_of_hours": "leave is out of the hours; book no absence at this rate",
    "both": "leave is in the cost and out of the hours: look whether it counts twice",
    "none": "no leave is in this rate: it is a cost beside it",
}


def rate_table(built: "RatesBuilt") -> None:
    """Give each rate with its lines."""
    for each in built.rates:
        give(f"{each.trade}{f', {each.grade}' if each.grade else ''}")
        give(as_table(HEAD, [*map(_row, each.built.items), _total(each.built)]))
        cost, hours, rate = map(grouped, (each.built.cost, each.built.hours, each.built.rate))
        give(f"{cost} / {hours} h = {rate} an hour")
        for period, spent in each.built.periods.items():
            cost, hours = map(grouped, spent)
            give(f"a {period}: {cost} for {hours} h")
        give(f"{LEAVE[each.built.leave]}\n")


def _row(line: "BuiltItem") -> list[object]:
    item = line.item
    of = " + ".join(item.of) or None
    return [item.item, item.quantity, item.amount, item.less, item.percent, of, *_sums(line)]


def _sums(line: "BuiltItem") -> list[Decimal | None]:
    return [line.money, line.hours]


def _total(built: "BuiltRate") -> list[object]:
    return ["total", None, None, None, None, None, built.cost, built.hours]


def rate_rows(built: "RatesBuilt") -> tuple[tuple[str, ...], list[list[object]]]:
    """Return head and rows of each line, and the rate in a row of its own, named `rate`."""
    rows: list[list[object]] = []
    for each in built.rates:
        of = [each.trade, each.grade]
        rows += [[*of, line.item.item, *_sums(line)] for line in each.built.items]
        rows.append([*of, "rate", each.built.rate, None])
    return CSV, rows
