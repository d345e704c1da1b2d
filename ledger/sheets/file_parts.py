"""Files of sheets as they came, in parts that are kept once, and read again for a line."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice

from ledger.errors import Refused
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.contents import Content, add_contents, contents_known, unpacked
from ledger.tables.raw_files import bytes_between, bytes_in_parts, changed
from ledger.tables.whole_files import TextFile

# How many parts are packed before they are handed to the database.
TOGETHER = 64


@dataclass(frozen=True)
class FilePart:
    """A part of a file: its number from 1, where its bytes stand, their digest, and its lines.

    `first_line` is None where line feeds do not stand in the bytes as they do in the text;
    `is_ended` says that the last line ends with one.
    """

    number: int
    start: int
    length: int
    sha256: str
    first_line: int | None
    line_ends: int
    is_ended: bool


def cut(file: TextFile) -> list[FilePart]:
    """Return the parts of a file, read once more.

    Raises: Refused when it is no longer the one that was read.
    """
    file_parts: list[FilePart] = []
    whole, start, line = hashlib.sha256(), 0, 1
    # Where it is read as it stands, its line feeds stand where those of its text do.
    for number, data in enumerate(bytes_in_parts(file.path, in_lines=file.plain), start=1):
        whole.update(data)
        ends, first = data.count(b"\n"), line if file.plain else None
        digest = hashlib.sha256(data).hexdigest()
        is_ended = data.endswith(b"\n")
        file_parts.append(FilePart(number, start, len(data), digest, first, ends, is_ended))
        start, line = start + len(data), line + ends
    if whole.hexdigest() != file.sha256:
        raise changed(file.name)
    return file_parts


def bytes_of_part(file: TextFile, part: FilePart) -> bytes:
    """Return a part's bytes. Raises: Refused when they are no longer those that were read."""
    data = bytes_between(file.path, part.start, part.length)
    if hashlib.sha256(data).hexdigest() != part.sha256:
        raise changed(file.name)
    return data


def keep_file_parts(batch: Batch, file: TextFile, file_parts: Sequence[FilePart]) -> None:
    """Keep the bytes of the file kept last: of its parts those that the book has not.

    Raises: Refused when the file is no longer the one that was read.
    """
    known = contents_known(batch.book)
    new = iter({part.sha256: part for part in file_parts if part.sha256 not in known}.values())
    while together := list(islice(new, TOGETHER)):
        data = [Content(bytes_of_part(file, part), is_packed=True) for part in together]
        add_contents(batch, data)
    file_row = batch.last_row("file")
    batch.append(
        "file_part",
        {
            "file_row": [file_row for _ in file_parts],
            "part": [part.number for part in file_parts],
            "first_line": [part.first_line for part in file_parts],
            "sha256": [part.sha256 for part in file_parts],
        },
    )


@dataclass(frozen=True)
class KeptPart:
    """A part of a file that was loaded, as it came, and its first line where it ends with lines."""

    first_line: int | None
    data: bytes


def kept_parts(book: Book, file: tuple[int, int], name: str, *, whole: bool) -> list[KeptPart]:
    """Return parts of a file, named by batch and row: the first and those of the lines wanted.

    Raises: Refused when one was erased.
    """
    which = {"batch": file[0], "row": file[1], "is_whole": whole}
    kept = []
    for first_line, packing, data in book.rows("sheets/file_parts_of_lines", **which):
        if data is None:
            raise Refused("file_part_erased", file=name)
        kept.append(KeptPart(first_line, unpacked(packing, data)))
    return kept
