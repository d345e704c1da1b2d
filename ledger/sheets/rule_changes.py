"""What rules that changed can move: the entries that they fit, before or now, and no others."""

from collections import defaultdict
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
    withdrawn = book.rows("sheets/tables_withdrawn", batch=batch.sequence)
    return all(table == "rule" for (table,) in withdrawn)


def choose_entries_ruled(book: Book, batch: Batch) -> bool:
    """Choose the entries that rules changed by a batch fit; return whether there are any.

    All others stand where they belong since the batch before.
    """
    before, now = _rules(book.known_by(batch.sequence - 1)), _rules(book)
    changed = [rule for rule in sorted({*before, *now}) if before.get(rule) != now.get(rule)]
    versions = [row for rule in changed for row in (*before.get(rule, []), *now.get(rule, []))]
    looked_for = [row for row in versions if not (row["worker_id"] or row["booking_code"])]
    stage_notes_matched(book, "sheets/notes_kept", texts_asked(looked_for))
    inputs = {"rules": changed, "before": batch.sequence - 1}
    return bool(changed) and choose_entries(book, "sheets/entries_ruled", **inputs) > 0


def _rules(book: Book) -> dict[str, list[Rule]]:
    rules: dict[str, list[Rule]] = defaultdict(list)
    for row in book.current("rule"):
        rules[row["rule"]].append(row)
    return rules
