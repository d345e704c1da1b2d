"""Files that are handed out: whole or not at all, never through a link, never over a book."""

import os
import secrets
import stat
from pathlib import Path

from ledger.errors import Refused

# A file of the database says so in its ninth byte and on (DuckDB, storage format).
_BOOK, _AT = b"DUCK", 8
BESIDE = (".wal", ".lock", ".holder")


def write_out(path: Path, data: bytes) -> None:
    """Write a file that a user named, in place of an older one of its name.

    Raises: Refused when it cannot be written, or what lies there must not be written over.
    """
    try:
        _refuse_precious(path)
        write_new(path, data)
    except OSError as error:
        raise Refused("out_unwritable", file=path, system=error.strerror) from error


def write_new(path: Path, data: bytes) -> None:
    """Write a file beside its place and put it there whole: what a link leads to stays as it is.

    Raises: OSError.
    """
    beside = path.with_name(f".{secrets.token_hex(8)}.part")
    opened = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o666)
    try:
        with os.fdopen(opened, "wb") as file:
            file.write(data)
        beside.replace(path)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def is_book(path: Path) -> bool:
    """Return whether a file is a database, or one that belongs to a database beside it."""
    if path.suffix in BESIDE and is_book(path.with_suffix("")):
        return True
    try:
        with path.open("rb") as file:
            return file.read(_AT + len(_BOOK))[_AT:] == _BOOK
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError):
        return False


def _refuse_precious(path: Path) -> None:
    if path.is_symlink():
        raise Refused("out_is_link", file=path)
    if path.exists():
        if not stat.S_ISREG(path.stat().st_mode):
            raise Refused("out_is_no_file", file=path)
        if not os.access(path, os.W_OK):
            raise Refused("out_unwritable", file=path, system="Permission denied")
    if is_book(path):
        raise Refused("out_is_book", file=path)
