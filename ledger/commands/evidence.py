"""The evidence of one change, as pages or as a pack that can be checked without the book."""

from dataclasses import dataclass, replace
from pathlib import Path

from ledger.commands.access import ReadAccess
from ledger.commands.pages import PageAsked
from ledger.domain.codes import code_of
from ledger.errors import WrongUsage
from ledger.outcomes import Outcome
from ledger.reports.evidence.asked import EvidenceAsked
from ledger.reports.evidence.evidence import Evidence, evidence_of
from ledger.reports.evidence.zipped import zipped
from ledger.reports.page_parts import logo_address
from ledger.reports.rendering import RenderChoices, render
from ledger.store.out_files import write_out

ENDINGS = (".zip", ".pdf", ".html")


@dataclass(frozen=True)
class EvidenceCollected(Outcome):
    """A pack that was written: how many entries, files and sealed rows it has."""

    out: Path
    change: str
    entries: int
    files: int
    sealed_rows: int
    sequence: int


def collect_evidence(
    access: ReadAccess, asked: EvidenceAsked, page: PageAsked
) -> EvidenceCollected:
    """Write the evidence of a change: a pack, or its pages alone, as the file's ending says.

    Raises: Refused when there is no such job or change; WrongUsage for another ending.
    """
    kind = page.out.suffix.lower()
    if kind not in ENDINGS:
        raise WrongUsage("report_ending_unknown", file=page.out, endings=ENDINGS)
    wanted = replace(asked, job=code_of(asked.job), change=code_of(asked.change))
    with access.reading() as book:
        evidence = evidence_of(book, wanted, page.commands)
        usual, logo = book.setting("yard.paper", "A4"), logo_address(book)
        instant = book.stamp().recorded_at
    choices = RenderChoices(
        page.paper, usual, page.templates, page.pdf_variant, logo, page.commands
    )
    as_page = "pdf" if kind == ".zip" else kind.removeprefix(".")
    pages = render(
        evidence.pages, as_page, recorded_at=instant, choices=choices, progress=access.progress
    )
    write_out(page.out, zipped(evidence, pages, instant) if kind == ".zip" else pages)
    return _collected(evidence, page.out)


def _collected(evidence: Evidence, out: Path) -> EvidenceCollected:
    kept = (*evidence.documents, *evidence.attachments)
    return EvidenceCollected(
        out,
        evidence.pages.change,
        len(evidence.entries),
        sum(each.data is not None for each in kept),
        len(evidence.proof.rows),
        evidence.pages.stamp.sequence,
    )
