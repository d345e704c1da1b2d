"""The reports there are: of each its page, its template, and what it can be made as.

Modules and names stand here as text under `ledger.reports`, and each is imported by the first page
that needs it: a command makes one page, and all of them together take longer to import than the
libraries do.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from pkgutil import resolve_name
from typing import Any

from ledger.reports.tables import Page, Print

KINDS = ("pdf", "html", "xlsx", "json")
ELECTRONIC = ("ubl", "cii", "factur-x")
ROOM = "ledger.reports."
# Makes a view model as data: given its kind, how it is put out, and the folder of own templates.
Filed = Callable[[Any, str, Print, Path | None], bytes]


@dataclass(frozen=True)
class Later:
    """A function by its name, imported when it is called."""

    name: str

    @property
    def function(self) -> Callable[..., Any]:
        function: Callable[..., Any] = resolve_name(ROOM + self.name)
        return function

    def __call__(self, *of: Any) -> Any:
        return self.function(*of)


WORKBOOK = Later("workbook:workbook")


@dataclass(frozen=True)
class Design:
    """How a view model becomes a page, and the page a file.

    `is_owners` says that it is for an owner, and made in the owner's language; `is_handed_on` that
    an owner may be given it, in English as it is. Neither holds what is the yard's alone, which a
    test proves of each. `files` has what makes it as data, of each kind that is not made from the
    page alone. `script` is the packaged script that its HTML carries.
    """

    template: str
    page: Callable[[Any], Page]
    workbook: Callable[[Page, Print], bytes] = WORKBOOK
    kinds: tuple[str, ...] = KINDS
    is_owners: bool = False
    is_handed_on: bool = False
    files: Mapping[str, Filed] = field(default_factory=dict)
    script: str = ""


OWNER_DOCUMENT = Design(
    "owner_document.html",
    Later("owner.document_pages:document_page"),
    kinds=("pdf", "html", "json"),
    is_owners=True,
)
INVOICE = Design(
    "invoice.html",
    Later("owner.invoice_page:job_invoice_page"),
    kinds=("pdf", "html", "json", *ELECTRONIC),
    is_owners=True,
    files=dict.fromkeys(ELECTRONIC, Later("owner.invoice_page:job_invoice_file")),
)
DESIGN_OF: Mapping[str, Design] = {
    "owner.variations:OwnerVariations": Design(
        "owner_variations.html", Later("owner.page:owner_page"), is_owners=True
    ),
    "owner.job_view:OwnerJob": Design(
        "owner_overview.html",
        Later("owner.job_page:job_page"),
        kinds=("html", "xlsx", "json"),
        is_owners=True,
        script="overview.js",
    ),
    "owner.document_views:Quotation": OWNER_DOCUMENT,
    "owner.document_views:VariationOrder": OWNER_DOCUMENT,
    "owner.document_views:InstructionConfirmation": OWNER_DOCUMENT,
    "owner.document_views:DecisionRequest": OWNER_DOCUMENT,
    "owner.document_views:NoticeShown": OWNER_DOCUMENT,
    "owner.document_views:DayworkSheet": OWNER_DOCUMENT,
    "owner.claim_view:ProgressClaim": OWNER_DOCUMENT,
    "owner.final_account_view:FinalAccountLetter": OWNER_DOCUMENT,
    "owner.invoice_view:JobInvoice": INVOICE,
    "owner.invoice_view:JobCreditNote": INVOICE,
    "yard.week:WeekShown": Design("yard_week.html", Later("yard.week_page:week_page")),
    "yard.overview:Overview": Design(
        "overview.html",
        Later("yard.overview_page:overview_page"),
        kinds=("html", "xlsx", "json"),
        script="overview.js",
    ),
    "yard.overrun:YardOverrun": Design("yard_report.html", Later("yard.overrun_page:overrun_page")),
    "yard.account:AccountPage": Design(
        "account.html", Later("yard.account_page:account_page"), is_handed_on=True
    ),
    "yard.performance:PerformanceReport": Design(
        "performance.html", Later("yard.performance_page:performance_page")
    ),
    "yard.reconciliation:Reconciliation": Design(
        "reconciliation.html",
        Later("yard.reconciliation_page:reconciliation_page"),
        Later("yard.reconciliation_page:reconciliation_workbook"),
    ),
    "foremen.code_list:CodeList": Design(
        "code_list.html", Later("foremen.code_list_page:code_list_page")
    ),
    "foremen.week_sheets:WeekSheets": Design(
        "week_sheets.html",
        Later("foremen.week_sheets_page:week_sheets_page"),
        Later("foremen.week_workbook:week_workbook"),
        ("pdf", "xlsx", "json"),
    ),
    "foremen.progress_form:ProgressForm": Design(
        "progress_form.html",
        Later("foremen.progress_form_page:progress_form_page"),
        Later("foremen.progress_workbook:progress_workbook"),
        ("pdf", "xlsx", "json"),
    ),
    "evidence.daywork_backup:DayworkBackup": Design(
        "daywork_backup.html",
        Later("evidence.daywork_backup_page:daywork_backup_page"),
        kinds=("pdf", "html", "json"),
        is_owners=True,
    ),
    "evidence.evidence:EvidencePages": Design(
        "evidence.html",
        Later("evidence.evidence_page:evidence_page"),
        kinds=("pdf", "html", "json"),
        is_handed_on=True,
    ),
}


class Designs(Mapping[type, Design]):
    """The design of each view model; only to go through them all imports them all."""

    def __getitem__(self, view: type) -> Design:
        return DESIGN_OF[f"{view.__module__.removeprefix(ROOM)}:{view.__qualname__}"]

    def __iter__(self) -> Iterator[type]:
        return (resolve_name(ROOM + name) for name in DESIGN_OF)

    def __len__(self) -> int:
        return len(DESIGN_OF)


DESIGNS = Designs()
