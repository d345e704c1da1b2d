"""Parts of kept files in which texts stand: they are erased with these."""

import re
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from ledger.store.book import Book
from ledger.store.contents import unpacked
from ledger.tables.preflight import read_text


def parts_holding(book: Book, texts: Iterable[str]) -> Iterator[str]:
    """Yield the ids of the parts of files in which any of the texts stands, whatever its case.

    Of a file whose parts do not end with its lines, a workbook, all parts are named.
    """
    sought = [each.lower() for text in texts for each in (text, text.replace('"', '""'))]
    if not sought:
        return
    pattern = re.compile("|".join(map(re.escape, sought)))
    for file in book.records("sheets/files_kept"):
        parts = book.rows("sheets/parts_of_file_by_id", batch=file["batch"], row=file["row"])
        read = [(each, first, unpacked(packing, data)) for each, first, packing, data in parts]
        if all(first for _, first, _ in read):
            yield from (each for each, _, data in read if pattern.search(data.decode().lower()))
        elif pattern.search(_text(file, [data for *_, data in read]).lower()):
            yield from (each for each, *_ in read)


def _text(file: dict[str, Any], parts: Iterable[bytes]) -> str:
    """Return all that stands in a file whose parts do not end with its lines."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"sheets{Path(file['name']).suffix}"
        with path.open("wb") as copy:
            copy.writelines(parts)
        encoding = None if file["encoding"] == "workbook" else file["encoding"]
        read = read_text(path, encoding, file["name"])
    cells = (cell for tab in read.tabs for row in tab.rows for cell in row)
    return "\n".join([read.text, *cells])


def parts_with(book: Book, ids: Iterable[str]) -> list[str]:
    """Return the ids of the parts of files in which the notes and held lines named stand."""
    named = list(ids)
    notes = [text for (text,) in book.rows("sheets/texts_named", ids=named)]
    lines = [each for (each,) in book.rows("sheets/parts_of_held", ids=named)]
    return [*parts_holding(book, notes), *lines]
