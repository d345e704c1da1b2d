"""Check an evidence pack: every file against its digest, every sealed row up to the record stamp.

Run it in the folder that the pack was unpacked to: python3 check_pack.py
It needs Python 3.10 or later and nothing else, and reads no file from elsewhere.
"""

import csv
import hashlib
import json
import pathlib
import sys
from collections.abc import Iterator
from typing import Any

Json = dict[str, Any]

FAN = 32  # Hashes below a node of the tree.
NULL = "\x1e"  # In the text of a row, what has no value; columns stand apart by U+001F.
OWN = ("manifest.json", "check_pack.py")


def sha256(data: bytes) -> str:
    """Return the SHA-256 of bytes in hex."""
    return hashlib.sha256(data).hexdigest()


def changed_files(folder: pathlib.Path, manifest: Json) -> Iterator[str]:
    """Yield what is wrong with the files of the pack."""
    listed = {each["file"]: each["sha256"] for each in manifest["files"]}
    for name, digest in sorted(listed.items()):
        path = folder / name
        if not path.is_file():
            yield f"{name}: missing"
        elif sha256(path.read_bytes()) != digest:
            yield f"{name}: changed, its SHA-256 is not the one in manifest.json"
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and name not in listed and name not in OWN:
            yield f"{name}: not part of the pack"


def leaf(row: Json) -> bytes:
    """Return the hash of a sealed row: of the character 0, its salt, and its text."""
    text = "\x1f".join(NULL if field is None else field for field in row["fields"])
    return bytes.fromhex(sha256(("0" + row["salt"] + text).encode()))


def root(tree: Json, leaves: dict[int, bytes]) -> str:
    """Return the root over leaves at their places, with the hashes beside them, in hex."""
    known: dict[int, bytes] = dict(leaves)
    size: int = tree["row_count"]
    for beside in tree["siblings"]:
        level = {**{int(place): bytes.fromhex(h) for place, h in beside.items()}, **known}
        known = {}
        for node in sorted({place // FAN for place in level}):
            below = range(node * FAN, min(node * FAN + FAN, size))
            if any(place not in level for place in below):
                raise ValueError("a hash is missing")
            joined = b"".join(level[place] for place in below)
            known[node] = bytes.fromhex(sha256(b"\x01" + joined))
        size = -(-size // FAN)
    if size != 1:
        raise ValueError("the tree does not end in one root")
    return known[0].hex()


def head(batch: Json) -> str:
    """Return the head of a batch in hex: of its fields and tables, each with its length."""
    fields = [str(batch[name]) for name in ("sequence", "recorded_us")]
    fields += [batch[name] for name in ("actor_hash", "command_hash", "program_version")]
    fields.append(str(batch["schema_version"]))
    for table in sorted(batch["tables"], key=lambda each: each["table"]):
        fields += [table["table"], str(table["version"]), str(table["row_count"]), table["root"]]
    fields.append(batch["previous_head"])
    return sha256("".join(f"{len(each.encode())}:{each}" for each in fields).encode())


def broken_seals(proof: Json) -> Iterator[str]:
    """Yield what of the sealed rows does not lead to the record stamp."""
    batches = {each["sequence"]: each for each in proof["batches"]}
    roots = {
        (number, table["table"]): table["root"]
        for number, batch in batches.items()
        for table in batch["tables"]
    }
    for tree in proof["trees"]:
        batch, table = tree["batch"], tree["table"]
        leaves = {
            row["row"] - tree["first_row"]: leaf(row)
            for row in proof["rows"]
            if (row["batch"], row["table"]) == (batch, table)
        }
        where = f"proof.json: batch {batch}, table {table}"
        try:
            if root(tree, leaves) != roots.get((batch, table)):
                yield f"{where}: the rows do not lead to the root that was sealed"
        except ValueError as error:
            yield f"{where}: {error}"
    covered = {(tree["batch"], tree["table"]) for tree in proof["trees"]}
    for row in proof["rows"]:
        if (row["batch"], row["table"]) not in covered:
            yield f"proof.json: {row['table']}:{row['batch']}.{row['row']}: nothing proves it"
    yield from broken_chain(proof, batches)


def broken_chain(proof: Json, batches: dict[int, Json]) -> Iterator[str]:
    """Yield what of the batches does not lead to the record stamp."""
    before: Json = {}
    for number in sorted(batches):
        batch = batches[number]
        if head(batch) != batch["head"]:
            yield f"proof.json: batch {number}: its head is not that of its fields"
        if before and (
            number != before["sequence"] + 1 or batch["previous_head"] != before["head"]
        ):
            yield f"proof.json: batch {number}: it does not follow the batch before it"
        before = batch
    stamp = f"{before['sequence']}.{before['head']}" if before else ""
    if before and stamp != proof["stamp"]:
        yield "proof.json: the batches do not lead to the record stamp"


def field_of(proof: Json, row: Json, name: str) -> str | None:
    """Return one sealed column of a row."""
    field: str | None = row["fields"][proof["columns"][row["table"]].index(name)]
    return field


def broken_texts(proof: Json, manifest: Json) -> Iterator[str]:
    """Yield each file whose digest is not the one that was sealed in the record."""
    rows = {f"{row['table']}:{row['batch']}.{row['row']}": row for row in proof["rows"]}
    for each in manifest["files"]:
        if "sealed_in" not in each:
            continue
        row = rows.get(each["sealed_in"])
        sealed = field_of(proof, row, "sha256_hash") if row else None
        if sealed != sha256((each["salt"] + each["sha256"]).encode()):
            yield f"{each['file']}: its digest is not the one sealed in {each['sealed_in']}"


def booked_by_entry(proof: Json, change: str, job: str) -> dict[str, int]:
    """Return the milliseconds that sealed rows book to the change, by entry."""
    whats = {field_of(proof, row, "number"): row for row in proof["rows"] if row["table"] == "what"}
    booked: dict[str, int] = {}
    for row in proof["rows"]:
        if row["table"] == "line":
            entry, place = f"{row['batch']}.{row['row']}", whats[field_of(proof, row, "what")]
        elif row["table"] == "posting":
            numbers = (field_of(proof, row, name) for name in ("entry_batch", "entry_row"))
            entry, place = ".".join(str(each) for each in numbers), row
        else:
            continue
        if [field_of(proof, place, name) for name in ("job", "booked_to")] == [job, change]:
            booked[entry] = booked.get(entry, 0) + int(field_of(proof, row, "ms") or 0)
    return {entry: ms for entry, ms in booked.items() if ms}


def differing_entries(folder: pathlib.Path, proof: Json, manifest: Json) -> Iterator[str]:
    """Yield each entry of entries.csv whose time is not what the sealed rows book."""
    sealed = booked_by_entry(proof, manifest["change"], manifest["job"])
    listed: dict[str, int] = {}
    with (folder / "entries.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            listed[row["entry"]] = listed.get(row["entry"], 0) + int(row["ms"])
    for entry in sorted(sealed.keys() | listed.keys()):
        if sealed.get(entry, 0) != listed.get(entry, 0):
            yield (
                f"entries.csv: entry {entry}: {listed.get(entry, 0)} ms, "
                f"{sealed.get(entry, 0)} ms in the sealed rows"
            )


def faults_of(folder: pathlib.Path) -> tuple[list[str], list[str]]:
    """Return what is wrong with the pack, and what was checked in words."""
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    faults = list(changed_files(folder, manifest))
    checked = [f"{len(manifest['files'])} files are as they were packed"]
    if faults:
        return faults, checked
    proof = json.loads((folder / "proof.json").read_text(encoding="utf-8"))
    faults += broken_seals(proof)
    faults += broken_texts(proof, manifest)
    if manifest["with_sealed_entries"] and not faults:
        faults += differing_entries(folder, proof, manifest)
        checked.append("the hours of entries.csv are those of the sealed rows")
    rows = len(proof["rows"])
    said = f"{rows} sealed rows lead to" if rows else "no sealed rows are in it; it was made at"
    checked.append(f"{said} record stamp {proof['stamp']}")
    checked.append("compare this stamp with one that you had from the yard at an earlier date")
    return faults, checked


def main() -> int:
    """Print what was checked, or what is wrong. Returns the exit code."""
    folder = pathlib.Path(__file__).resolve().parent
    faults, checked = faults_of(folder)
    print("\n".join(faults or checked))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
