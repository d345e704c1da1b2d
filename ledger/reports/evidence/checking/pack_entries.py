"""The entries of a pack, and their sheet lines: whether they are as the sealed rows have them."""

import re
from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_HALF_UP, Decimal

from ledger.reports.evidence.checking.pack_reading import LINES, Broken, CsvFile, Json
from ledger.reports.evidence.checking.pack_seals import Columns, Sealed

# The columns of entries.csv that sealed rows prove, each by its name there.
PROVEN = {
    "day": "day",
    "worker": "worker_id",
    "sheet": "sheet",
    "code": "booking_code",
    "line": "line",
}
# Of each entry, parts of its time: their rework, and milliseconds.
Parts = defaultdict[str, list[tuple[str, int]]]
LINE_HEAD = {"sheet_line", "file", "line", "raw"}
RECKONED = ("entry", "hours", "ms", "rework")


def whole(text: str | None, where: str) -> int:
    """Return a whole number. Raises: Broken where there is none."""
    if not re.fullmatch("-?[0-9]{1,18}", text or ""):
        raise Broken(f"{where}: {text or 'nothing'} is not a whole number")
    return int(text or "")


def entries_in(sealed: Sealed) -> dict[str, Columns]:
    """Return each entry that has a sealed row, by its id; `of` is its sheet line.

    A line is an entry of its own unless it was held. Raises: Broken when a row is missing.
    """
    whats = {(batch, row["number"]): row for (t, batch, _), row in sealed.items() if t == "what"}
    lines = {}
    for (table, batch, number), row in sealed.items():
        if table == "line":
            what = whats.get((batch, row["what"]))
            if what is None:
                raise Broken(f"proof.json: line:{batch}.{number}: what it was booked to is missing")
            lines[f"{batch}.{number}"] = {**what, **row, "of": f"{batch}.{number}"}
    entries = {place: row for place, row in lines.items() if row["held"] is None}
    for (table, batch, number), row in sealed.items():
        if table == "entry":
            line = lines.get(f"{row['line_batch']}.{row['line_row']}")
            if line is None:
                raise Broken(f"proof.json: entry:{batch}.{number}: its sheet line is missing")
            entries[f"{batch}.{number}"] = {**row, "line": line["line"], "of": line["of"]}
    return entries


def fixed_entries(sealed: Sealed) -> set[str]:
    """Return the entries whose time counts no more: reversals, and what they reverse."""
    reversals = {
        f"{batch}.{number}": f"{row['reverses_batch']}.{row['reverses_row']}"
        for (table, batch, number), row in sealed.items()
        if table == "entry" and row["reverses_batch"] is not None
    }
    undone = set(reversals.values())
    return {*reversals, *(entry for by, entry in reversals.items() if by not in undone)}


def booked(sealed: Sealed, manifest: Json, *, by_rework: bool) -> Parts:
    """Return what sealed rows book to the change: of each entry, a part for each rework."""
    postings = [
        (entry, row, row["booked_rework"])
        for entry, row in entries_in(sealed).items()
        if "booked_to" in row
    ]
    postings += [
        (f"{row['entry_batch']}.{row['entry_row']}", row, row["rework"])
        for (table, *_), row in sealed.items()
        if table == "posting"
    ]
    fixed, sums = fixed_entries(sealed), defaultdict[tuple[str, str], int](int)
    for entry, row, rework in postings:
        is_here = [row["job"], row["booked_to"]] == [manifest["job"], manifest["change"]]
        if is_here and entry not in fixed:
            sums[entry, rework or ""] += whole(row["ms"], "proof.json")
    by_entry = Parts(list)
    for (entry, rework), ms in sums.items():
        if ms:
            by_entry[entry].append((rework if by_rework else "", ms))
    return by_entry


def in_hours(ms: int) -> str:
    """Return milliseconds as hours of four places, half away from zero."""
    return str((Decimal(ms) / 3_600_000).quantize(Decimal("0.0001"), ROUND_HALF_UP))


def broken_entries(entries_csv: CsvFile, sealed: Sealed, manifest: Json) -> Iterator[str]:
    """Yield each entry of entries.csv that is not as the sealed rows have it."""
    head, rows = entries_csv
    if not {"entry", "ms"} <= set(head):
        raise Broken("entries.csv: it has no column entry or ms")
    entries, of_line = entries_in(sealed), dict[str | None, str]()
    listed = Parts(list)
    for row in rows:
        entry, where = row["entry"], f"entries.csv: entry {row['entry']}"
        if entry not in entries:
            yield f"{where}: no sealed row has it"
            continue
        for name, column in {**PROVEN, "trade": "trade"}.items():
            expected = entries[entry][column] or ""
            if row.get(name, expected) != expected and (expected or name in PROVEN):
                yield f"{where}: {name} {row[name]}, {expected or 'none'} in the sealed row"
        line = entries[entry]["of"]
        if of_line.setdefault(line, entry) != entry:
            yield f"{where}: its sheet line {line} is that of entry {of_line[line]} too"
        ms = whole(row["ms"], where)
        if row.get("hours", in_hours(ms)) != in_hours(ms):
            yield f"{where}: {row['hours']} h are not {ms} ms"
        listed[entry].append((row.get("rework", ""), ms))
    proven = booked(sealed, manifest, by_rework="rework" in head)
    for entry in sorted(proven.keys() | listed.keys()):
        here, there = sorted(listed[entry]), sorted(proven[entry])
        if here != there:
            words = f"{parts_text(here)}, {parts_text(there)} in the sealed rows"
            yield f"entries.csv: entry {entry}: {words}"


def parts_text(pieces: list[tuple[str, int]]) -> str:
    """Return parts of an entry in words: each with its milliseconds, and its rework if any."""
    return " and ".join(f"{ms} ms {rework}".strip() for rework, ms in pieces) or "0 ms"


def broken_lines(lines_csv: CsvFile, sealed: Sealed) -> Iterator[str]:
    """Yield each sheet line whose number in its file is not the sealed one, and those missing."""
    lines = {f"{b}.{n}": row["line"] or "" for (t, b, n), row in sealed.items() if t == "line"}
    if set(lines_csv[0]) != LINE_HEAD:
        yield f"{LINES}: its columns are not those that a pack has"
    for row in lines_csv[1]:
        place = row.get("sheet_line", "")
        if place not in lines:
            yield f"{LINES}: {place}: no sealed row is left for it"
        elif lines.pop(place) != row.get("line"):
            yield f"{LINES}: {place}: its line is not the sealed one"
    yield from (f"{LINES}: {place}: missing" for place in lines)
