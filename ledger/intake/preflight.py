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
UTF_16 = (b"\xff\xfe", b"\xfe\xff")


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


def read_text(path: Path, encoding: str | None = None, name: str | None = None) -> TextFile:
    """Return a file's text, or a workbook's tabs as text.

    UTF-8, or UTF-16 that begins with its mark, unless another encoding is named.

    Raises: Refused, naming the file and what to do, when it cannot be read as either.
    """
    name = name or path.name
    data = read_bytes(path)
    digest = hashlib.sha256(data).hexdigest()
    if is_workbook(data):
        tabs = read_tabs(name, data)
        if all(tab.is_blank for tab in tabs):
            raise Refused(f"{name}: the workbook is empty; nothing to load")
        return TextFile(name, path, digest, "", "workbook", tabs=tabs)
    for signature, what in _SIGNATURES.items():
        if data.startswith(signature):
            raise Refused(f"{name}: this is {what}")
    used = encoding or _encoding_of(data)
    text = _decoded(name, data, used)
    if "\x00" in text:
        raise Refused(f"{name}: has NUL bytes; save it as CSV (UTF-8) first")
    if not text or text.isspace():
        raise Refused(f"{name}: the file is empty; nothing to load")
    plain = text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text
    as_it_is = used.startswith("utf-8") and b"\r" not in data
    return TextFile(name, path, digest, plain, used, plain=as_it_is)


def _encoding_of(data: bytes) -> str:
    if data.startswith(UTF_16):
        return "utf-16"
    return "utf-8-sig" if data.startswith(BOM) else "utf-8"


def _decoded(name: str, data: bytes, encoding: str) -> str:
    """Return the text without a mark at its beginning."""
    if encoding == "utf-16" and not data.startswith(UTF_16):
        raise Refused(
            f'{name}: has no mark of its byte order; name "utf-16-le" or "utf-16-be" in the layout'
        )
    try:
        return data.decode(encoding).removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        if encoding.startswith("utf-8"):
            raise Refused(f"{name}:{line}: is not UTF-8; save the file as CSV (UTF-8)") from None
        raise Refused(f"{name}:{line}: is not {encoding}; name another in the layout") from None


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
