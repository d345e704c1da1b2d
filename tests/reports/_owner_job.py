"""The invented landing on one page for its owner: one invoice paid in part, another due."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from ledger.reports.owner.job_view import InvoiceStands, JobAccount, OwnerJob
from ledger.reports.owner.job_wording import CAUTION
from tests.reports._landing import LANDING, without_overrun, without_requests

NIL = Decimal("0.00")
INVOICES = (
    InvoiceStands(
        *("INV-0001", date(2026, 5, 4), date(2026, 6, 3), Decimal("121000.00"), NIL),
        *(Decimal("120000.00"), Decimal("500.00"), Decimal("500.00")),
        days=95,
    ),
    InvoiceStands(
        *("INV-0002", date(2026, 8, 31), date(2026, 9, 30), Decimal("84700.00")),
        *(Decimal("1210.00"), NIL, NIL, Decimal("83490.00")),
        days=0,
    ),
)
ACCOUNT = JobAccount(
    claimed_to=date(2026, 8, 28),
    claimed_value=Decimal("181000.00"),
    certified_value=Decimal("179000.00"),
    held_back=Decimal("8950.00"),
    invoiced_to_date=Decimal("205700.00"),
    credited_to_date=Decimal("1210.00"),
    paid_to_date=Decimal("120000.00"),
    deductions_accepted=Decimal("500.00"),
    outstanding=Decimal("83990.00"),
    overdue=Decimal("500.00"),
    disputed=Decimal("500.00"),
    invoices=INVOICES,
)
NOTHING_BILLED = JobAccount(None, *(NIL,) * 10, ())
STATEMENT = replace(LANDING, caution=CAUTION)
VIEW = OwnerJob(STATEMENT, ACCOUNT)
# An owner who is not shown how the hours run.
WITHOUT_HOURS = OwnerJob(replace(without_overrun(), caution=CAUTION), ACCOUNT)
NOTHING_ASKED = OwnerJob(
    replace(without_requests(), caution=CAUTION, rehearsal=True), NOTHING_BILLED
)
