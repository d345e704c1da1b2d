"""A workbook's parts, unpacked piece by piece and measured before any of them is read whole.

The library that reads the values makes a table as wide and long as its furthest cell, and repeats
a text as often as cells refer to it: a small file could ask for more memory than there is.
"""

import io
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass

from ledger.errors import Refused
from ledger.tables.workbook_extent import OdsExtents, XlsxExtents

# What all parts may unpack to.
LARGEST = 1_000_000_000
MOST_PARTS = 10_000
PIECE = 1_000_000
# Nothing of these folders is read: drawings, pictures, what other programs left.
_LEFT_OUT = (
    *("customxml/", "docprops/", "xl/charts/", "xl/drawings/", "xl/embeddings/", "xl/media/"),
    *("configurations2/", "object", "pictures/", "thumbnails/", "xl/printersettings/"),
)
_LOCAL, _CENTRAL, _END = "<4s5H3L2H", "<4s6H3L5H2L", "<4s4H2LH"
_IN_UTF_8, _NOT_BEFORE_1980 = 0x800, 0x21


@dataclass(frozen=True)
class Workbook:
    """An archive with the parts that are read, each of them sound, and its kind."""

    kind: str
    archive: bytes


def checked(name: str, data: bytes) -> Workbook:
    """Return a workbook whose parts fit what they say of themselves, and the bounds.

    Raises: Refused for one that is too large or no workbook; BadZipFile, zlib.error, ExpatError
    and ValueError for one that is broken.
    """
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        archive_parts = [part for part in archive.infolist() if not part.is_dir()]
    if sum(part.file_size for part in archive_parts) > LARGEST:
        raise Refused("workbook_too_large", file=name)
    names = [part.filename.lower() for part in archive_parts]
    if len(archive_parts) > MOST_PARTS or len(set(names)) < len(names):
        raise zipfile.BadZipFile
    kind = _kind(name, set(names))
    extents = (OdsExtents if kind == "ods" else XlsxExtents)()
    kept = [part for part in archive_parts if _is_read(part.filename.lower())]
    for part in kept:
        if part.filename.lower() != "mimetype":
            extents.measure(pieces_of(data, part))
    if extents.needs_texts:
        for part in kept:
            extents.measure_texts(pieces_of(data, part))
    extents.refuse_too_large(name)
    return Workbook(kind, _archive_of(data, kept))


def _kind(name: str, names: set[str]) -> str:
    if "content.xml" in names and not any(each.startswith("xl/") for each in names):
        return "ods"
    if "[content_types].xml" in names and not names & {"content.xml", "xl/workbook.bin"}:
        return "xlsx"
    raise Refused("archive_unknown", file=name)


def _is_read(name: str) -> bool:
    return name == "mimetype" or (
        name.endswith((".xml", ".rels")) and not name.startswith(_LEFT_OUT)
    )


def _packed(data: bytes, part: zipfile.ZipInfo) -> memoryview:
    """Return the bytes of a part as they are packed."""
    at = part.header_offset
    if part.flag_bits & 1 or data[at : at + 4] != b"PK\x03\x04":
        raise zipfile.BadZipFile
    lengths = struct.unpack_from("<2H", data, at + 26)
    start = at + 30 + sum(lengths)
    packed = memoryview(data)[start : start + part.compress_size]
    if len(packed) < part.compress_size:
        raise zipfile.BadZipFile
    return packed


def pieces_of(data: bytes, part: zipfile.ZipInfo) -> Iterator[bytes]:
    """Yield a part unpacked, a piece at a time.

    Raises: BadZipFile when it is longer, shorter or other than the archive says.
    """
    packed = _packed(data, part)
    length = checksum = 0
    for piece in _inflated(packed, part.compress_type):
        length += len(piece)
        if length > part.file_size:
            raise zipfile.BadZipFile
        checksum = zlib.crc32(piece, checksum)
        yield piece
    if length != part.file_size or checksum != part.CRC:
        raise zipfile.BadZipFile


def _inflated(packed: memoryview, method: int) -> Iterator[bytes]:
    if method == zipfile.ZIP_STORED:
        for at in range(0, len(packed), PIECE):
            yield bytes(packed[at : at + PIECE])
        return
    if method != zipfile.ZIP_DEFLATED:
        raise zipfile.BadZipFile
    unpacking = zlib.decompressobj(-zlib.MAX_WBITS)
    for at in range(0, len(packed), PIECE):
        piece = unpacking.decompress(packed[at : at + PIECE], PIECE)
        while piece:
            yield piece
            piece = unpacking.decompress(unpacking.unconsumed_tail, PIECE)
    if not unpacking.eof or unpacking.unused_data:
        raise zipfile.BadZipFile


def _archive_of(data: bytes, archive_parts: list[zipfile.ZipInfo]) -> bytes:
    """Return an archive of these parts, packed as they were: all that is in it was measured.

    Source: PKWARE, APPNOTE.TXT, 4.3 (local file header, central directory, its end).
    """
    made, directory = io.BytesIO(), io.BytesIO()
    for part in archive_parts:
        name, at = part.filename.encode(), made.tell()
        sizes = (part.CRC, part.compress_size, part.file_size, len(name), 0)
        head = (20, _IN_UTF_8, part.compress_type, 0, _NOT_BEFORE_1980, *sizes)
        made.write(struct.pack(_LOCAL, b"PK\x03\x04", *head) + name)
        made.write(_packed(data, part))
        directory.write(struct.pack(_CENTRAL, b"PK\x01\x02", 20, *head, 0, 0, 0, 0, at) + name)
    at, listed = made.tell(), directory.getvalue()
    count = len(archive_parts)
    made.write(listed)
    made.write(struct.pack(_END, b"PK\x05\x06", 0, 0, count, count, len(listed), at, 0))
    return made.getvalue()
