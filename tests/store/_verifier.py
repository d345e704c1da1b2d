"""A second verifier of a book's seals, from its export alone.

It uses the standard library and nothing of the program; every rule of the seals (version 2) is
written a second time. Of the program's files it reads only the seal queries, for the order of the
columns.
"""

import re
import zlib
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

SEALS = Path(__file__).resolve().parents[2] / "queries" / "seals"
NOTHING_BEFORE = "0" * 64
BATCHES, ROOTS = "batch", "batch_table"
# Their rows number on after the sheet lines of their batch, so that a number names one entry.
AFTER_LINES = {"entry", "posting"}

Row = dict[str, str | None]


# --- reading -----------------------------------------------------------------------------------


def fields_of(text: str) -> list[list[str | None]]:
    """Return the records of a CSV text; a bare empty field is None, a quoted one is ""."""
    records: list[list[str | None]] = []
    record: list[str | None] = []
    place = 0
    while place < len(text):
        field, place = _field(text, place)
        record.append(field)
        if place >= len(text) or text[place] == "\n":
            records.append(record)
            record = []
        elif text[place] != ",":
            raise ValueError(f"character {place}: {text[place]!r} after a field")
        place += 1
    return records


def _field(text: str, start: int) -> tuple[str | None, int]:
    if not text.startswith('"', start):
        end = re.compile(r"[,\n]|\Z").search(text, start).start()
        return text[start:end] or None, end
    end = start + 1
    while not (text[end] == '"' and text[end + 1 : end + 2] != '"'):
        end += 2 if text[end] == '"' else 1
    return text[start + 1 : end].replace('""', '"'), end + 1


def table(folder: Path, name: str) -> list[Row]:
    """Return the rows of an exported table, their order as exported."""
    text = (folder / f"{name}.csv").read_bytes().decode()
    head, *rows = fields_of(text)
    return [dict(zip(head, row, strict=True)) for row in rows]


def sealed_columns(name: str, version: str) -> list[str]:
    """Return the columns of a table's row text in their order."""
    text = (SEALS / f"{name}.{version}.sql").read_text(encoding="utf-8")
    code = re.sub(r"--.*", "", text)
    return re.findall(r"\bsealed\((\w+)\)", code)


# --- hashing -----------------------------------------------------------------------------------

BETWEEN_COLUMNS, NULL = "\x1f", "\x1e"
MARKS = re.compile("[\x1d-\x1f]")
BELOW_A_NODE = 32


def hex_of(text: str) -> str:
    """Return the SHA-256 of a text in UTF-8, in hex."""
    return sha256(text.encode("utf-8")).hexdigest()


def row_text(row: Row, columns: list[str]) -> str:
    """Return a row's sealed columns as text. Raises: ValueError when one holds a mark."""
    fields = [row[column] for column in columns]
    if marked := [field for field in fields if field and MARKS.search(field)]:
        raise ValueError(f"a text holds a mark: {marked[0]!r}")
    return BETWEEN_COLUMNS.join(NULL if field is None else field for field in fields)


def leaf(row: Row, columns: list[str], table_secret: str) -> bytes:
    """Return the hash of a row: of the character 0, its salt in hex and its text."""
    salt = hex_of(f"{table_secret}:{int(row['row'])}")[:32]
    return bytes.fromhex(hex_of(f"0{salt}{row_text(row, columns)}"))


def tree_root(hashes: list[bytes]) -> bytes:
    """Return the root over leaves: nodes of up to 32 in order, one level at least."""
    above = [
        sha256(b"\x01" + b"".join(hashes[first : first + BELOW_A_NODE])).digest()
        for first in range(0, len(hashes), BELOW_A_NODE)
    ]
    return above[0] if len(above) == 1 else tree_root(above)


def with_length(field: str) -> bytes:
    """Return a field's bytes after their number and a colon."""
    content = field.encode("utf-8")
    return b"%d:%b" % (len(content), content)


def microseconds(text: str) -> str:
    """Return a UTC instant as exported in whole microseconds since 1970."""
    whole, _, part = text.partition(".")
    second = datetime.strptime(whole, "%Y-%m-%d %H:%M:%S").replace(tzinfo=UTC)
    seconds = (second - datetime(1970, 1, 1, tzinfo=UTC)) // timedelta(seconds=1)
    return str(seconds * 1_000_000 + int(part.ljust(6, "0")))


# --- verifying ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Reckoned:
    """What was reckoned again of a batch: its roots by table, and its head."""

    roots: dict[str, str]
    head: str


def rows_by_batch(rows: list[Row], before: dict[str, int]) -> dict[str, list[Row]]:
    """Return a table's rows by batch, in the order of their numbers.

    They count from 1, or from 1 after as many as `before` says of their batch.
    """
    by_batch: dict[str, list[Row]] = {}
    for row in rows:
        by_batch.setdefault(row["batch"], []).append(row)
    for batch, found in by_batch.items():
        found.sort(key=lambda row: int(row["row"]))
        numbers = [int(row["row"]) for row in found]
        first = before.get(batch, 0) + 1
        if numbers != list(range(first, first + len(found))):
            raise ValueError(f"batch {batch}: rows are numbered {numbers}")
    return by_batch


def reckoned(folder: Path) -> list[Reckoned]:
    """Return the roots and head of each batch, all reckoned from the rows of the export."""
    names = sorted(path.stem for path in folder.glob("*.csv") if path.stem not in {BATCHES, ROOTS})
    lines = Counter(str(row["batch"]) for row in table(folder, "line"))
    facts = {
        name: rows_by_batch(table(folder, name), lines if name in AFTER_LINES else Counter())
        for name in names
    }
    versions = {(r["sequence"], r["table_name"]): r["seal_version"] for r in table(folder, ROOTS)}
    found: list[Reckoned] = []
    for batch in table(folder, BATCHES):
        sequence = batch["sequence"]
        fields, roots = _head_fields(batch), {}
        for name in names:
            if rows := facts[name].get(sequence):
                version = versions[sequence, name]
                secret = hex_of(f"{batch['secret']}:{name}")
                columns = sealed_columns(name, version)
                roots[name] = tree_root([leaf(row, columns, secret) for row in rows]).hex()
                fields += [name, version, str(len(rows)), roots[name]]
        fields.append(found[-1].head if found else NOTHING_BEFORE)
        head = sha256(b"".join(map(with_length, fields))).hexdigest()
        found.append(Reckoned(roots, head))
    return found


def _head_fields(batch: Row) -> list[str]:
    moment = microseconds(batch["recorded_at"])
    names = ("actor_hash", "command_hash", "program_version", "schema_version")
    return [batch["sequence"], moment, *(batch[name] for name in names)]


def as_exported(folder: Path) -> list[Reckoned]:
    """Return the roots and head of each batch as the export says them."""
    roots: dict[str, dict[str, str]] = {}
    for row in table(folder, ROOTS):
        roots.setdefault(row["sequence"], {})[row["table_name"]] = row["root"]
    return [Reckoned(roots[row["sequence"]], row["head"]) for row in table(folder, BATCHES)]


def erased(folder: Path) -> set[tuple[str, str, str]]:
    """Return table, batch and row of what the export says was erased."""
    return {
        (row["table_name"], row["fact_batch"], row["fact_row"]) for row in table(folder, "erasure")
    }


def texts_not_sealed(folder: Path) -> list[tuple[str, str, str, str]]:
    """Return table, batch, row and column of erasable texts that do not have the sealed digest.

    A text that is gone though nothing says that it was erased is one of them.
    """
    gone = erased(folder)
    return [
        (name, batch, row["row"] if name != BATCHES else "0", column)
        for name in sorted(path.stem for path in folder.glob("*.csv"))
        for row in table(folder, name)
        for column in [each.removesuffix("_hash") for each in row if each.endswith("_hash")]
        for batch in [row["sequence" if name == BATCHES else "batch"]]
        if not _is_sealed(row, column, (name, batch, row.get("row", "0")) in gone)
    ]


def _is_sealed(row: Row, column: str, is_erased: bool) -> bool:
    text, salt, digest = row[column], row[f"{column}_salt"], row[f"{column}_hash"]
    if text is None or salt is None:
        return text is None and salt is None and (digest is None or is_erased)
    # Bytes are exported in hex.
    content = bytes.fromhex(text) if column == "data" else text.encode("utf-8")
    return sha256(salt.encode("ascii") + content).hexdigest() == digest


# The columns that hold the handle of a person; "erased" is one of whom no more is known.
PERSONS = {
    "baseline_change": ("person",),
    "change": ("requested_by",),
    "change_event": ("person",),
    "daywork_sheet": ("person",),
    "document": ("prepared_by",),
    "final_account": ("person",),
    "entry": ("approved_by",),
    "sending": ("sent_to", "replied_by"),
    "what": ("approved_by",),
}


def persons_not_named(folder: Path) -> list[tuple[str, str, str]]:
    """Return table, batch and row of each handle that is not that of exactly one known person."""
    rows = Counter(row["handle"] for row in table(folder, "person_name"))
    return [
        (name, row["batch"], row["row"])
        for name, columns in PERSONS.items()
        for row in table(folder, name)
        for column in columns
        if row[column] not in {None, "erased"} and rows[row[column]] != 1
    ]


def _content(row: Row) -> bytes:
    data = bytes.fromhex(row["data"] or "")
    return zlib.decompress(data) if row["packing"] == "zlib" else data


def file_as_it_came(folder: Path, name: str) -> bytes:
    """Return the bytes of a file of sheets, put together from its parts."""
    files = [row for row in table(folder, "file") if (row["name"], row["kind"]) == (name, "sheets")]
    contents = {row["sha256"]: _content(row) for row in table(folder, "content")}
    parts = [
        (int(row["part"] or 0), contents[row["sha256"]])
        for row in table(folder, "file_part")
        if (row["batch"], row["file_row"]) == (files[0]["batch"], files[0]["row"])
    ]
    return b"".join(data for _, data in sorted(parts))


def contents_not_found(folder: Path) -> list[str]:
    """Return the digests whose exported bytes are not those that they find."""
    contents = [(row, _content(row)) for row in table(folder, "content") if row["data"]]
    return [
        row["sha256"]
        for row, data in contents
        if (sha256(data).hexdigest(), str(len(data))) != (row["sha256"], row["byte_count"])
    ]
