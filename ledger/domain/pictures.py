"""What a picture is, told by how its bytes begin."""

# PNG: ISO/IEC 15948, 5.2. JPEG: ISO/IEC 10918-1, B.1.1.3 (start of image, then a marker).
SIGNATURES = {b"\x89PNG\r\n\x1a\n": "image/png", b"\xff\xd8\xff": "image/jpeg"}
BYTE_ORDER_MARK = b"\xef\xbb\xbf"


def picture_type(data: bytes) -> str | None:
    """Return the media type of a PNG, JPEG or SVG picture, None for anything else."""
    for signature, kind in SIGNATURES.items():
        if data.startswith(signature):
            return kind
    text = data.removeprefix(BYTE_ORDER_MARK).lstrip()
    is_drawing = text.startswith((b"<svg", b"<?xml", b"<!--")) and b"<svg" in text
    return "image/svg+xml" if is_drawing else None
