"""What is looked at before a file is read: what it is, and that it can be read as that."""

import hashlib
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Refused
from ledger.intake.workbooks import Tab, is_workbook, read_tabs

_SIGNATURES = {
    b"%PDF": "a PDF, not CSV; save it as CSV (UTF-8) first",
    b"\xd0\xcf": "a workbook of an older form or under a password; save it as XLSX or ODS first",
}
BOM = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class TextFile:
    """A file read whole: its name, digest and text; `plain` when its own line ends are so too.

    A workbook has tabs of text instead of one text.
    """

    name: str
    path: Path
    sha256: str
    text: str
    encoding: str
    plain: bool = True
    tabs: tuple[Tab, ...] = ()

    @property
    def is_workbook(self) -> bool:
        return not self.text


def read_text(path: Path) -> TextFile:
    """Return a UTF-8 file's text, or a workbook's tabs as text.

    Raises: Refused, naming the file and what to do, when it cannot be read as either.
    """
    data = read_bytes(path)
    digest = hashlib.sha256(data).hexdigest()
    if is_workbook(data):
        tabs = read_tabs(path.name, data)
        if all(tab.is_blank for tab in tabs):
            raise Refused(f"{path.name}: the workbook is empty; nothing to load")
        return TextFile(path.name, path, digest, "", "workbook", tabs=tabs)
    for signature, what in _SIGNATURES.items():
        if data.startswith(signature):
            raise Refused(f"{path.name}: this is {what}")
    if b"\x00" in data:
        raise Refused(f"{path.name}: has NUL bytes; save it as CSV (UTF-8) first")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Refused(f"{path.name}:{line}: is not UTF-8; save the file as CSV (UTF-8)") from None
    if not text.strip():
        raise Refused(f"{path.name}: the file is empty; nothing to load")
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    encoding = "utf-8-sig" if data.startswith(BOM) else "utf-8"
    return TextFile(path.name, path, digest, plain, encoding, plain=b"\r" not in data)


def read_bytes(path: Path) -> bytes:
    """Return a file's bytes.

    Raises: Refused for a folder, a missing or an unreadable file.
    """
    if path.is_dir():
        raise Refused(f"{path.name}: is a folder; name the files in it")
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise Refused(f"{path}: there is no such file") from None
    except OSError as error:
        raise Refused(f"{path}: cannot be read ({error.strerror})") from None
