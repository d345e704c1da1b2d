"""Check an evidence pack: its files, and what sealed rows of the record prove of them.

Run it in the folder that the pack was unpacked to: python3 -I check_pack.py
It needs Python 3.10 or later and nothing else, and reads no file from elsewhere. Record stamps that
you had from the yard are looked for among the batches: python3 -I check_pack.py STAMP
"""

import pathlib
import re
import sys
from collections.abc import Iterator, Sequence

from ledger.reports.evidence.checking.pack_digests import broken_texts
from ledger.reports.evidence.checking.pack_entries import (
    PROVEN,
    RECKONED,
    broken_entries,
    broken_lines,
    in_hours,
)
from ledger.reports.evidence.checking.pack_events import EVENTS, UNPROVEN, broken_events
from ledger.reports.evidence.checking.pack_reading import (
    FOLDERS,
    LINES,
    MANIFEST,
    PROOF,
    Broken,
    CsvFile,
    Json,
    changed_files,
    read_csv,
    read_json,
)
from ledger.reports.evidence.checking.pack_seals import Sealed, broken_seals, sealed_rows

OF_ENTRIES = {"line", "what", "entry", "posting"}
STAMP = re.compile("([0-9]+)[.]([0-9a-f]{64})")


def strange_stamps(proof: Json, stamps: Sequence[str]) -> Iterator[str]:
    """Yield each of the stamps given that is not one of this record."""
    heads = {str(batch["sequence"]): batch["head"] for batch in proof["batches"]}
    for stamp in stamps:
        match = STAMP.fullmatch(stamp)
        if match is None:
            yield f"{stamp}: not a record stamp, which is a number, a point and 64 digits"
        elif heads.get(match[1], match[2]) != match[2]:
            yield f"{stamp}: not of this record, whose batch {match[1]} has another head"


def stamp_words(proof: Json, stamps: Sequence[str]) -> Iterator[str]:
    """Yield what the stamps given prove, and what rests on the pack's own without them."""
    here = {f"{batch['sequence']}.{batch['head']}" for batch in proof["batches"]}
    for stamp in stamps:
        if stamp in here:
            yield f"record stamp {stamp}, which you gave, is of this record"
        else:
            yield f"record stamp {stamp}, which you gave, is of a batch that is not here"
    if not here & set(stamps):
        yield (
            "all of this rests on that record stamp: a record that was made up leads to one too; "
            "compare it with a stamp that you had from the yard at an earlier date, or run: "
            "python3 -I check_pack.py STAMP"
        )
    yield (
        "what was left out cannot be seen: a document or an event, or what moved, reversed, "
        "corrected or withdrew a sealed row here later"
    )


def digest_words(sealed: Sealed, manifest: Json) -> Iterator[str]:
    """Yield how many files and events are as they were sealed, and how many files are not here."""
    names = [each["file"].partition("/")[0] for each in manifest["files"]]
    counts = [f"{names.count(folder)} in {folder}/" for folder in FOLDERS]
    yield f"digests proven by sealed rows: {', '.join(counts)}"
    events = sum(place[0] in ("change", "change_event") for place in sealed)
    yield f"events proven by sealed rows: {events} in {EVENTS}"
    lacking = sum(place[0] in FOLDERS.values() for place in sealed)
    if lacking := lacking - sum(map(names.count, FOLDERS)):
        yield f"sealed digests whose file is not here, as it was erased or left out: {lacking}"


def entry_words(entries: CsvFile, *, are_sealed: bool) -> Iterator[str]:
    """Yield what of the entries is proven."""
    head, rows = entries
    if are_sealed:
        names = ", ".join(name for name in head if name in (*PROVEN, *RECKONED))
        total = in_hours(sum(int(row["ms"]) for row in rows))
        yield f"entries proven by sealed rows: {len(rows)}, {total} h in all; of each {names}"


def unproven_words(entries: CsvFile, manifest: Json, *, are_sealed: bool) -> str:
    """Return what no sealed row proves, as anyone can write a manifest anew."""
    head, rows = entries
    unproven = ["evidence.pdf", f"{', '.join(UNPROVEN)} in {EVENTS}"]
    if not are_sealed and rows:
        unproven.append("entries.csv")
    elif names := [name for name in head if name not in (*PROVEN, *RECKONED)]:
        unproven.append(f"{', '.join(names)} in entries.csv")
    if LINES in {each["file"] for each in manifest["files"]}:
        unproven.append(f"file, raw in {LINES}")
    return f"not proven, on the word of manifest.json alone: {'; '.join(unproven)}"


def faults_of(folder: pathlib.Path, stamps: Sequence[str]) -> tuple[list[str], list[str]]:
    """Return what is wrong with the pack, and what was checked in words.

    Raises: Broken when a file cannot be read.
    """
    manifest = read_json(folder, "manifest.json", MANIFEST)
    if faults := list(changed_files(folder, manifest)):
        return faults, []
    proof = read_json(folder, "proof.json", PROOF)
    if faults := [*broken_seals(proof), *strange_stamps(proof, stamps)]:
        return faults, []
    sealed, entries = sealed_rows(proof), read_csv(folder, "entries.csv")
    faults = list(broken_texts(sealed, manifest))
    are_sealed = manifest["with_sealed_entries"] or any(table in OF_ENTRIES for table, *_ in sealed)
    if are_sealed:
        faults += broken_entries(entries, sealed, manifest)
    faults += broken_events(read_csv(folder, EVENTS), sealed, manifest)
    if (folder / LINES).is_file():
        faults += broken_lines(read_csv(folder, LINES), sealed)
    if faults:
        return faults, []
    return [], [
        f"{len(manifest['files'])} files are as manifest.json lists them",
        f"sealed rows that lead to record stamp {proof['stamp']}: {len(sealed)}",
        *digest_words(sealed, manifest),
        *entry_words(entries, are_sealed=are_sealed),
        unproven_words(entries, manifest, are_sealed=are_sealed),
        *stamp_words(proof, stamps),
    ]


def visible(text: str) -> str:
    """Return a line in which nothing moves or hides what a screen shows."""
    return "".join(c if c.isprintable() else f"<U+{ord(c):04X}>" for c in text)


def main(stamps: Sequence[str]) -> int:
    """Print what was checked, or what is wrong. Returns the exit code."""
    folder = pathlib.Path(__file__).resolve().parent
    try:
        faults, checked = faults_of(folder, stamps)
    except Broken as broken:
        faults, checked = [str(broken)], []
    lines = "\n".join(map(visible, faults or checked))
    sys.stdout.buffer.write(f"{lines}\n".encode("utf-8", "backslashreplace"))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
