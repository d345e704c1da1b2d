"""The bytes of a file that somebody names: only of a whole, ordinary one, and never too many."""

import contextlib
import errno
import hashlib
import os
import stat
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from ledger.errors import Refused

# What a text may be: some 20 million sheet lines. What a settings file or a layout may be.
LARGEST, LARGEST_TOML = 1_000_000_000, 1_000_000
CHUNK = 4_000_000
# What of a file is kept together.
PART = 1 << 20
# The operating system's numbers for a disk that does not give what stands on it.
_DISK_FAULTS = {errno.EIO, errno.ENXIO, errno.EBADMSG, errno.ESTALE}
Watch = Callable[[str, bytes], Refused | None]


@dataclass(frozen=True)
class FileVersion:
    """What tells whether a file is the one that was read before: place, length and times."""

    device: int
    inode: int
    length: int
    modified_ns: int
    changed_ns: int


def version_of(path: Path) -> FileVersion | None:
    """Return a file's version, None when there is no file any more."""
    try:
        return _version(path.stat())
    except OSError:
        return None


def _version(status: os.stat_result) -> FileVersion:
    return FileVersion(
        status.st_dev, status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns
    )


def changed(name: str) -> Refused:
    """Return the refusal of a file that changed, or went, while it was read."""
    return Refused("file_changed", file=name)


def bytes_of(
    path: Path, most: int = LARGEST, watch: Watch | None = None
) -> tuple[bytes, FileVersion]:
    """Return a file's bytes and the version that they are of.

    `watch` sees the name and each piece of the file before any is kept, and may refuse it there.

    Raises: Refused for what is no file, cannot be read, is longer than `most` bytes, has a name
    that cannot be kept, or changes meanwhile.
    """
    name = _name_of(path)
    with _opened(path, name, most) as (file, version):
        _look_through(name, file, watch)
        file.seek(0)
        data = file.read(version.length + 1)
        if len(data) != version.length:
            raise changed(name)
    return data, version


def digest_and_beginning(path: Path, most: int = LARGEST) -> tuple[str, bytes]:
    """Return the SHA-256 of a file's bytes, and its first `PART` of them; no others are kept.

    Raises: Refused as `bytes_of` does.
    """
    whole, beginning = hashlib.sha256(), b""
    with _opened(path, _name_of(path), most) as (file, _):
        while piece := file.read(PART):
            whole.update(piece)
            beginning = beginning or piece
    return whole.hexdigest(), beginning


@contextlib.contextmanager
def _opened(path: Path, name: str, most: int) -> Iterator[tuple[BinaryIO, FileVersion]]:
    """Give an ordinary file to be read, and its version, which is the same when it was read."""
    try:
        _check_kind(name, path.stat())
        # A pipe put in the file's place since then is not waited for.
        with os.fdopen(os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC), "rb") as file:
            version = _version(os.fstat(file.fileno()))
            _check_kind(name, os.fstat(file.fileno()))
            if version.length > most:
                raise Refused("file_too_large", file=name, megabytes=most // 1_000_000)
            yield file, version
            if _version(os.fstat(file.fileno())) != version:
                raise changed(name)
    except FileNotFoundError:
        raise Refused("file_missing", file=path) from None
    except OSError as error:
        raise _unreadable(path, error) from None


def bytes_in_parts(path: Path, *, in_lines: bool) -> Iterator[bytes]:
    """Yield a file's bytes again in parts of about `PART`, where wished each to the end of a line.

    Where one ends depends on what stands before it alone. Raises: Refused when it cannot be read.
    """
    rest = b""
    try:
        with path.open("rb") as file:
            while piece := file.read(PART):
                at = len(piece)
                if in_lines and len(piece) == PART:
                    at = piece.rfind(b"\n") + 1
                if at:
                    yield rest + piece[:at]
                    rest = piece[at:]
                else:
                    rest += piece
    except OSError as error:
        raise _unreadable(path, error) from None
    if rest:
        yield rest


def bytes_between(path: Path, start: int, length: int) -> bytes:
    """Return some of a file's bytes. Raises: Refused when they cannot be read."""
    try:
        with path.open("rb") as file:
            file.seek(start)
            return file.read(length)
    except OSError as error:
        raise _unreadable(path, error) from None


def _look_through(name: str, file: BinaryIO, watch: Watch | None) -> None:
    while watch and (piece := file.read(CHUNK)):
        if refused := watch(name, piece):
            raise refused


def _check_kind(name: str, status: os.stat_result) -> None:
    if stat.S_ISDIR(status.st_mode):
        raise Refused("file_is_folder", file=name)
    if not stat.S_ISREG(status.st_mode):
        raise Refused("file_is_device", file=name)


def _unreadable(path: Path, error: OSError) -> Refused:
    """Return why a file cannot be read; a fault of the disk is called that."""
    if error.errno in _DISK_FAULTS:
        return Refused("file_disk_failed", file=path, system=error.strerror)
    return Refused("file_unreadable", file=path, system=error.strerror)


def _name_of(path: Path) -> str:
    """Return the file's name. Raises: Refused when it cannot be printed, or kept in a book."""
    name = path.name or str(path)
    try:
        name.encode()
    except UnicodeEncodeError:
        raise Refused("name_not_utf_8", file=_printable(name)) from None
    if any(unicodedata.category(each) == "Cc" for each in str(path)):
        printable = _printable(str(path) if name == _printable(name) else name)
        raise Refused("name_has_control", file=printable)
    return name


def _printable(name: str) -> str:
    """Return a name on one line, with a question mark for what a terminal would not print."""
    return "".join(each if each.isprintable() else "?" for each in name)
