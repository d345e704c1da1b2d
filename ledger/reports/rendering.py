"""A report as a file: PDF, HTML, a workbook or canonical JSON."""

import shlex
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from ledger.errors import WrongUsage
from ledger.language import ENGLISH, _, speaking
from ledger.progress import SILENT, Progress
from ledger.reports.canonical import canonical_json
from ledger.reports.commands_named import NONE, Commands
from ledger.reports.designs import DESIGNS
from ledger.reports.tables import Fact, Page, Print
from ledger.reports.text import visible
from ledger.store.out_files import write_out

PAPERS = ("A4", "Letter")
VARIANTS = (
    *("pdf/ua-1", "pdf/ua-2", "pdf/a-2a", "pdf/a-2b", "pdf/a-2u"),
    *("pdf/a-3a", "pdf/a-3b", "pdf/a-3u"),
)
AGAIN = "To reproduce"  # What each page calls the command that reproduces it.
OWN_TEMPLATES = "Digest of your templates"


@dataclass(frozen=True)
class RenderChoices:
    """How a report is put out: paper, own templates, and the standard that a PDF keeps to.

    `usual_paper` is the yard's. What is not as usual is named in the command that makes the
    report again, in the words of `commands`. `logo` is the yard's picture as a data: address, or
    empty. `language` is that of the owner, for pages that are made in it.
    """

    paper: str = ""
    usual_paper: str = "A4"
    templates: Path | None = None
    pdf_variant: str = ""
    logo: str = ""
    commands: Commands = NONE
    language: str = ENGLISH

    @property
    def on(self) -> str:
        return self.paper or self.usual_paper

    @property
    def variant(self) -> str:
        return self.pdf_variant or VARIANTS[0]

    def options(self, own_templates: str) -> tuple[str, ...]:
        """Return the words that the printed command needs for the same page."""
        needed = {
            "templates": str(self.templates) if own_templates else "",
            "paper": self.on if self.on != self.usual_paper else "",
            "pdf_variant": self.variant if self.variant != VARIANTS[0] else "",
        }
        named = self.commands.options
        by_option = {
            named[name]: value for name, value in needed.items() if value and name in named
        }
        return tuple(word for option in by_option.items() for word in option)

    def refuse_unknown(self, kind: str) -> None:
        """Raise WrongUsage for a paper or standard that is none of ours, or not for this kind."""
        if self.on not in PAPERS:
            raise WrongUsage("paper_unknown", papers=tuple(PAPERS), given=self.on)
        if self.variant not in VARIANTS:
            raise WrongUsage("pdf_variant_unknown", variants=tuple(VARIANTS), given=self.variant)
        if self.pdf_variant and kind != "pdf":
            raise WrongUsage("pdf_variant_unused", variant=self.pdf_variant, ending=kind)

    def print_of(self, recorded_at: datetime, own_templates: str = "") -> Print:
        options = self.options(own_templates)
        return Print(
            self.on,
            recorded_at,
            options,
            own_templates,
            self.variant,
            self.logo,
            load=self.commands.load,
        )


USUAL = RenderChoices()


def render(
    view: Any,
    kind: str,
    *,
    recorded_at: datetime,
    choices: RenderChoices = USUAL,
    progress: Progress = SILENT,
) -> bytes:
    """Return a report as bytes of a kind that its design has: "pdf", "html", "xlsx" or "json".

    `view` is a view model that DESIGNS has; `recorded_at` is the instant of the batch it was known
    at, which dates the file. `progress` is told how far a PDF is.

    Raises: WrongUsage for another kind, paper or PDF variant; Refused for own templates that fail.
    """
    design = DESIGNS[type(view)]
    if kind not in design.kinds:
        raise WrongUsage("report_kind_unknown", kinds=tuple(design.kinds), given=kind)
    choices.refuse_unknown(kind)
    if kind == "json":
        return canonical_json(view)
    with speaking(choices.language if design.is_owners else ENGLISH):
        return _rendered(view, kind, recorded_at, choices, progress)


def _rendered(
    view: Any, kind: str, recorded_at: datetime, choices: RenderChoices, progress: Progress
) -> bytes:
    """Return a report as a page or a workbook, in the language spoken."""
    design = DESIGNS[type(view)]
    if make := design.files.get(kind):
        return make(view, kind, choices.print_of(recorded_at), choices.templates)
    page = design.page(view)
    if kind == "xlsx":
        out = choices.print_of(recorded_at)
        return design.workbook(with_options(page, out), out)
    from ledger.reports import pages
    from ledger.reports.templates import gather

    templates = gather(design.template, choices.templates)
    out = choices.print_of(recorded_at, templates.digest)
    page = with_options(page, out)
    if kind == "html":
        return pages.html(page, templates, out, design.script).encode("utf-8")
    return pages.pdf(page, templates, out, canonical_json(view), progress)


def with_options(page: Page, out: Print) -> Page:
    """Return the page whose proof has the whole command, and the own templates it takes."""
    words = f" {visible(shlex.join(out.options))}" if out.options else ""
    proof = tuple(
        replace(fact, value=fact.value + words) if fact.label == _(AGAIN) else fact
        for fact in page.proof
    )
    own = (Fact(_(OWN_TEMPLATES), out.own_templates),) if out.own_templates else ()
    return replace(page, proof=(*proof, *own))


def write(
    view: Any,
    path: Path,
    *,
    recorded_at: datetime,
    choices: RenderChoices = USUAL,
    progress: Progress = SILENT,
) -> None:
    """Write a report; the ending of the file's name decides what it is made as.

    Raises: WrongUsage for another ending; Refused when the file cannot be written.
    """
    kind = path.suffix.lower().removeprefix(".")
    kinds = DESIGNS[type(view)].kinds
    if kind not in kinds:
        endings = tuple(f".{kind}" for kind in kinds)
        raise WrongUsage("report_ending_unknown", file=path, endings=endings)
    made = render(view, kind, recorded_at=recorded_at, choices=choices, progress=progress)
    write_out(path, made)
