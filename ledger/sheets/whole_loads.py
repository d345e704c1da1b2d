"""A file or a batch of sheets undone: all that stands of it reversed, its held lines ended."""

from ledger.errors import Refused, Remedy
from ledger.sheets.chosen_entries import choose_entries
from ledger.sheets.loads_named import Load, Which, choose_loads
from ledger.sheets.outcomes import LoadReversed, LoadsReversed
from ledger.sheets.reversals import late_lines, reason_of, refuse_all, reverse_chosen
from ledger.store.batches import Batch
from ledger.store.book import Book


def reverse_loads(book: Book, batch: Batch, which: Which, reason: str) -> LoadsReversed:
    """Reverse all entries that stand of a file or batch and end its held lines.

    The lines are no longer in the book: the file can be loaded again and is booked anew.
    Raises: Refused when nothing of it stands, when its name stands for several loads, or when a
    re-issue of another file waits for a line of it.
    """
    why = reason_of(reason)
    loads = choose_loads(book, which)
    refuse_all([_waits(*row) for row in book.rows("sheets/reissues_across")])
    replaced = book.rows("sheets/replaced_by_loads")
    choose_entries(book, "sheets/entries_of_loads")
    reverse_chosen(book, batch, why, which.scope)
    ended = batch.append_query("reissue_end", "sheets/reissues_ending", reason=why)
    batch.append_query("line_outcome", "sheets/held_of_loads", scope=which.scope, why=why)
    places = book.rows("sheets/reversed_by_place", batch=batch.sequence)
    sharing = book.rows("sheets/loads_sharing")
    return LoadsReversed(
        tuple(map(_reversed, loads)),
        tuple((place, entries, int(ms)) for place, entries, ms in places),
        ended,
        late_lines(book, batch),
        tuple((entry, ms) for entry, ms in replaced),
        tuple(file for file, is_counted in sharing if is_counted),
        tuple(file for file, is_counted in sharing if not is_counted),
    )


def _reversed(load: Load) -> LoadReversed:
    return LoadReversed(
        load["file"],
        load["batch"],
        load["recorded_at"],
        load["entries"],
        int(load["ms"]),
        load["held"],
    )


def _waits(reissue: str, file: str, sheet: str) -> Refused:
    waiting = Remedy("reissues")
    return Refused("load_in_reissue", reissue=reissue, sheet=sheet, file=file, remedy=waiting)
