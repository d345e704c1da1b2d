"""From the sealed rows of a pack to its record stamp: rows, trees, and the chain of batches."""

import re
from collections import defaultdict
from collections.abc import Iterator

from ledger.reports.evidence.checking.pack_reading import Json, sha256

Place = tuple[str, int, int]  # Table, batch and row.
Columns = dict[str, str | None]
Sealed = dict[Place, Columns]

FAN = 32  # Hashes below a node of the tree.
NULL = "\x1e"  # In the text of a row, what has no value; columns stand apart by U+001F.
KEPT_APART = re.compile("[\x1d-\x1f]")  # No text of a row has them.
SALT, DIGEST = re.compile("[0-9a-f]{32}"), re.compile("[0-9a-f]{64}")
SEAL_VERSION = 2
# The sealed columns of each table, in their order.
COLUMNS = {
    "attachment": "job change event day revision name_hash sha256_hash",
    "change": "job change title_hash requested_by requested_on change_basis origin "
    "description_hash decision_needed_by days_requested",
    "change_event": "job change event day person revision reference_hash valid_until rough "
    "not_to_exceed days_granted condition_hash agreed_value agreed_ms days_requested aware_on "
    "received_on document_hash note_hash",
    "document": "kind job change revision day_from day_to mark series number document issued_on "
    "prepared_by known_at content_digest_hash sha256_hash retain_until claim credits due_on "
    "currency particulars_hash",
    "entry": "line_batch line_row sheet worker_id day ms start_time finish_time break_minutes "
    "booking_code job_given note_hash pay_class trade rework approved_by reverses_batch "
    "reverses_row",
    "file": "name_hash sha256_hash kind layout encoding default_job lines_read booked held "
    "already_booked already_held left_out",
    "line": "file_row line place sheet worker_id day ms start_time finish_time break_minutes what "
    "note",
    "posting": "entry_batch entry_row worker_id day trade pay_class job booked_to cause rework ms "
    "reason rule",
    "what": "number held booking_code job_given pay_class trade rework approved_by job booked_to "
    "cause booked_rework reason rule",
}
FOLLOWING = ("entry", "posting")  # Numbered on after the lines of their batch.


def salted(salt: object, text: str) -> str | None:
    """Return what is sealed of a text with its salt; None where the salt is none."""
    is_salt = isinstance(salt, str) and SALT.fullmatch(salt)
    return sha256(f"{salt}{text}".encode()) if is_salt else None


def leaf(row: Json) -> bytes:
    """Return the hash of a sealed row: of the character 0, its salt, and its text."""
    text = "\x1f".join(NULL if field is None else field for field in row["fields"])
    return bytes.fromhex(sha256(("0" + row["salt"] + text).encode()))


def hashes(beside: Json) -> dict[int, bytes]:
    """Return the hashes of a level by their places. Raises: ValueError for what is none."""
    for place, text in beside.items():
        if not (place.isascii() and place.isdigit() and isinstance(text, str)):
            raise ValueError("a hash is not one, or has no place")
        if not DIGEST.fullmatch(text):
            raise ValueError("a hash is not as long as one")
    return {int(place): bytes.fromhex(text) for place, text in beside.items()}


def root(tree: Json, leaves: dict[int, bytes]) -> str:
    """Return the root over leaves at their places, with the hashes beside them, in hex.

    Raises: ValueError when a hash is missing, or a row or a hash stands where the tree has none.
    """
    known: dict[int, bytes] = dict(leaves)
    size: int = tree["row_count"]
    for beside in tree["siblings"]:
        level = {**hashes(beside), **known}
        if len(level) < len(beside) + len(known):
            raise ValueError("two hashes stand at one place")
        if not all(0 <= place < size for place in level):
            raise ValueError("a row or a hash stands where the tree has none")
        known = {}
        for node in sorted({place // FAN for place in level}):
            below = range(node * FAN, min(node * FAN + FAN, size))
            if any(place not in level for place in below):
                raise ValueError("a hash is missing")
            joined = b"".join(level[place] for place in below)
            known[node] = bytes.fromhex(sha256(b"\x01" + joined))
        size = -(-size // FAN)
    if size != 1 or not known:
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
    yield from broken_rows(proof)
    yield from broken_trees(proof)
    yield from broken_chain(proof)


def broken_rows(proof: Json) -> Iterator[str]:
    """Yield what is no sealed row, or stands there twice."""
    for table, columns in proof["columns"].items():
        if columns != COLUMNS.get(table, "").split():
            yield f"proof.json: the columns of {table} are not those that are sealed"
    seen: set[Place] = set()
    for row in proof["rows"]:
        place, fields = (row["table"], row["batch"], row["row"]), row["fields"]
        where = f"proof.json: {row['table']}:{row['batch']}.{row['row']}"
        if place in seen:
            yield f"{where}: it stands there twice"
        seen.add(place)
        if not fields or len(fields) != len(COLUMNS.get(row["table"], "").split()):
            yield f"{where}: it has not the columns of a sealed row"
        marked = any(KEPT_APART.search(field) for field in fields if field is not None)
        if marked or not SALT.fullmatch(row["salt"]):
            yield f"{where}: it has not the text or the salt of a sealed row"


def broken_trees(proof: Json) -> Iterator[str]:
    """Yield each tree whose rows are not those that its batch sealed, and rows without a tree."""
    seals = {
        (batch["sequence"], seal["table"]): seal
        for batch in proof["batches"]
        for seal in batch["tables"]
    }
    of_tree: dict[tuple[int, str], dict[int, bytes]] = defaultdict(dict)
    for row in proof["rows"]:
        of_tree[row["batch"], row["table"]][row["row"]] = leaf(row)
    seen = set()
    for tree in proof["trees"]:
        batch, table = key = tree["batch"], tree["table"]
        where = f"proof.json: batch {batch}, table {table}"
        if key in seen:
            yield f"{where}: its tree stands there twice"
        seen.add(key)
        lines = seals.get((batch, "line"), {"row_count": 0})["row_count"]
        first, seal = 1 + (lines if table in FOLLOWING else 0), seals.get(key, {})
        as_sealed = (seal.get("version"), seal.get("row_count"), first)
        if as_sealed != (SEAL_VERSION, tree["row_count"], tree["first_row"]):
            yield f"{where}: its version, number of rows or first row is not as it was sealed"
        leaves = {number - first: each for number, each in of_tree[key].items()}
        try:
            if root(tree, leaves) != seal.get("root"):
                yield f"{where}: the rows do not lead to the root that was sealed"
        except ValueError as error:
            yield f"{where}: {error}"
    for row in proof["rows"]:
        if (row["batch"], row["table"]) not in seen:
            yield f"proof.json: {row['table']}:{row['batch']}.{row['row']}: nothing proves it"


def broken_chain(proof: Json) -> Iterator[str]:
    """Yield what of the batches does not lead to the record stamp."""
    before: Json = {}
    for batch in sorted(proof["batches"], key=lambda each: int(each["sequence"])):
        number, tables = batch["sequence"], [seal["table"] for seal in batch["tables"]]
        if head(batch) != batch["head"]:
            yield f"proof.json: batch {number}: its head is not that of its fields"
        if len(set(tables)) < len(tables):
            yield f"proof.json: batch {number}: a table stands there twice"
        if before and number == before["sequence"]:
            yield f"proof.json: batch {number}: it stands there twice"
        elif before and (
            number != before["sequence"] + 1 or batch["previous_head"] != before["head"]
        ):
            yield f"proof.json: batch {number}: it does not follow the batch before it"
        before = batch
    if not before or f"{before['sequence']}.{before['head']}" != proof["stamp"]:
        yield "proof.json: the batches do not lead to the record stamp"


def name_of(place: Place) -> str:
    """Return how a sealed row is named: table, batch and row."""
    return f"{place[0]}:{place[1]}.{place[2]}"


def sealed_rows(proof: Json) -> Sealed:
    """Return the sealed rows by table, batch and row, each with its columns."""
    return {
        (row["table"], row["batch"], row["row"]): dict(
            zip(COLUMNS[row["table"]].split(), row["fields"], strict=True)
        )
        for row in proof["rows"]
    }
