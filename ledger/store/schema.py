"""The fact tables of a book, in the order in which they are made."""

from ledger.store.document_tables import DOCUMENT_TABLES
from ledger.store.job_tables import JOB_TABLES
from ledger.store.yard_tables import YARD_TABLES

VERSION = 1
# The oldest schema that `MIGRATIONS` leads on from; a book of an earlier one is refused.
OLDEST = 1
SEAL_VERSION = 2
# A digest by which content is found is erased with it, and then read as null: it finds nothing.
PLAIN_DIGEST = "sha256"
# What of a batch's own record can be erased; its head keeps the digests.
ERASABLE_OF_BATCH = ("actor", "command")

TABLES = {table.name: table for table in (*YARD_TABLES, *JOB_TABLES, *DOCUMENT_TABLES)}

# The tables of facts that are typed or loaded in small files, and can be withdrawn.
WITHDRAWABLE = frozenset(
    {
        *("rate", "charge_rate", "crew", "attendance", "leave", "rule", "hand_tag", "setting"),
        *("worker_alias", "past_work"),
        *("job", "work_package", "milestone", "plan_line", "baseline_change", "progress"),
        *("replanned_package", "replanned_milestone", "replanned_day", "replanned_calendar"),
        *("change", "change_line", "change_event", "daywork_item", "daywork_sheet"),
        *("sending", "job_cost", "claim_percent", "certified", "payment", "final_account"),
        *("payroll_line", "supplier_hours", "payroll_note", "sign_off"),
    }
)
