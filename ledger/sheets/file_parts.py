"""Files of sheets as they came, in parts that are kept once, and read again for a line."""

from collections.abc import Iterator
from itertools import islice

from ledger.errors import Refused
from ledger.sheets.reading import SheetFile
from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.store.contents import Content, keep_contents, unpacked
from ledger.tables.raw_files import bytes_in_parts

# How many parts are packed before they are handed to the database.
TOGETHER = 64


def keep_parts(batch: Batch, sheets: SheetFile) -> None:
    """Keep the bytes of the file kept last: of its parts those that the book has not.

    Raises: Refused when the file is no longer the one that was read.
    """
    file, file_row = sheets.file, batch.last_row("file")
    # Where it is read as it stands, its line feeds stand where those of its text do.
    parts = bytes_in_parts(file.path, (file.name, file.sha256), in_lines=file.plain)
    number, line = 1, 1
    while together := list(islice(parts, TOGETHER)):
        digests = keep_contents(batch, [Content(part, is_packed=True) for part in together])
        firsts: list[int | None] = []
        for part in together:
            firsts.append(line if file.plain else None)
            line += part.count(b"\n")
        numbers = list(range(number, number + len(together)))
        number += len(together)
        batch.append(
            "file_part",
            {
                "file_row": [file_row for _ in together],
                "part": numbers,
                "first_line": firsts,
                "sha256": digests,
            },
        )


def parts_kept(book: Book, file: tuple[int, int], name: str) -> Iterator[bytes]:
    """Yield the parts of a file that was loaded, named by batch and row.

    Raises: Refused when one was erased.
    """
    batch, row = file
    for packing, data in book.rows("sheets/parts_of_file", batch=batch, row=row):
        if data is None:
            raise Refused("file_part_erased", file=name)
        yield unpacked(packing, data)
