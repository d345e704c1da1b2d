"""The reports there are: of each its page, its template, and what it can be made as."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from ledger.reports.evidence.daywork_backup import DayworkBackup
from ledger.reports.evidence.daywork_backup_page import daywork_backup_page
from ledger.reports.evidence.evidence import EvidencePages
from ledger.reports.evidence.evidence_page import evidence_page
from ledger.reports.foremen.code_list import CodeList
from ledger.reports.foremen.code_list_page import code_list_page
from ledger.reports.foremen.progress_form import ProgressForm
from ledger.reports.foremen.progress_form_page import progress_form_page
from ledger.reports.foremen.progress_workbook import progress_workbook
from ledger.reports.foremen.week_sheets import WeekSheets
from ledger.reports.foremen.week_sheets_page import week_sheets_page
from ledger.reports.foremen.week_workbook import week_workbook
from ledger.reports.owner.document_build import OWNER_DOCUMENTS
from ledger.reports.owner.document_pages import document_page
from ledger.reports.owner.invoice_page import ELECTRONIC, job_invoice_file, job_invoice_page
from ledger.reports.owner.job_page import job_page
from ledger.reports.owner.job_view import OwnerJob
from ledger.reports.owner.page import owner_page
from ledger.reports.owner.variations import OwnerVariations
from ledger.reports.tables import Page, Print
from ledger.reports.workbook import workbook
from ledger.reports.yard.account import AccountPage
from ledger.reports.yard.account_page import account_page
from ledger.reports.yard.overrun import YardOverrun
from ledger.reports.yard.overrun_page import overrun_page
from ledger.reports.yard.overview import Overview
from ledger.reports.yard.overview_page import overview_page
from ledger.reports.yard.performance import PerformanceReport
from ledger.reports.yard.performance_page import performance_page
from ledger.reports.yard.reconciliation import Reconciliation
from ledger.reports.yard.reconciliation_page import (
    reconciliation_page,
    reconciliation_workbook,
)
from ledger.reports.yard.week import Week
from ledger.reports.yard.week_page import week_page

KINDS = ("pdf", "html", "xlsx", "json")
# Makes a view model as data: given its kind, how it is put out, and the folder of own templates.
Filed = Callable[[Any, str, Print, Path | None], bytes]


@dataclass(frozen=True)
class Design:
    """How a view model becomes a page, and the page a file.

    `is_owners` says that it is for an owner, and made in the owner's language. `files` has what
    makes it as data, of each kind that is not made from the page alone. `script` is the packaged
    script that its HTML carries.
    """

    template: str
    page: Callable[[Any], Page]
    workbook: Callable[[Page, Print], bytes] = workbook
    kinds: tuple[str, ...] = KINDS
    is_owners: bool = False
    files: Mapping[str, Filed] = field(default_factory=dict)
    script: str = ""


DESIGNS: Mapping[type, Design] = {
    OwnerVariations: Design("owner_variations.html", owner_page, is_owners=True),
    OwnerJob: Design(
        "owner_overview.html",
        job_page,
        kinds=("html", "xlsx", "json"),
        is_owners=True,
        script="overview.js",
    ),
    Week: Design("yard_week.html", week_page),
    Overview: Design(
        "overview.html", overview_page, kinds=("html", "xlsx", "json"), script="overview.js"
    ),
    YardOverrun: Design("yard_report.html", overrun_page),
    CodeList: Design("code_list.html", code_list_page),
    AccountPage: Design("account.html", account_page),
    DayworkBackup: Design(
        "daywork_backup.html", daywork_backup_page, kinds=("pdf", "html", "json")
    ),
    EvidencePages: Design("evidence.html", evidence_page, kinds=("pdf", "html", "json")),
    WeekSheets: Design(
        "week_sheets.html", week_sheets_page, week_workbook, ("pdf", "xlsx", "json")
    ),
    PerformanceReport: Design("performance.html", performance_page),
    Reconciliation: Design("reconciliation.html", reconciliation_page, reconciliation_workbook),
    ProgressForm: Design(
        "progress_form.html", progress_form_page, progress_workbook, ("pdf", "xlsx", "json")
    ),
    **{
        each.view: Design(
            "owner_document.html", document_page, kinds=("pdf", "html", "json"), is_owners=True
        )
        for each in OWNER_DOCUMENTS.values()
        if not each.is_invoice
    },
    **{
        each.view: Design(
            "invoice.html",
            job_invoice_page,
            kinds=("pdf", "html", "json", *ELECTRONIC),
            is_owners=True,
            files=dict.fromkeys(ELECTRONIC, job_invoice_file),
        )
        for each in OWNER_DOCUMENTS.values()
        if each.is_invoice
    },
}
