"""The owner's statement as a file: PDF, HTML, a workbook or canonical JSON."""

from datetime import datetime
from pathlib import Path

from ledger.errors import Refused, WrongUsage
from ledger.reports.canonical import canonical_json
from ledger.reports.owner_page import owner_page
from ledger.reports.owner_variations import OwnerVariations
from ledger.reports.tables import Print

KINDS = ("pdf", "html", "xlsx", "json")
PAPERS = ("A4", "Letter")
TEMPLATE = "owner_variations.html"


def render(view: OwnerVariations, kind: str, *, recorded_at: datetime, paper: str = "A4") -> bytes:
    """Return the statement as bytes of that kind: "pdf", "html", "xlsx" or "json".

    `recorded_at` is the instant of the batch the statement was known at; it dates the file.

    Raises: WrongUsage for another kind or paper.
    """
    if kind not in KINDS:
        raise WrongUsage(f'a report is made as {", ".join(KINDS)}, not "{kind}"')
    if paper not in PAPERS:
        raise WrongUsage(f'paper is {" or ".join(PAPERS)}, not "{paper}"')
    if kind == "json":
        return canonical_json(view)
    page, out = owner_page(view), Print(paper, recorded_at)
    if kind == "xlsx":
        from ledger.reports.workbook import workbook

        return workbook(page, out)
    from ledger.reports import pages

    if kind == "html":
        return pages.html(page, TEMPLATE, out).encode("utf-8")
    return pages.pdf(page, TEMPLATE, out)


def write(view: OwnerVariations, path: Path, *, recorded_at: datetime, paper: str = "A4") -> None:
    """Write the statement; the ending of the file's name decides what it is made as.

    Raises: WrongUsage for another ending; Refused when the file cannot be written.
    """
    kind = path.suffix.lower().removeprefix(".")
    if kind not in KINDS:
        endings = ", ".join(f".{kind}" for kind in KINDS)
        raise WrongUsage(f"{path}: a report's name ends in one of {endings}")
    made = render(view, kind, recorded_at=recorded_at, paper=paper)
    try:
        path.write_bytes(made)
    except OSError as error:
        raise Refused(f"{path}: cannot be written: {error.strerror}") from error
