"""Entries corrected: each reversed and booked as it is right, in one batch, with its sheet line."""

from collections.abc import Mapping, Sequence

from ledger.errors import Refused, Remedy
from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.comparing import compare_corrected, read_to_compare
from ledger.sheets.corrected_lines import keep_corrections, stage_so_far
from ledger.sheets.held import fields_changed
from ledger.sheets.judged_lines import judge_lines, release_judged
from ledger.sheets.loads_named import Which, choose_loads
from ledger.sheets.outcomes import CorrectedMove, EntriesCorrected
from ledger.sheets.reversals import (
    WHOLE_LOADS,
    Standing,
    examined,
    how_reversed,
    ids_of,
    late_lines,
    reason_of,
    refuse_all,
    reverse_chosen,
)
from ledger.sheets.staging import restage_parsed, stage_texts, understand
from ledger.sheets.written_lines import add_written_of_files, stage_written
from ledger.store.batches import Batch
from ledger.store.book import Book

Changes = Mapping[str, str | None]


def correct_entry(
    book: Book, batch: Batch, entry: str, changes: Sequence[str], reason: str
) -> None:
    """Reverse an entry and book it with fields changed (field=value).

    Raises: Refused when it does not stand, waits for a re-issue, cannot be read so, or is right.
    """
    why, fields = reason_of(reason), fields_changed(changes)
    ids = ids_of([entry], "entry")
    examined(book, ids, _not_to_correct)
    choose_entries(book, "sheets/entries_chosen", ids=ids)
    _correct(book, batch, fields, why)


def correct_entries(
    book: Book, batch: Batch, which: Which, changes: Sequence[str], reason: str
) -> int:
    """Correct all entries that stand of a file or batch alike; return how many read so already.

    Raises: Refused as `correct_entry`, with all that is wrong; then none is corrected.
    """
    why, fields = reason_of(reason), fields_changed(changes)
    chosen = sum(load["entries"] for load in choose_loads(book, which))
    choose_entries(book, "sheets/entries_of_loads")
    corrected = _correct(book, batch, fields, why)
    return int(chosen) - corrected


def _not_to_correct(entry: str, row: Standing) -> Refused | None:
    if row["reverses"]:
        return Refused("reversal_not_corrected", entry=entry, reverses=row["reverses"])
    if not row["reversed_by"]:
        return None
    if row["scope"] in ("correction", *WHOLE_LOADS):
        return how_reversed(entry, row)
    undo = Remedy("undo", reversal=entry)
    return Refused("entry_to_undo_first", because=how_reversed(entry, row), remedy=undo)


def _correct(book: Book, batch: Batch, fields: Changes, why: str) -> int:
    """Correct the entries of `staged_entry_chosen` that differ; return how many."""
    read_to_compare(book)
    _read_anew(book, fields)
    inputs = {"fields": list(fields), "values": list(fields.values())}
    count: int = book.rows("sheets/entries_differing_counted")[0][0]
    if not count:
        raise Refused("booked_so_already")
    refuse_all(_faults(book))
    compare_corrected(book)
    refuse_all(_matched(book))
    keep_corrections(batch, "sheets/corrections_alike", **inputs)
    reverse_chosen(book, batch, why, "correction")
    last = batch.last_row("entry")
    judge_lines(book, "sheets/entries_corrected", why=why, last_entry_row=last)
    release_judged(batch)
    return count


def _read_anew(book: Book, fields: Changes) -> None:
    """Stage in `staged_parsed` and `staged_entry_chosen` the chosen entries that differ."""
    names = list(fields)
    stage_written(book, "sheets/entry_lines")
    add_written_of_files(book, "sheets/lines_of_entries")
    stage_so_far(book)
    inputs = {"fields": names, "values": list(fields.values())}
    understand(book, stage_texts(book, "sheets/entry_lines_changed", **inputs))
    book.stage("read_anew", "sheets/entry_lines_read", fields=names)
    restage_parsed(book, "sheets/entry_lines_differing")
    choose_entries(book, "sheets/entries_differing")


def _faults(book: Book) -> list[Refused]:
    faults = [
        Refused(
            "entries_unread",
            file=file,
            number=line,
            first=entry,
            entries=entries,
            message=message,
        )
        for message, entries, file, line, entry in book.rows("sheets/entries_unread")
    ]
    return faults + [
        Refused(
            "entries_in_reissue",
            entries=entries,
            sheet=sheet,
            first=entry,
            file=file,
            reissue=reissue,
            remedy=Remedy("reissues"),
        )
        for reissue, file, sheet, entries, entry in book.rows("sheets/entries_in_reissues")
    ]


def _matched(book: Book) -> list[Refused]:
    matches = book.rows("sheets/entries_matched")
    if not matches:
        return []
    entry, other = matches[0]
    return [Refused("correction_matches", entry=entry, entries=len(matches), other=other)]


def entries_corrected(book: Book, batch: Batch, as_they_are: int = 0) -> EntriesCorrected:
    """Return what a batch corrected, from place to place, once its places are posted."""
    rows = book.records("sheets/entries_moved", batch=batch.sequence)
    moves = tuple(
        CorrectedMove(
            row["place_from"],
            row["place_to"],
            row["entries"],
            int(row["ms_from"]),
            int(row["ms_to"]),
        )
        for row in rows
    )
    late = late_lines(book, batch)
    return EntriesCorrected(moves, rows[0]["entry"], rows[0]["now"], late, as_they_are)
