"""Entries reversed, and wrong reversals undone: signed facts, nothing taken out."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ledger.errors import Refused, Remedy
from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.outcomes import EntriesReversed, LateLines, ReversalsUndone
from ledger.store.batches import Batch
from ledger.store.book import Book

Standing = Mapping[str, Any]
_ID = re.compile("[0-9]+[.][0-9]+")
# The scopes of reversals after which a file can be loaded again.
WHOLE_LOADS = ("file", "batch")


def reason_of(text: str) -> str:
    """Return a reason, trimmed. Raises: Refused when it is blank."""
    if not text.strip():
        raise Refused("reason_missing")
    return text.strip()


def ids_of(texts: Sequence[str], what: str) -> list[str]:
    """Return ids (batch.row), each once. Raises: Refused, naming all that are none."""
    wrong = [text for text in texts if not _is_id(text)]
    refuse_all([Refused("id_unreadable", what=what, given=text) for text in wrong])
    return list(dict.fromkeys(texts))


def _is_id(text: str) -> bool:
    return _ID.fullmatch(text) is not None


def refuse_all(faults: Sequence[Refused]) -> None:
    """Raises: Refused with every fault, when there is any."""
    if faults:
        raise Refused("nothing_changed", faults=tuple(faults))


def reverse_entries(
    book: Book, batch: Batch, entries: Sequence[str], reason: str
) -> EntriesReversed:
    """Reverse entries that stand.

    Raises: Refused, naming every id that cannot be reversed; then none is.
    """
    why, ids = reason_of(reason), ids_of(entries, "entry")
    by_id = examined(book, ids, not_standing)
    reverse(book, batch, ids, why, "entry")
    of_sheet = next(((each, by_id[each]["sheet"]) for each in ids if by_id[each]["sheet"]), None)
    return EntriesReversed(tuple(ids), late_lines(book, batch), of_sheet)


def late_lines(book: Book, batch: Batch) -> tuple[LateLines, ...]:
    """Return the lines of closed periods that a batch booked or reversed, by period."""
    rows = book.rows("sheets/late_in_batch", batch=batch.sequence)
    return tuple(LateLines(lines, closed_to) for lines, closed_to in rows)


def undo_reversals(book: Book, batch: Batch, named: Sequence[str], reason: str) -> ReversalsUndone:
    """Undo reversals, named by the entry reversed or by the reversal.

    The entry stands again, with the tags set by hand that it had; its places are looked at anew.
    Raises: Refused, naming every id of which nothing is to be undone; then none is.
    """
    why, ids = reason_of(reason), ids_of(named, "entry")
    by_id = examined(book, ids, _not_to_undo)
    refuse_all(_replaced(book, ids) or _in_the_way(book, ids))
    targets = {by_id[each]["reversed_by"] or each for each in ids}
    reverse(book, batch, sorted(targets), why, "undo")
    return ReversalsUndone(len(targets), tuple(ids))


def reverse(book: Book, batch: Batch, ids: Sequence[str], reason: str, scope: str) -> None:
    """Enter the negatives of entries and of their standing postings, with scope and reason."""
    choose_entries(book, "sheets/entries_chosen", ids=list(ids))
    reverse_chosen(book, batch, reason, scope)


def reverse_chosen(book: Book, batch: Batch, reason: str, scope: str) -> None:
    """Enter the negatives of the entries of `staged_entry_chosen` and of their standing postings.

    The scope is what the reversal is part of: entry, undo, re_issue, correction, file or batch.
    """
    after = batch.last_row("entry")
    inputs = {"batch": batch.sequence, "after": after}
    batch.append_query("entry", "sheets/entries_reversing")
    batch.append_query("reversal", "sheets/reversals_entered", reason=reason, scope=scope, **inputs)
    batch.append_query("posting", "sheets/postings_reversing", **inputs)


def examined(
    book: Book, ids: Sequence[str], fault_of: Callable[[str, Standing], Refused | None]
) -> dict[str, Standing]:
    """Return the entries named, by id. Raises: Refused, with the fault of each that has one."""
    by_id: dict[str, Standing] = {
        row["id"]: row for row in book.records("sheets/entries_standing", ids=list(ids))
    }
    faults = [fault_of(each, by_id[each]) if each in by_id else entry_unknown(each) for each in ids]
    refuse_all([fault for fault in faults if fault])
    return by_id


def entry_unknown(entry: str) -> Refused:
    """Return the refusal of an entry that the book has not."""
    return Refused("entry_unknown", entry=entry, remedy=Remedy("entries"))


def not_standing(entry: str, row: Standing) -> Refused | None:
    """Return why an entry does not stand: it is a reversal, or was reversed; None when it does."""
    if row["reverses"]:
        undo = Remedy("undo", reversal=entry)
        return Refused("is_reversal", entry=entry, reverses=row["reverses"], remedy=undo)
    if row["reversed_by"]:
        return how_reversed(entry, row)
    return None


def how_reversed(entry: str, row: Standing) -> Refused:
    """Return how an entry was reversed, by whom and when, and where its hours are now."""
    actor, day = row["actor"], row["reversed_at"].date()
    if row["scope"] == "correction":
        reversal, newest = row["reversed_by"], row["newest"]
        return Refused(
            "entry_corrected", entry=entry, reversal=reversal, actor=actor, day=day, newest=newest
        )
    if row["scope"] in WHOLE_LOADS:
        scope, file = row["scope"], row["file"]
        return Refused(
            "entry_reversed_with_load", entry=entry, scope=scope, actor=actor, day=day, file=file
        )
    reversal = row["reversed_by"]
    return Refused("entry_reversed", entry=entry, reversal=reversal, actor=actor, day=day)


def _not_to_undo(entry: str, row: Standing) -> Refused | None:
    if row["is_undoing"]:
        return Refused("reversal_undoes", entry=entry, reversal=row["reverses"])
    if row["is_undone"]:
        actor, day = row["actor"], row["reversed_at"].date()
        undoing = row["reversed_by"]
        return Refused("reversal_undone", reversal=entry, undoing=undoing, actor=actor, day=day)
    if not row["reverses"] and not row["reversed_by"]:
        return Refused("entry_not_reversed", entry=entry)
    reversed_entry = row["reverses"] or entry
    if row["scope"] == "correction":
        return Refused("undo_of_correction", entry=reversed_entry, newest=row["newest"])
    if row["scope"] in WHOLE_LOADS:
        scope, file = row["scope"], row["file"]
        return Refused("undo_of_load", entry=reversed_entry, scope=scope, file=file)
    return None


def _replaced(book: Book, ids: Sequence[str]) -> list[Refused]:
    """Return the refusals of entries that would stand beside the re-issue that replaced them."""
    return [
        Refused(
            "undo_beside_reissue",
            entry=row["entry"],
            reissue=row["reissue"],
            sheet=row["sheet"],
            file=row["file"],
            standing=tuple(row["standing"]),
        )
        for row in book.records("sheets/reissues_replacing", ids=list(ids))
    ]


def _in_the_way(book: Book, ids: Sequence[str]) -> list[Refused]:
    """Return the refusals of entries in whose place others came in and stand."""
    return [
        Refused(
            "undo_beside_others",
            entry=row["entry"],
            standing=tuple(row["standing"]),
            sheet=row["sheet"],
            worker=row["worker_id"],
            day=row["day"],
        )
        for row in book.records("sheets/entries_in_the_way", ids=list(ids))
    ]
