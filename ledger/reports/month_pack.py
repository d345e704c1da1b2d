"""A month's reports of a job as one ZIP: the owner's folder and the yard's, each with its stamp.

Nothing of the yard's folder is named in the owner's, so that this may be handed on as it is.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import PurePosixPath

from ledger.language import ENGLISH, TOGETHER, _, speaking
from ledger.reports.dates import written
from ledger.reports.packing import packed, safe_name

OWNER, YARD, STAMP = "owner", "yard", "record-stamp.txt"
# Said by the yard's own stamp alone.
NOT_FOR_OWNERS = "The yard's own figures: not to be handed to the owner."
PERSONAL = "Entries and the reconciliation hold personal data: who may see them is for local law."


@dataclass(frozen=True)
class PackedFile:
    """A file of a pack: its folder, name and bytes, and the command that makes it again."""

    folder: str
    name: str
    data: bytes
    remade_by: str


@dataclass(frozen=True)
class MonthPack:
    """A job's files to a day, at the record stamp that they state."""

    job: str
    title: str
    last: date
    stamp: str
    instant: datetime
    closed_to: date | None
    language: str
    files: tuple[PackedFile, ...]

    @property
    def root(self) -> str:
        """The dated folder that all of it lies in."""
        return safe_name(f"{self.job}-{self.last}")


def zipped_month(pack: MonthPack) -> bytes:
    """Return a pack as a ZIP; the same files and instant give the same bytes."""
    content = {f"{pack.root}/{each.folder}/{each.name}": each.data for each in pack.files}
    for folder, language in ((OWNER, pack.language), (YARD, ENGLISH)):
        own = [each for each in pack.files if each.folder == folder]
        with speaking(language):
            text = stamp_text(pack, own)
        if folder == YARD:
            text += f"\n{_closed(pack)}{NOT_FOR_OWNERS}\n{PERSONAL}\n"
        content[str(PurePosixPath(pack.root, folder, STAMP))] = text.encode("utf-8")
    return packed(content, pack.instant)


def stamp_text(pack: MonthPack, files: Sequence[PackedFile]) -> str:
    """Return the stamp that files state, each with its digest and what makes it again."""
    head = [
        f"{pack.job} {pack.title}".strip(),
        f"{_('Status date')}: {written(pack.last)}".replace(TOGETHER, " "),
        f"{_('Record stamp')}: {pack.stamp}",
    ]
    listed = [
        f"\n{each.name}\n  SHA-256 {hashlib.sha256(each.data).hexdigest()}\n"
        f"  {_('To reproduce')}: {each.remade_by}"
        for each in files
    ]
    return "\n".join([*head, *listed]) + "\n"


def _closed(pack: MonthPack) -> str:
    if pack.closed_to is None:
        return ""
    return f"As closed to {written(pack.closed_to)}; the claim as issued.\n"
