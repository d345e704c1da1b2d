"""How every write ends: held lines are read again, entries placed, and their doubts counted."""

from dataclasses import dataclass

from ledger.outcomes import Outcome
from ledger.sheets.ending_outcomes import DoubtsRaised, PlacesPosted
from ledger.sheets.places import adds_entries
from ledger.store.batches import Batch
from ledger.store.book import Book

# The tables that say whether a held line can be read, and where an entry belongs.
DECIDING = frozenset(
    {
        *("change", "crew", "job", "rule", "setting", "withdrawal", "work_package"),
        *("baseline_change", "replanned_package"),
        *("worker_alias", "worker_name"),
    }
)
# What is booked by a batch, or moved, as `following.py` looks for it: other hours may follow it.
BOOKING = frozenset({"line", "entry", "posting", "reversal"})
# Facts that may move the sum of a final account; hours are put right whatever was agreed.
MOVING_FINAL = frozenset(
    {
        *("job", "setting", "charge_rate", "baseline_change", "change", "change_line"),
        *("change_event", "daywork_item", "daywork_sheet", "withdrawal"),
    }
)
# Facts that say which of the hours claimed are certified.
CERTIFYING = frozenset({"certified", "withdrawal"})


@dataclass(frozen=True)
class Finished(Outcome):
    """The batch of a write, None when it added nothing, and what followed in it."""

    sequence: int | None
    places: PlacesPosted
    doubts: DoubtsRaised


def finish(
    book: Book,
    batch: Batch,
    *,
    move_hours: bool = False,
    reopened: bool = False,
    late_reason: str | None = None,
) -> Finished:
    """End a write, before its batch is sealed; what is done depends on what the batch holds.

    A batch with facts that decide where hours belong, or that reopens a period, looks again at all
    held lines and entries; with a reason, at those of closed periods too. Last of all, when the
    crew's hours are settled, those that follow them are shared out. Raises: Refused when hours
    would leave a job, unless `move_hours`.
    """
    added = {table for table, count in batch.counts.items() if count}
    everywhere = reopened or late_reason is not None or bool(added & DECIDING)
    places, doubts = PlacesPosted(), DoubtsRaised({}, 0)
    # What a load of sheets, and one of nothing new, never needs is not imported for it.
    if everywhere or added & BOOKING:
        from ledger.commands.following import Following, follow

        following = Following(everywhere, move_hours, late_reason)
        places = follow(book, batch, following)
    if added & MOVING_FINAL:
        from ledger.billing.final_account import refuse_moved

        for job, *_ in book.rows("billing/final_accounts", job=None):
            refuse_moved(book, job)
    if added & CERTIFYING:
        from ledger.billing.certified_hours import follow_certificates

        follow_certificates(batch)
    recorded = any(batch.counts.values()) and not batch.dry_run
    if adds_entries(batch):
        from ledger.sheets.doubts import doubts_of_batch

        doubts = doubts_of_batch(book, batch)
    return Finished(batch.sequence if recorded else None, places, doubts)
