"""A picture is known by its bytes, never by its name."""

import pytest

from ledger.domain.pictures import picture_type


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"\x89PNG\r\n\x1a\n....", "image/png"),
        (b"\xff\xd8\xff\xe0....", "image/jpeg"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"/>', "image/svg+xml"),
        (b'\xef\xbb\xbf<?xml version="1.0"?>\n<!-- a --><svg/>', "image/svg+xml"),
        (b"<!-- a mark --> <svg/>", "image/svg+xml"),
        (b"", None),
        (b"<html><svg/></html>", None),
        (b"<?xml version='1.0'?><html/>", None),
        (b"GIF89a", None),
        (b"MZ\x90", None),
    ],
)
def test_pictures_are_told_by_their_beginning(data: bytes, expected: str | None) -> None:
    """PNG, JPEG and SVG are pictures; nothing else is."""
    assert picture_type(data) == expected
