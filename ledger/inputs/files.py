"""Files as they were read: a row for each, and content kept by its digest."""

import mimetypes
from pathlib import Path

from ledger.store.batches import Batch
from ledger.store.contents import BYTES, Content, keep_content
from ledger.tables.layouts import Layout
from ledger.tables.raw_files import FileVersion, changed
from ledger.tables.whole_files import read_bytes, read_text


def record_file(
    batch: Batch,
    path: Path,
    kind: str,
    read: FileVersion | None = None,
    layout: Layout | None = None,
) -> None:
    """Record that a small file was read: its name, digest, kind, encoding and layout.

    Raises: Refused when it is no longer the version that was read.
    """
    file = read_text(path, layout.encoding if layout else None)
    if read and file.version != read:
        raise changed(file.name)
    row = {"name": file.name, "sha256": file.sha256, "kind": kind, "encoding": file.encoding}
    batch.append_row("file", row | ({"layout": layout.recorded} if layout else {}))


def keep_file(batch: Batch, path: Path) -> str:
    """Keep a file's bytes in the book, once, and return their SHA-256 in hex.

    Raises: Refused when the file cannot be read.
    """
    kind = mimetypes.guess_type(path.name)[0] or BYTES
    return keep_content(batch, Content(read_bytes(path), kind))
