"""The items from which burdened rates are built up, read from a file and kept nowhere."""

from dataclasses import dataclass
from pathlib import Path

from ledger.domain import parsing as p
from ledger.domain.burdened_rates import (
    KINDS,
    PERIODS,
    BuiltRate,
    Item,
    Kind,
    NoRate,
    Period,
    built_rate,
)
from ledger.domain.codes import word_of
from ledger.tables.small_tables import (
    FileColumn,
    FileRow,
    ReadTable,
    choice,
    not_below_zero,
    read_table,
)
from ledger.tables.whole_files import read_text

RATE_ITEMS = (
    FileColumn("trade", word_of, needed=True),
    FileColumn("grade", word_of),
    FileColumn("item", p.parse_name, needed=True),
    FileColumn("item_kind", choice(*KINDS)),
    FileColumn("quantity", not_below_zero(p.parse_quantity)),
    FileColumn("amount", not_below_zero(p.parse_sum)),
    FileColumn("less", not_below_zero(p.parse_sum)),
    FileColumn("percent", not_below_zero(p.parse_quantity)),
    FileColumn("of", p.parse_name),
    FileColumn("per", choice(*PERIODS)),
)
WHY = {
    "no_hours": "no hours are left to divide by; give a row of the kind hours",
    "of_unknown": 'of: there is no item of cost "{item}" for this trade and grade',
    "of_itself": '"{item}" is a percentage of itself',
}


@dataclass(frozen=True)
class RateOfTrade:
    """A rate with its build-up, of a trade and grade."""

    trade: str
    grade: str | None
    built: BuiltRate


def read_rates(path: Path, places: int) -> list[RateOfTrade]:
    """Return the rates that a file's items come to, money rounded to so many places a line.

    Raises: Faults for what does not fit.
    """
    table = read_table(read_text(path), RATE_ITEMS)
    groups: dict[tuple[str, str | None], list[FileRow]] = {}
    for line in table.lines:
        _check(table, line)
        groups.setdefault((line["trade"], line["grade"]), []).append(line)
    if not groups:
        table.fault(1, "no items to build a rate from")
    table.settle()
    rates = [
        RateOfTrade(trade, grade, built)
        for (trade, grade), lines in groups.items()
        if (built := _built(table, lines, places))
    ]
    table.settle()
    return rates


def _check(table: ReadTable, line: FileRow) -> None:
    if "item_kind" in line.unread:
        return
    kind, number = line["item_kind"] or "cost", line.number
    if kind == "hours" and line.is_blank("quantity"):
        table.fault(number, "give the hours as the quantity", "quantity")
    if kind == "leave" and line.is_blank("quantity"):
        table.fault(number, "give the hours of leave as the quantity", "quantity")
    if kind == "hours" and line["amount"] is not None:
        table.fault(number, "hours have no amount", "amount")
    if kind != "cost" and (line["of"] is not None or line["percent"] is not None):
        table.fault(number, "only an item of cost is a percentage", "percent")
    if kind == "cost" and line.is_blank("amount") and line.is_blank("of"):
        table.fault(number, "give an amount, or a percent and the items it is of", "amount")
    if line["of"] is not None and line["amount"] is not None:
        table.fault(number, "give either an amount or the items it is of", "of")
    if line["of"] is not None and line.is_blank("percent"):
        table.fault(number, "give the percent of the items named", "percent")
    if line["of"] is not None and line["per"] is not None:
        table.fault(number, "a percentage of items is per what they are", "per")


def _built(table: ReadTable, lines: list[FileRow], places: int) -> BuiltRate | None:
    names = [line["item"] for line in lines]
    for line in lines:
        if names.count(line["item"]) > 1:
            table.fault(line.number, f'item "{line["item"]}" appears twice', "item")
            return None
    own = [line for line in lines if line["of"] is None]
    bare = [line for line in own if line["per"] is None]
    if bare and len(bare) < len(own):
        why = "give per on each row of this trade and grade, or on none"
        table.fault(bare[0].number, why, "per")
        return None
    try:
        return built_rate([_item(line) for line in lines], places)
    except NoRate as error:
        table.fault(lines[0].number, WHY[error.kind].format(item=error.item))
        return None


def _item(line: FileRow) -> Item:
    of = tuple(part.strip() for part in (line["of"] or "").split("+") if part.strip())
    kind: Kind = line["item_kind"] or "cost"
    per: Period | None = line["per"]
    amounts = (line["quantity"], line["amount"], line["less"], line["percent"])
    return Item(line["item"], kind, *amounts, of, per)
