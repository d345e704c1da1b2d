"""A file or a batch of sheets undone: all that stands of it reversed, its held lines ended."""

from collections.abc import Sequence

from ledger.domain.allocation import hours_of
from ledger.errors import Refused, Remedy
from ledger.sheets.loads_named import Load, Which, choose_loads, counted
from ledger.sheets.reversals import late_remark, reason_of, refuse_all, reverse_chosen
from ledger.store.batches import Batch
from ledger.store.book import Book

NAMED_AT_MOST = 5


def reverse_loads(book: Book, batch: Batch, which: Which, reason: str) -> list[str]:
    """Reverse all entries that stand of a file or batch and end its held lines; return what to say.

    The lines are no longer in the book: the file can be loaded again and is booked anew.
    Raises: Refused when nothing of it stands, when its name stands for several loads, or when a
    re-issue of another file waits for a line of it.
    """
    why = reason_of(reason)
    loads = choose_loads(book, which)
    refuse_all([_waits(*row) for row in book.rows("sheets/reissues_across")])
    replaced = book.rows("sheets/replaced_by_loads")
    book.stage("entry_chosen", "sheets/entries_of_loads")
    reverse_chosen(book, batch, why, which.scope)
    ended = batch.append_query("reissue_end", "sheets/reissues_ending", reason=why)
    batch.append_query("line_outcome", "sheets/held_of_loads", scope=which.scope, why=why)
    return [
        *map(_told, loads),
        *_places(book, batch),
        *([f"{counted(ended, 're-issue', 're-issues')} of it refused"] if ended else []),
        *late_remark(book, batch),
        *_replaced(replaced),
        *_sharing(book),
    ]


def _waits(reissue: str, file: str, sheet: str) -> Refused:
    waiting = Remedy("reissues")
    return Refused("load_in_reissue", reissue=reissue, sheet=sheet, file=file, remedy=waiting)


def _told(load: Load) -> str:
    held = load["held"]
    ended = f"; {counted(held, 'held line', 'held lines')} ended" if held else ""
    return (
        f"{load['file']} (batch {load['batch']}, {load['recorded_at']:%Y-%m-%d}): "
        f"{counted(load['entries'], 'entry', 'entries')} reversed, "
        f"{hours_of(int(load['ms']), 2)} h{ended}"
    )


def _places(book: Book, batch: Batch) -> list[str]:
    return [
        f"  {place}: {counted(entries, 'entry', 'entries')}, {hours_of(int(ms), 2)} h"
        for place, entries, ms in book.rows("sheets/reversed_by_place", batch=batch.sequence)
    ]


def _replaced(entries: Sequence[tuple[str, int]]) -> list[str]:
    if not entries:
        return []
    hours = hours_of(sum(ms for _, ms in entries), 2)
    more = len(entries) - NAMED_AT_MOST
    ids = " ".join(entry for entry, _ in entries[:NAMED_AT_MOST])
    rest = f" and {more} more" if more > 0 else ""
    return [
        f"still reversed, as its re-issue replaced them: {ids}{rest} ({hours} h); "
        "`fairhours undo reversal` lets them stand again"
    ]


def _sharing(book: Book) -> list[str]:
    names = [row[0] for row in book.rows("sheets/loads_sharing")]
    if not names:
        return []
    more = len(names) - NAMED_AT_MOST
    rest = f" and {more} more" if more > 0 else ""
    return [
        "lines counted as in the book already when loaded since: "
        f"{', '.join(names[:NAMED_AT_MOST])}{rest}; load these again if they share lines with it"
    ]
