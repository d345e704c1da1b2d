"""The register of what was sent: to whom, how, by when a reply is due, and what was replied."""

from dataclasses import dataclass
from datetime import date

from ledger.outcomes import Outcome
from ledger.store.book import Book

# How a document can be sent.
WAYS = ("email", "post", "courier", "by_hand", "portal")
# Where a sending stands on a day.
STANDINGS = ("overdue", "waiting", "no_reply_due", "replied")


@dataclass(frozen=True)
class Sending(Outcome):
    """The n-th sending of a document, and the reply to it if there is one."""

    id: str
    document: str
    number: int
    kind: str | None
    job: str | None
    change: str | None
    sent_to: str
    sent_on: date
    sent_by: str
    reply_due: date | None
    replied_on: date | None
    replied_by: str | None
    answer: str | None
    note: str | None
    attachment: str | None
    attached_batch: int | None
    attached_row: int | None

    def standing(self, day: date) -> str:
        """Return where it stands on a day, one of `STANDINGS`."""
        if self.replied_on is not None and self.replied_on <= day:
            return "replied"
        if self.reply_due is None:
            return "no_reply_due"
        return "overdue" if self.reply_due < day else "waiting"


def sendings(book: Book) -> list[Sending]:
    """Return the register, in the order of the days of sending."""
    return [Sending(**row) for row in book.records("documents/sendings_known")]


def next_sending(book: Book, document: str) -> int:
    """Return the number that the next sending of a document takes."""
    last: int = book.rows("documents/last_sending", document=document)[0][0]
    return last + 1
