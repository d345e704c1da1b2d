"""What every page has: the yard's head, its proof, its foot, and the mark of a rehearsal."""

import base64

from ledger.domain.pictures import picture_type
from ledger.errors import Refused, Remedy
from ledger.language import ENGLISH, _
from ledger.reports.canonical import canonical_json, digest
from ledger.reports.identity import REHEARSAL, StampShown, Yard
from ledger.reports.tables import Fact
from ledger.reports.text import cut
from ledger.store.book import Book

ERASED_SINCE = (
    'where it reads "erased", a text was erased from the record; a page made before it was has '
    "another digest"
)
LINE_LENGTH = 120  # A name in the head of a page.


def letterhead(yard: Yard) -> tuple[str, ...]:
    return tuple(cut(line, LINE_LENGTH) for line in (yard.name, *yard.address_lines))


def proof(stamp: StampShown, view: object, remade_by: str) -> tuple[Fact, ...]:
    """Return what proves a page, how it is made again, and whether what it says was erased."""
    facts = [
        Fact(_("Record stamp"), f"{stamp.sequence} · {stamp.head}"),
        Fact(_("Digest of the content"), digest(view)),
        Fact(_("To reproduce"), remade_by),
    ]
    # A text that was erased is read so, whatever batch the page is known at.
    if b'"erased"' in canonical_json(view):
        facts.append(Fact(_("Erased"), _(ERASED_SINCE)))
    return tuple(facts)


def foot(stamp: StampShown, seal: str) -> str:
    return _("Record stamp {number} · {head} · content {digest}").format(
        number=stamp.sequence, head=stamp.head[:8], digest=seal[:8]
    )


def banner(*, rehearsal: bool) -> str:
    return _(REHEARSAL) if rehearsal else ""


def owner_language(book: Book, job: str) -> str:
    """Return the language of a job's owner: the job's own, else the yard's."""
    named = [row["language"] for row in book.records("owner/job", job=job)]
    return next(filter(None, named), book.setting("yard.locale", ENGLISH))


def logo_address(book: Book) -> str:
    """Return the yard's picture as a data: address, empty without one.

    Raises: Refused when the logo in the book is no picture.
    """
    rows = book.rows("owner/logo")
    if not rows:
        return ""
    _, _, data = rows[0]
    kind = picture_type(data)
    if not kind:
        raise Refused("logo_unreadable", remedy=Remedy("load", what="settings"))
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"
