"""The files of a pack as they are read: JSON of a shape, CSV with a head, all by their digests."""

import csv
import hashlib
import json
import pathlib
import re
from collections.abc import Iterator
from typing import Any

Json = dict[str, Any]
CsvFile = tuple[list[str], list[dict[str, str]]]  # A head, and the rows by it.

OWN = ("manifest.json", "check_pack.py")
ALWAYS = ("entries.csv", "events.csv", "evidence.pdf", "proof.json")
LINES = "sheet_lines.csv"
# The folders of a pack, and the table whose rows have the digests of the files in each.
FOLDERS = {"documents": "document", "attachments": "attachment", "sheets": "file"}
NAMES = re.compile(rf"(?:{'|'.join(FOLDERS)})/[0-9]{{2,}} [\w.\- ]+")
# What both JSON files have at least: a dict its names, a list any number of one shape.
SEAL = {"table": str, "version": int, "row_count": int, "root": str}
PROOF = {
    "stamp": str,
    "columns": dict,
    "rows": [{"table": str, "batch": int, "row": int, "salt": str, "fields": [(str, None)]}],
    "trees": [{"table": str, "batch": int, "first_row": int, "row_count": int, "siblings": [dict]}],
    "batches": [
        {
            **dict.fromkeys(("sequence", "recorded_us", "schema_version"), int),
            **dict.fromkeys(("actor_hash", "command_hash", "program_version"), str),
            **dict.fromkeys(("previous_head", "head"), str),
            "tables": [SEAL],
        }
    ],
}
MANIFEST = {
    "job": str,
    "change": str,
    "with_sealed_entries": bool,
    "files": [{"file": str, "sha256": str}],
}


class Broken(Exception):
    """A file of the pack that cannot be read, or is not as a pack has it."""


def sha256(data: bytes) -> str:
    """Return the SHA-256 of bytes in hex."""
    return hashlib.sha256(data).hexdigest()


def fits(value: object, shape: object) -> bool:
    """Return whether a value of JSON has a shape: of a dict its keys, of a list each member."""
    if isinstance(shape, dict):
        return isinstance(value, dict) and all(
            name in value and fits(value[name], each) for name, each in shape.items()
        )
    if isinstance(shape, list):
        return isinstance(value, list) and all(fits(each, shape[0]) for each in value)
    if isinstance(shape, tuple):
        return any(fits(value, each) for each in shape)
    return value is None if shape is None else type(value) is shape


def once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    """Return a JSON object. Raises: ValueError for a name that stands there twice."""
    members = dict(pairs)
    if len(members) < len(pairs):
        raise ValueError("a name stands there twice")
    return members


def read_json(folder: pathlib.Path, name: str, shape: Json) -> Json:
    """Return a JSON file of the pack. Raises: Broken when it is not one of that shape."""
    try:
        content = json.loads((folder / name).read_text(encoding="utf-8"), object_pairs_hook=once)
        json.dumps(content, ensure_ascii=False).encode()  # A half of a character has no bytes.
    except OSError:
        raise Broken(f"{name}: missing, or it cannot be read") from None
    except (ValueError, RecursionError) as error:
        raise Broken(f"{name}: not valid JSON: {error}") from None
    if not fits(content, shape):
        raise Broken(f"{name}: something is missing in it, or is of another kind than in a pack")
    return dict(content)


def read_csv(folder: pathlib.Path, name: str) -> CsvFile:
    """Return the head and the rows of a CSV file. Raises: Broken when it is not a table."""
    usual = csv.field_size_limit(1 << 30)
    try:
        with (folder / name).open(encoding="utf-8", newline="") as file:
            head, *rows = csv.reader(file, strict=True)
    except (ValueError, csv.Error):
        raise Broken(f"{name}: not a CSV file in UTF-8 with a head") from None
    finally:
        csv.field_size_limit(usual)
    if len(set(head)) < len(head) or any(len(row) != len(head) for row in rows):
        raise Broken(f"{name}: a column stands there twice, or a row is not as long as the head")
    return head, [dict(zip(head, row, strict=True)) for row in rows]


def changed_files(folder: pathlib.Path, manifest: Json) -> Iterator[str]:
    """Yield what is wrong with the files of the pack."""
    listed: set[str] = set()
    for name, digest in sorted((each["file"], each["sha256"]) for each in manifest["files"]):
        path = folder / name
        if name in listed:
            yield f"{name}: listed twice in manifest.json"
        elif name not in (*ALWAYS, LINES) and not NAMES.fullmatch(name):
            yield f"{name}: not a file that a pack has"
        elif not path.is_file():
            yield f"{name}: missing"
        elif sha256(path.read_bytes()) != digest:
            yield f"{name}: changed, its SHA-256 is not the one in manifest.json"
        listed.add(name)
    for name in ALWAYS:
        if name not in listed:
            yield f"{name}: not listed in manifest.json"
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and name not in listed and name not in OWN:
            yield f"{name}: not part of the pack"
