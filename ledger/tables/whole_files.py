"""What is looked at before a file is read: what it is, and that it can be read as that."""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from ledger.errors import Refused
from ledger.tables.raw_files import (
    CHUNK,
    LARGEST,
    FileVersion,
    bytes_between,
    bytes_of,
    digest_and_beginning,
)
from ledger.tables.tabs import Tab, is_workbook

_SIGNATURES: Mapping[bytes, Callable[[str], Refused]] = {
    b"%PDF": lambda name: Refused("file_is_pdf", file=name),
    b"\xd0\xcf": lambda name: Refused("workbook_old", file=name),
}
BOM = b"\xef\xbb\xbf"
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
LONGEST_LINE = 8_000_000
MARKS = ("\x1d", "\x1e", "\x1f")


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
    version: FileVersion | None = None

    @property
    def is_workbook(self) -> bool:
        return not self.text


@dataclass
class _Look:
    """A text looked at piece by piece, so that what is none is not taken into memory first."""

    path: Path
    encoding: str | None
    length: int = 0
    since_line_end: int = 0
    anything_goes: bool | None = None

    def at(self, name: str, piece: bytes) -> Refused | None:
        """Return what is wrong by the end of a piece, None when it may be a text so far."""
        if self.anything_goes is None:
            marked = piece.startswith((*UTF_16, *_SIGNATURES)) or is_workbook(piece)
            self.anything_goes = marked or (self.encoding or "").startswith("utf-16")
        if self.anything_goes:
            return None
        # A short file is refused for the first of its faults, once it is read.
        if len(piece) == CHUNK and b"\x00" in piece:
            return Refused("nul_bytes", file=name)
        last = max(piece.rfind(b"\n"), piece.rfind(b"\r"))
        self.since_line_end = len(piece) - last - 1 + (self.since_line_end if last < 0 else 0)
        self.length += len(piece)
        if self.since_line_end > LONGEST_LINE:
            return Refused("line_too_long", file=name, line=self._line())
        return None

    def _line(self) -> int:
        """Return the line reached, counted now: few files are refused for it."""
        pieces = (bytes_between(self.path, at, CHUNK) for at in range(0, self.length, CHUNK))
        return 1 + sum(piece.count(b"\n") for piece in pieces)


def read_text(
    path: Path, encoding: str | None = None, name: str | None = None, most: int = LARGEST
) -> TextFile:
    """Return a file's text, or a workbook's tabs as text.

    UTF-8, or UTF-16 that begins with its mark, unless another encoding is named.

    Raises: Refused, naming the file and what to do, when it cannot be read as either.
    """
    name = name or path.name
    data, version = bytes_of(path, most, _Look(path, encoding).at)
    digest = hashlib.sha256(data).hexdigest()
    if is_workbook(data):
        # Few files are one.
        from ledger.tables.workbooks import read_tabs

        tabs = read_tabs(name, data)
        if all(tab.is_blank for tab in tabs):
            raise Refused("workbook_empty", file=name)
        return TextFile(name, path, digest, "", "workbook", plain=False, tabs=tabs, version=version)
    for signature, refused in _SIGNATURES.items():
        if data.startswith(signature):
            raise refused(name)
    used = encoding or _encoding_of(data)
    text = _decoded(name, data, used)
    if "\x00" in text:
        raise Refused("nul_bytes", file=name)
    _refuse_marks(name, text)
    if not text or text.isspace():
        raise Refused("file_empty", file=name)
    plain = text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text
    as_it_is = used.startswith("utf-8") and b"\r" not in data
    return TextFile(name, path, digest, plain, used, plain=as_it_is, version=version)


def read_beginning(
    path: Path, encoding: str | None = None, name: str | None = None
) -> TextFile | None:
    """Return a text file whose text ends with a line near its beginning; its digest is of it all.

    None where the beginning does not tell where a line ends: of a workbook, and in UTF-16. What
    the rest holds is not looked at.

    Raises: Refused when it cannot be read.
    """
    digest, data = digest_and_beginning(path)
    used = encoding or _encoding_of(data)
    if used.startswith("utf-16") or data.startswith(tuple(_SIGNATURES)) or is_workbook(data):
        return None
    name = name or path.name
    lines = data[: data.rfind(b"\n") + 1]
    text = _decoded(name, lines, used).replace("\r\n", "\n").replace("\r", "\n")
    return TextFile(name, path, digest, text, used, plain=False) if text else None


def _refuse_marks(name: str, text: str) -> None:
    """Refuse the characters that stand between rows and columns where texts are sealed."""
    for mark in MARKS:
        if mark in text:
            line = text[: text.index(mark)].count("\n") + 1
            raise Refused("control_character", file=name, line=line, mark=f"U+{ord(mark):04X}")


def _encoding_of(data: bytes) -> str:
    if data.startswith(UTF_16):
        return "utf-16"
    return "utf-8-sig" if data.startswith(BOM) else "utf-8"


def _decoded(name: str, data: bytes, encoding: str) -> str:
    """Return the text without a mark at its beginning."""
    if encoding == "utf-16" and not data.startswith(UTF_16):
        raise Refused("byte_order_missing", file=name)
    try:
        return data.decode(encoding).removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        if encoding.startswith("utf-8"):
            raise Refused("text_not_utf_8", file=name, line=line) from None
        raise Refused("text_not_encoded", file=name, line=line, encoding=encoding) from None


def read_bytes(path: Path, most: int = LARGEST) -> bytes:
    """Return a file's bytes.

    Raises: Refused for a folder, a missing, an unreadable or a too large file.
    """
    return bytes_of(path, most)[0]
