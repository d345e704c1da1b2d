"""The commands that the lists of a month's pack name, and what is said of the pack."""

import shlex
from collections.abc import Iterator

from ledger.commands.month_packs import DOCUMENT, ENTRIES, ListRemade, PackMade
from ledger.domain.counting import counted


def list_command(made: ListRemade) -> str:
    """Return the command that makes a list again, or gives a document again as it was issued."""
    if made.what == DOCUMENT:
        return f"fairhours show document {shlex.quote(made.document)} --out FILE{made.ending}"
    job = f"--job {shlex.quote(made.job)} " if made.what == ENTRIES else ""
    days = f"--from {made.first} --to {made.last}"
    return f"fairhours --known-at {made.known_at} {made.what} {job}{days} --format csv"


def pack_lines(made: PackMade) -> Iterator[str]:
    """Yield what is said of a pack."""
    closed = f", as closed to {made.closed_to}" if made.closed_to else ""
    files = counted(made.files, "file", "files")
    yield (
        f"{made.out}: {made.job} from {made.first} to {made.last}, {files}, "
        f"record stamp {made.sequence}{closed}"
    )
    if made.claim is None:
        yield f"no claim was issued to {made.last}"
