"""An evidence pack that was unpacked, to be forged: all digests that anyone can redo are redone."""

import csv
import hashlib
import json
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ledger.reports.evidence.checking.check_pack import faults_of
from ledger.reports.evidence.checking.pack_reading import Broken
from tests._stage import JOB
from tests.conftest import Yard

Json = dict[str, Any]


@dataclass
class Pack:
    """The folder of a pack with its proof and manifest, and a pack of another change beside it."""

    folder: Path
    other: Path | None = None

    def __post_init__(self) -> None:
        self.proof: Json = self._json("proof.json")
        self.manifest: Json = self._json("manifest.json")

    def _json(self, name: str) -> Json:
        found: Json = json.loads((self.folder / name).read_text(encoding="utf-8"))
        return found

    def file(self, begins: str) -> Json:
        """Return what the manifest says of the file whose name begins so."""
        found: Json = next(e for e in self.manifest["files"] if e["file"].startswith(begins))
        return found

    def row(self, table: str) -> Json:
        """Return the first sealed row of a table."""
        found: Json = next(row for row in self.proof["rows"] if row["table"] == table)
        return found

    def tree(self, table: str) -> Json:
        """Return the first tree of a table."""
        found: Json = next(tree for tree in self.proof["trees"] if tree["table"] == table)
        return found

    def add(self, name: str, data: bytes, **listed: str) -> None:
        """Put a file into the pack."""
        (self.folder / name).write_bytes(data)
        self.manifest["files"].append({"file": name, "sha256": "", **listed})

    def table(self, name: str, change: Callable[[list[Json]], object]) -> None:
        """Change the rows of a CSV file."""
        path = self.folder / name
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        change(rows)
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, rows[0], lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)

    def written(self) -> "Pack":
        """Write proof and manifest, with the digest of every file as it is now."""
        self._write("proof.json", self.proof)
        return self.redo()

    def redo(self) -> "Pack":
        """Write the manifest with the digest of every file as it is now."""
        for each in self.manifest["files"]:
            path = self.folder / each["file"]
            if path.is_file():
                each["sha256"] = hashlib.sha256(path.read_bytes()).hexdigest()
        self._write("manifest.json", self.manifest)
        return self

    def _write(self, name: str, content: Json) -> None:
        (self.folder / name).write_text(json.dumps(content), encoding="utf-8")

    def faults(self, *stamps: str) -> list[str]:
        """Return what the script says is wrong."""
        try:
            return faults_of(self.folder, stamps)[0]
        except Broken as broken:
            return [str(broken)]


def pack_of(yard: Yard, change: str, *words: str) -> Path:
    """Make the pack of a change and return the folder that it was unpacked to."""
    folder, out = yard.folder / f"pack-{change}", yard.folder / f"pack-{change}.zip"
    yard.run("report", "evidence", "--job", JOB, change, "--out", out, *words)
    with zipfile.ZipFile(out) as pack:
        pack.extractall(folder)
    return folder
