"""What rules that changed can move: the entries that they fit, before or now, and no others."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any

from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.places import texts_asked
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.patterns import stage_notes_matched

Rule = dict[str, Any]
# The tables of facts that decide where hours belong by way of rules alone.
OF_RULES = frozenset({"file", "rule", "withdrawal"})


def only_rules_changed(book: Book, batch: Batch) -> bool:
    """Return whether all that a batch adds is versions of rules, or their withdrawal."""
    added = {table for table, count in batch.counts.items() if count}
    if not added <= OF_RULES:
        return False
    if "withdrawal" not in added:
        return True
    withdrawn = book.rows("sheets/tables_withdrawn", batch=batch.sequence)
    return all(table == "rule" for (table,) in withdrawn)


def choose_entries_ruled(book: Book, batch: Batch) -> bool:
    """Choose the entries that rules changed by a batch fit; return whether there are any.

    All others stand where they belong since the batch before.
    """
    before, now = _rules(book.known_by(batch.sequence - 1)), _rules(book)
    changed = [rule for rule in sorted({*before, *now}) if before.get(rule) != now.get(rule)]
    versions = [row for rule in changed for row in (*before.get(rule, []), *now.get(rule, []))]
    return bool(changed) and choose_entries_fitting(book, versions, before=batch.sequence - 1) > 0


def choose_entries_fitting(
    book: Book,
    rules: Sequence[Rule],
    *,
    before: int | None = None,
    closed: bool = False,
    weeks: Sequence[date] | None = None,
) -> int:
    """Choose the entries that any version of some rules fits, and maybe more; return how many.

    `before` is a batch whose versions count too; `weeks` are the first days of those looked at.
    """
    by_text = [rule for rule in rules if not (rule["worker_id"] or rule["booking_code"])]
    stage_notes_matched(book, "sheets/notes_kept", texts_asked(by_text))
    return choose_entries(
        book,
        "sheets/entries_ruled",
        rules=sorted({rule["rule"] for rule in rules}),
        before=book.upto if before is None else before,
        closed=closed,
        weeks=None if weeks is None else list(weeks),
    )


def _rules(book: Book) -> dict[str, list[Rule]]:
    rules: dict[str, list[Rule]] = defaultdict(list)
    for row in book.current("rule"):
        rules[row["rule"]].append(row)
    return rules
