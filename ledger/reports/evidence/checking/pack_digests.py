"""The documents, attachments and timesheets of a pack: whether the record has their digests."""

import pathlib
import re
from collections.abc import Iterator

from ledger.reports.evidence.checking.pack_reading import FOLDERS, Json
from ledger.reports.evidence.checking.pack_seals import Columns, Place, Sealed, name_of, salted

ENDINGS = (".pdf", ".html", ".xml", "")
ERASED = "erased"


def safe_name(name: str) -> str:
    """Return a name as a file of the pack has it."""
    plain = pathlib.PurePosixPath(name.replace("\\", "/")).name
    return "".join(c if c.isalnum() or c in "._- " else "_" for c in plain).strip(". ") or "file"


def is_named(file: Json, row: Columns) -> bool:
    """Return whether a file has the document's number, or the name that was sealed, for a name."""
    name = re.sub(".*/[0-9]+ ", "", file["file"])
    if "document" in row:
        return name in {safe_name(f"{row['document']}{each}") for each in ENDINGS}
    named = file.get("name")
    if named is None:
        return name == ERASED
    return (
        name == safe_name(str(named)) and salted(file.get("name_salt"), named) == row["name_hash"]
    )


def is_of_change(place: Place, sealed: Sealed, manifest: Json) -> bool:
    """Return whether a row is of the change; of a timesheet, whether one of its lines is here.

    Without sealed lines nothing is known of a timesheet.
    """
    row = sealed[place]
    if place[0] != "file":
        return [row["job"], row["change"]] == [manifest["job"], manifest["change"]]
    files = {
        (batch, line["file_row"]) for (table, batch, _), line in sealed.items() if table == "line"
    }
    return not files or (place[1], str(place[2])) in files


def broken_texts(sealed: Sealed, manifest: Json) -> Iterator[str]:
    """Yield each file whose digest, name or change is not what was sealed in the record."""
    places = {name_of(place): place for place in sealed}
    taken = set()
    for each in manifest["files"]:
        folder, _, name = each["file"].partition("/")
        place = places.get(str(each.get("sealed_in")))
        if not name:
            continue
        if place is None or place[0] != FOLDERS[folder]:
            yield f"{each['file']}: no sealed row of the record has its digest"
            continue
        digest, where = salted(each.get("salt"), each["sha256"]), each["sealed_in"]
        if digest is None or digest != sealed[place]["sha256_hash"]:
            yield f"{each['file']}: its digest is not the one sealed in {where}"
        if not is_of_change(place, sealed, manifest):
            yield f"{each['file']}: {where} is not of the job and change of the pack"
        if not is_named(each, sealed[place]):
            yield f"{each['file']}: its name is not the one sealed in {where}"
        if place in taken:
            yield f"{each['file']}: another file is in the pack for {where}"
        taken.add(place)
