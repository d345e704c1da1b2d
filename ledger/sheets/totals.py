"""The row of totals of a sheet, checked against its lines."""

import json

from ledger.errors import Refused
from ledger.sheets.file_outcomes import TotalNotChecked
from ledger.sheets.staging import Total, take_totals
from ledger.store.book import Book


def check_totals(book: Book, name: str) -> list[TotalNotChecked]:
    """Take the totals out of the parsed lines; return those that were not checked.

    A total is of all lines above it, or of those since the total before it.

    Raises: Refused, naming each place, when the lines do not come to a total.
    """
    wrong, unchecked = [], []
    for total in take_totals(book):
        where = _place(name, total)
        if total.ms is None or total.lines_unread:
            unchecked.append(TotalNotChecked(where, total.text, total.ms is not None))
        elif total.ms not in (total.lines_ms, total.part_ms):
            wrong.append(
                Refused("total_differs", where=where, total_ms=total.ms, lines_ms=total.lines_ms)
            )
    if wrong:
        raise Refused("totals_differ", totals=tuple(wrong))
    return unchecked


def _place(name: str, total: Total) -> str:
    raw = json.loads(total.raw)
    tab, cell = raw.get("tab"), raw.get("cell")
    if tab is None:
        return f"{name}:{total.line}"
    return f"{name}, {tab}!{cell}" if cell else f"{name}, {tab} row {total.line}"
