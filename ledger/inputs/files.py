"""Files as they were read: a row for each, and content kept by its digest."""

import hashlib
import mimetypes
from pathlib import Path

from ledger.store.batches import Batch
from ledger.store.book import Book
from ledger.tables.preflight import read_bytes, read_text
from ledger.tables.raw_files import Version, changed


def record_file(batch: Batch, path: Path, kind: str, read: Version | None = None) -> None:
    """Record that a small file was read: its name, digest, kind and encoding.

    Raises: Refused when it is no longer the version that was read.
    """
    file = read_text(path)
    if read and file.version != read:
        raise changed(file.name)
    row = {"name": file.name, "sha256": file.sha256, "kind": kind, "encoding": file.encoding}
    batch.append_row("file", row)


def keep_content(book: Book, batch: Batch, path: Path) -> str:
    """Keep a file's bytes in the book, once, and return their SHA-256 in hex.

    Raises: Refused when the file cannot be read.
    """
    data = read_bytes(path)
    digest = hashlib.sha256(data).hexdigest()
    if digest not in {row["sha256"] for row in book.current("content")}:
        kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
        row = {"sha256": digest, "media_type": kind, "byte_count": len(data), "data": data}
        batch.append_row("content", row)
    return digest
