"""Files attached to changes, handed out again."""

from pathlib import Path

from ledger.commands.access import ReadAccess
from ledger.errors import Refused, Remedy
from ledger.store.out_files import write_out


def save_attachment(access: ReadAccess, attachment: str, out: Path) -> int:
    """Write an attached file under a name and return how many bytes it has.

    Raises: Refused when there is none of that id, it was erased, or the file cannot be written.
    """
    with access.reading() as book:
        rows = book.rows("changes/attachment_content", id=attachment.strip().lower())
    if not rows:
        listed = Remedy("show", what="attachment")
        raise Refused("attachment_unknown", attachment=attachment, remedy=listed)
    data: bytes | None = rows[0][1]
    if data is None:
        raise Refused("attachment_erased", attachment=attachment)
    write_out(out, data)
    return len(data)
