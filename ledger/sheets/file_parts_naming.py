"""Parts of kept files in which texts stand: they are erased with these."""

import html
import re
import tempfile
import unicodedata
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from ledger.domain.codes import name_of
from ledger.domain.name_patterns import pattern_of_names
from ledger.store.book import Book
from ledger.store.contents import unpacked
from ledger.tables.whole_files import read_text

# What stands before and after a cell: a delimiter of any layout, a quote, the end of a line.
_BEFORE, _AFTER = r"(?:^|[,;\t|\"\n])[^\S\n]*", r"[^\S\n]*(?:$|[,;\t|\"\r\n])"


@dataclass(frozen=True)
class FileParts:
    """A file and the ids of those of its parts in which something stands."""

    file: str
    ids: tuple[str, ...]


def files_with_names(book: Book, names: Iterable[str]) -> list[FileParts]:
    """Return the files in which any of the names stands, whatever its case, with these parts."""
    return list(_files_with(book, pattern_of_names(names)))


def corrections_naming(book: Book, names: Iterable[str]) -> list[str]:
    """Return the ids of the corrections of who approved hours in which any of the names stands."""
    wanted = list(names)
    rows = book.rows("sheets/corrections_naming", names=wanted) if wanted else []
    return [each for (each,) in rows]


def held_naming(book: Book, names: Iterable[str]) -> list[str]:
    """Return the ids of the texts of ended lines that name their worker by any of the names."""
    wanted = {name_of(name) for name in names}
    return [each for each, name in book.rows("sheets/held_naming") if name_of(name) in wanted]


def file_parts_with_texts(book: Book, ids: Iterable[str]) -> list[str]:
    """Return the ids of the parts of files in which the cells and held lines named stand."""
    named = list(ids)
    cells = [text for (text,) in book.rows("sheets/texts_named", ids=named)]
    lines = [each for (each,) in book.rows("sheets/file_parts_of_held", ids=named)]
    pattern = "|".join(f"{_BEFORE}{_pattern(text)}{_AFTER}" for text in cells)
    return [*(each for file in _files_with(book, pattern) for each in file.ids), *lines]


def _pattern(text: str) -> str:
    """Return a pattern of a text as it stands in a file, quotes doubled or not."""
    return re.escape(_plain(text)).replace('"', '""?')


def _plain(text: str) -> str:
    """Return a text as it is searched: composed, its case aside."""
    return unicodedata.normalize("NFC", text).lower()


def _files_with(book: Book, pattern: str) -> Iterator[FileParts]:
    """Yield the files with the parts in which a pattern is found.

    Of a file that is not cut by lines, a workbook, all parts are named, and those that are left of
    one of which parts were erased.
    """
    if not pattern:
        return
    regex = re.compile(pattern, re.MULTILINE | re.IGNORECASE)
    for file in book.records("sheets/files_kept"):
        rows = book.rows("sheets/file_parts_by_id", batch=file["batch"], row=file["row"])
        ids = [each for each, *_ in rows]
        read = [unpacked(packing, data) for _, _, packing, data in rows]
        if all(first for _, first, *_ in rows):
            ids = [ids[place] for place in sorted(_holding(regex, [*map(_text_of, read)]))]
        elif file["is_whole"] and not regex.search(_plain(_text(file, read))):
            ids = []
        if ids:
            yield FileParts(file["name"], tuple(ids))


def _text_of(data: bytes) -> str:
    return _plain(data.decode())


def _holding(pattern: re.Pattern[str], texts: Sequence[str]) -> set[int]:
    """Return the places of the texts in which a pattern is found, across their ends too."""
    places = {place for place, text in enumerate(texts) if pattern.search(text)}
    for place, (text, following) in enumerate(pairwise(texts)):
        across = pattern.finditer(text + following)
        if any(match.start() < len(text) < match.end() for match in across):
            places |= {place, place + 1}
    if not places and pattern.search("".join(texts)):
        return set(range(len(texts)))
    return places


def _text(file: dict[str, Any], pieces: Iterable[bytes]) -> str:
    """Return all that stands in a file whose parts do not end with its lines."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"sheets{Path(file['name']).suffix}"
        with path.open("wb") as copy:
            copy.writelines(pieces)
        encoding = None if file["encoding"] == "workbook" else file["encoding"]
        read = read_text(path, encoding, file["name"])
        inside = list(_inside(path)) if read.is_workbook else []
    cells = (cell for tab in read.tabs for row in tab.rows for cell in row)
    return "\n".join([read.text, *cells, *inside])


def _inside(path: Path) -> Iterator[str]:
    """Yield the names and texts of all parts of a workbook: who made it, names of tabs, remarks."""
    with zipfile.ZipFile(path) as archive:
        for part in archive.infolist():
            yield part.filename
            yield html.unescape(archive.read(part).decode("utf-8", errors="replace"))
