"""What every page has: the yard's head, its proof, its foot, and the mark of a rehearsal."""

import base64

from ledger.domain.pictures import picture_type
from ledger.errors import Refused, Remedy
from ledger.reports.identity import REHEARSAL, Stamp, Yard
from ledger.reports.tables import Fact
from ledger.reports.text import cut
from ledger.store.book import Book

LINE_LENGTH = 120  # A name in the head of a page.


def letterhead(yard: Yard) -> tuple[str, ...]:
    return tuple(cut(line, LINE_LENGTH) for line in (yard.name, *yard.address_lines))


def proof(stamp: Stamp, seal: str, remade_by: str) -> tuple[Fact, ...]:
    """Return what proves a page, and how it is made again."""
    return (
        Fact("Record stamp", f"{stamp.sequence} · {stamp.head}"),
        Fact("Digest of the content", seal),
        Fact("To reproduce", remade_by),
    )


def foot(stamp: Stamp, seal: str) -> str:
    return f"Record stamp {stamp.sequence} · {stamp.head[:8]} · content {seal[:8]}"


def banner(*, rehearsal: bool) -> str:
    return REHEARSAL if rehearsal else ""


def logo_address(book: Book) -> str:
    """Return the yard's picture as a data: address, empty without one.

    Raises: Refused when the logo in the book is no picture.
    """
    found = book.rows("owner/logo")
    if not found:
        return ""
    _, _, data = found[0]
    kind = picture_type(data)
    if not kind:
        raise Refused("logo_unreadable", remedy=Remedy("load", what="settings"))
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"
