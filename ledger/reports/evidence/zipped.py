"""An evidence pack as one ZIP: pages, files, what proves them, and the script that checks it."""

import csv
import hashlib
import io
import json
from collections.abc import Iterable
from dataclasses import asdict, astuple, fields
from datetime import datetime
from typing import Any

from ledger.domain.allocation import hours_of
from ledger.reports.evidence.asked import HOURS, KeptFile
from ledger.reports.evidence.check_script import check_script
from ledger.reports.evidence.evidence import Evidence, LifeEvent
from ledger.reports.packing import packed, safe_name
from ledger.store.proving import Proof

MS = "ms"
PAGES, SCRIPT = "evidence.pdf", "check_pack.py"


def zipped(evidence: Evidence, pages: bytes, instant: datetime) -> bytes:
    """Return a pack as a ZIP; the same evidence, pages and instant give the same bytes."""
    kept = {
        **_folder("documents", evidence.documents),
        **_folder("attachments", evidence.attachments),
        **_folder("sheets", evidence.sheets),
    }
    content = {
        PAGES: pages,
        "entries.csv": _entries(evidence),
        "events.csv": _events(evidence),
        "proof.json": _json(_proof(evidence)),
        **{name: each.data or b"" for name, each in kept.items()},
    }
    if evidence.lines:
        content["sheet_lines.csv"] = _lines(evidence)
    content["manifest.json"] = _json(_manifest(evidence, content, kept))
    content[SCRIPT] = check_script()
    return packed(content, instant)


def _folder(folder: str, kept: Iterable[KeptFile]) -> dict[str, KeptFile]:
    """Return files by their names in the pack, numbered, those left out that were erased."""
    there = [each for each in kept if each.data is not None]
    return {
        f"{folder}/{number:02d} {safe_name(each.file.name)}": each
        for number, each in enumerate(there, start=1)
    }


def _entries(evidence: Evidence) -> bytes:
    """Return the entries with the columns shown, each with its id, and exact where hours are."""
    pages = evidence.pages
    names = [name for name in pages.columns if name != "entry"]
    exact = [MS] if HOURS in names or pages.for_adjudicator else []
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["entry", *names, *exact])
    for entry in evidence.entries:
        row = {**entry, HOURS: hours_of(int(entry[MS]), 4), MS: int(entry[MS])}
        cells = ("" if row[name] is None else row[name] for name in (*names, *exact))
        writer.writerow([entry["entry"], *cells])
    return text.getvalue().encode("utf-8")


def _events(evidence: Evidence) -> bytes:
    """Return what happened, each with the row that it is sealed in."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(field.name for field in fields(LifeEvent))
    writer.writerows(map(astuple, evidence.pages.events))
    return text.getvalue().encode("utf-8")


def _lines(evidence: Evidence) -> bytes:
    """Return the sheet lines behind the entries as they were written."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["sheet_line", "file", "line", "raw"])
    writer.writerows((each.sheet_line, each.file, each.line, each.raw) for each in evidence.lines)
    return text.getvalue().encode("utf-8")


def _manifest(
    evidence: Evidence, content: dict[str, bytes], kept: dict[str, KeptFile]
) -> dict[str, Any]:
    listed = []
    for name, data in sorted(content.items()):
        one: dict[str, Any] = {"file": name, "sha256": hashlib.sha256(data).hexdigest()}
        if name in kept:
            one |= {"sealed_in": kept[name].file.sealed_in, "salt": kept[name].salt}
            one |= dict(zip(("name", "name_salt"), kept[name].name or (), strict=False))
        listed.append(one)
    return {
        "job": evidence.pages.job,
        "change": evidence.pages.change,
        "with_sealed_entries": evidence.pages.for_adjudicator,
        "files": listed,
    }


def _proof(evidence: Evidence) -> dict[str, Any]:
    proof: Proof = evidence.proof
    stamp = evidence.pages.stamp
    return {
        "stamp": f"{stamp.sequence}.{stamp.head}",
        "columns": proof.columns,
        "rows": [asdict(row) for row in proof.rows],
        "trees": [asdict(tree) for tree in proof.trees],
        "batches": [
            {
                **asdict(batch.facts),
                "tables": [asdict(table) for table in batch.tables],
                "head": batch.head,
            }
            for batch in proof.batches
        ],
    }


def _json(content: dict[str, Any]) -> bytes:
    return (json.dumps(content, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
