"""What an invoice or a credit note may hold: the invoice itself, and the account as its annex.

The types have no field for what work costs the yard, for what anybody earns or for other jobs.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.documents.invoices import InvoicedLine
from ledger.documents.issuing import About
from ledger.domain.invoices import Invoice
from ledger.reports.owner.document_views import Head


@dataclass(frozen=True)
class AccountToDate:
    """The account of the job that an invoice comes from, without tax.

    `invoiced_before` is net of credits, without the advance invoiced; `amended_on` the day of the
    contract sum in force, None when it is the one signed.
    """

    day: date
    contract_sum: Decimal
    amended_on: date | None
    variations: Decimal
    adjusted_sum: Decimal
    value_to_date: Decimal
    retention_held: Decimal
    advance_recovered: Decimal
    invoiced_before: Decimal
    net: Decimal

    def __post_init__(self) -> None:
        assert self.contract_sum + self.variations == self.adjusted_sum
        to_date = self.value_to_date - self.retention_held - self.advance_recovered
        assert to_date - self.invoiced_before == self.net


@dataclass(frozen=True)
class JobInvoice:
    """An invoice of a job, or a credit note; `claim` is the claim that it bills, if any.

    `lines` are those of the record, `about` is what is recorded of the document.
    """

    head: Head
    invoice: Invoice
    lines: tuple[InvoicedLine, ...]
    about: About
    claim: int | None = None
    account: AccountToDate | None = None


@dataclass(frozen=True)
class JobCreditNote(JobInvoice):
    """A credit note of a whole invoice."""
