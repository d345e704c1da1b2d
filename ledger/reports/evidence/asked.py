"""What evidence is asked for, and the files that are kept of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from ledger.performance.measured_mile import PackageDays
from ledger.reports.commands_named import Remade

# The columns that entries may be shown with, and those that they are shown with if none is named.
COLUMNS = (
    *("entry", "day", "worker", "name", "trade", "rework", "hours", "code", "sheet", "file"),
    *("line", "note"),
)
USUAL = ("entry", "day", "trade", "hours")
HOURS = "hours"
ADJUDICATOR = "adjudicator"
QUERIES = "reports/evidence"


@dataclass(frozen=True)
class EvidenceAsked:
    """Of which change a pack is made, with which columns, and for whom.

    Without `columns` the usual ones are shown, hours where their reader may see them. `stretches`
    of work are compared, the least affected one first, if there are two.
    """

    job: str
    change: str
    columns: tuple[str, ...] = ()
    for_adjudicator: bool = False
    whole_files: bool = False
    stretches: tuple[PackageDays, PackageDays] | None = None

    def remade(self, known_at: int) -> Remade:
        """Return what makes the same evidence again."""
        reader = ADJUDICATOR if self.for_adjudicator else ""
        return Remade(
            "evidence",
            known_at,
            None,
            self.job,
            change=self.change,
            columns=self.columns,
            reader=reader,
            stretches=tuple(map(str, self.stretches or ())),
        )


@dataclass(frozen=True)
class FileShown:
    """A file as it is listed: what it is of, and the sealed row that has its digest.

    `sha256` is None once it was erased.
    """

    name: str
    what: str
    day: date | None
    sha256: str | None
    sealed_in: str


@dataclass(frozen=True)
class KeptFile:
    """A file with its bytes, and the salt of its sealed digest; both None once it was erased.

    `name` is what was sealed of its name, and its salt; None where its number is sealed.
    """

    file: FileShown
    salt: str | None
    data: bytes | None
    name: tuple[str, str] | None = None


def salt_text(salt: bytes | None) -> str | None:
    """Return a salt in hex, None of what was erased."""
    return None if salt is None else bytes(salt).hex()


def sealed_name(row: Mapping[str, Any]) -> tuple[str, str] | None:
    """Return a name and its salt as they were sealed, None once it was erased."""
    salt = salt_text(row["name_salt"])
    return None if salt is None or row["name"] is None else (row["name"], salt)
