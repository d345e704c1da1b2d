"""How every write ends: held lines are read again, entries placed, and their doubts counted."""

from dataclasses import dataclass

from ledger.outcomes import Outcome
from ledger.sheets.doubts import doubts_of_batch
from ledger.sheets.outcomes import DoubtsRaised, PlacesPosted
from ledger.sheets.places import post_new
from ledger.sheets.placing import DECIDING, post_places, reprocess_held
from ledger.sheets.shares import post_shares
from ledger.store.batches import Batch
from ledger.store.book import Book

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
    places = PlacesPosted()
    if reopened or late_reason is not None or added & DECIDING:
        places = reprocess_held(book, batch, move_hours=move_hours, late_reason=late_reason)
    elif "reversal" in added:
        post_places(book, batch)
    else:
        post_new(book, batch)
    everywhere = reopened or late_reason is not None or bool(added & DECIDING)
    shares = post_shares(book, batch, everywhere=everywhere, late_reason=late_reason)
    # What a load of sheets never needs is not imported for it.
    if added & MOVING_FINAL:
        from ledger.billing.final_account import refuse_moved

        for job, *_ in book.rows("billing/final_accounts", job=None):
            refuse_moved(book, job)
    if added & CERTIFYING:
        from ledger.billing.certified_hours import follow_certificates

        follow_certificates(batch)
    recorded = any(batch.counts.values()) and not batch.dry_run
    doubts = doubts_of_batch(book, batch)
    return Finished(batch.sequence if recorded else None, places.together(shares), doubts)
