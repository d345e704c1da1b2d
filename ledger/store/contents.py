"""Content kept in the book by its digest: once, and packed where it is of any length."""

import hashlib
import zlib
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from ledger.store.batches import Batch
from ledger.store.book import Book, Row

PACKING = "zlib"
# The quickest: a higher one takes five times as long and leaves a fifth less.
LEVEL = 1
BYTES = "application/octet-stream"
# How many pieces of content are unpacked together.
TOGETHER = 64


@dataclass(frozen=True)
class Content:
    """Bytes to be kept, with their digest and what they are of."""

    data: bytes
    media_type: str = BYTES
    is_packed: bool = False

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.data).hexdigest()


def keep_content(batch: Batch, content: Content) -> str:
    """Keep content unless the book has it; return its digest."""
    digest = content.sha256
    if digest not in contents_known(batch.book):
        add_contents(batch, [content])
    return digest


def add_contents(batch: Batch, contents: Iterable[Content]) -> None:
    """Keep content that the book has not, each once."""
    new = {each.sha256: each for each in contents}
    batch.append(
        "content",
        {
            "sha256": list(new),
            "media_type": [each.media_type for each in new.values()],
            "byte_count": [len(each.data) for each in new.values()],
            "packing": [PACKING if each.is_packed else None for each in new.values()],
            "data": [_packed(each) for each in new.values()],
        },
    )


def contents_known(book: Book) -> set[str]:
    """Return the digests of what is kept."""
    return {digest for (digest,) in book.rows("store/contents_known")}


def _packed(content: Content) -> bytes:
    return zlib.compress(content.data, LEVEL) if content.is_packed else content.data


def unpacked(packing: str | None, data: bytes) -> bytes:
    """Return content as it was before it was packed."""
    return zlib.decompress(data) if packing == PACKING else bytes(data)


def broken_packed(book: Book) -> list[tuple[int, int]]:
    """Return batch and row of the first packed content that is not that of its digest, if any."""
    after = 0
    with ThreadPoolExecutor() as beside:
        while rows := book.rows("store/contents_packed", after=after, most=TOGETHER):
            for (batch, row, *_), is_whole in zip(rows, beside.map(_is_whole, rows), strict=True):
                if not is_whole:
                    return [(batch, row)]
            after += len(rows)
    return []


def _is_whole(packed: Row) -> bool:
    """Return whether a row of packed content unpacks to that of its digest and length."""
    _, _, digest, length, packing, data = packed
    try:
        whole = unpacked(packing, data)
    except zlib.error:
        return False
    return bool(hashlib.sha256(whole).hexdigest() == digest and len(whole) == length)
