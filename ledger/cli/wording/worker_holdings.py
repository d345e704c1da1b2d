"""What is held of a worker, and what stays once they are forgotten, in words."""

from collections.abc import Iterator, Sequence

from ledger.commands.erasing import WorkerHeld
from ledger.domain.counting import counted
from ledger.sheets.worker_holdings import Holding

# How many ids of one kind are shown in a line and in a table.
SHOWN, IN_TABLE = 20, 3
HEAD = ("what", "count", "if_forgotten", "until", "named", "ids")
FATES = {
    "erased": "erased",
    "under_id": "stays under the id",
    "in_use": "in use, stays",
    "other_worker": "of another worker, stays",
    "sealed": "sealed, stays",
    "kept": "kept as asked",
    "retained": "kept until its date",
    "until_erased": "stays until erased",
    "part_of_name": "holds a part of the name; add --name",
}
STAYS = {
    "in_use": (
        "in use, still with the name: {ids}{named}; settle the line or load another in its place, "
        "then `fairhours erase text`"
    ),
    "other_worker": "another worker has the same name: {ids}",
    "sealed": "{what} has the name and is sealed, so it stays: {named} ({ids})",
    "kept": "kept as asked: {ids}{named}",
    "retained": "may show the name, kept until {until}: {named} ({ids})",
    "part_of_name": (
        "holds a part of the name; add --name with that part to erase it: {what}, {named} ({ids})"
    ),
    "until_erased": (
        "may show the name, look into it: {ids}{named}; `fairhours erase text` erases it"
    ),
}


def held_rows(held: WorkerHeld, format: str) -> list[list[object]]:
    """Return the rows of what is held: in words and with some ids, for machines with all."""
    return [_row(each, format) for each in held.holdings]


def _row(each: Holding, format: str) -> list[object]:
    is_table = format == "table"
    ids = _some(each.ids, IN_TABLE) if is_table else " ".join(each.ids)
    fate = FATES[each.fate] if is_table else each.fate
    return [each.what, len(each.ids), fate, each.until, each.named, ids]


def stays_lines(stays: Sequence[Holding]) -> Iterator[str]:
    """Yield what is said of each place where the name stands still, or may."""
    for each in stays:
        sentence = STAYS[each.fate]
        named = each.named if "({ids})" in sentence else f" ({each.named})" if each.named else ""
        yield sentence.format(
            what=each.what, ids=_some(each.ids, SHOWN), named=named, until=each.until
        )


def _some(ids: Sequence[str], most: int) -> str:
    more = f" and {counted(len(ids) - most, 'more', 'more')}" if len(ids) > most else ""
    return ", ".join(ids[:most]) + more
