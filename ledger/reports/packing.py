"""Files together in one ZIP, whose bytes follow from what is in it and from an instant."""

import io
import zipfile
from collections.abc import Mapping
from datetime import datetime
from pathlib import PurePosixPath

FIRST_YEAR = 1980  # Of a ZIP.


def packed(content: Mapping[str, bytes], instant: datetime) -> bytes:
    """Return files by their names as a ZIP; the same files and instant give the same bytes."""
    made = io.BytesIO()
    when = max(instant.year, FIRST_YEAR), *instant.timetuple()[1:6]
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, data in sorted(content.items()):
            entry = zipfile.ZipInfo(name, when)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            pack.writestr(entry, data)
    return made.getvalue()


def safe_name(name: str) -> str:
    """Return a file's name without what another system may not take."""
    plain = PurePosixPath(name.replace("\\", "/")).name
    return "".join(c if c.isalnum() or c in "._- " else "_" for c in plain).strip(". ") or "file"
