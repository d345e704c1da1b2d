"""Instructions given by word alone: nothing in writing is recorded of them."""

from ledger.changes.requests import Change
from ledger.documents.issued import documents
from ledger.domain.change_life import ORDERED, ChangeState
from ledger.store.book import Book

CONFIRMATION = "instruction_confirmation"


def is_unwritten(book: Book, job: str, change: Change, state: ChangeState) -> bool:
    """Whether the instruction that stands names no reference, has no file, and is not confirmed.

    It is confirmed by a letter issued on its day or later. What is approved needs none.
    """
    ordered = state.ordered_by
    stands = state.last_instruction in ORDERED and not state.approved and not state.withdrawn
    if ordered is None or not stands or ordered.reference:
        return False
    attached = book.records("changes/attachments_known", job=job)
    of_order = (change.code, ordered.name, ordered.day)
    if any((row["change"], row["event"], row["day"]) == of_order for row in attached):
        return False
    return not any(
        (each.kind, each.job, each.change) == (CONFIRMATION, job, change.code)
        and each.issued_on >= ordered.day
        for each in documents(book)
    )
