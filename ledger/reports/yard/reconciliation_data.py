"""What only the workbook has: rows and reasons as data, and what each column is."""

from collections.abc import Sequence

from ledger.domain.allocation import hours_of
from ledger.reports.tables import Cell, Column, Row, Table
from ledger.reports.yard.reconciliation import PaidRow, Reconciliation

WHOSE = (
    *(Column("worker_id", "code"), Column("supplier", "basis")),
    *(Column("period_start", "date"), Column("period_end", "date"), Column("kind", "basis")),
)
ROWS = (
    *(*WHOSE, Column("name", "basis"), Column("against", "basis")),
    *(
        Column(f"{name}_hours", "hours")
        for name in (
            "paid",
            "booked",
            "difference",
            "clocked",
            "beside_clock",
            "unexplained",
            "waiting",
        )
    ),
    *(Column("settled", "unit"), Column("signed_by", "basis"), Column("signed_on", "date")),
    Column("signed_reason", "note"),
)
REASONS = (*WHOSE, Column("reason", "basis"), Column("hours", "hours"))
DICTIONARY = (
    *(Column("Sheet", "basis"), Column("Column", "basis"), Column("Unit", "unit")),
    Column("Meaning", "note"),
)
MEANINGS = {
    "worker_id": ("code", "the worker's number, blank of all people of a supplier together"),
    "name": ("name", "the worker's name, blank once erased"),
    "supplier": ("name", "the agency or subcontractor"),
    "period_start": ("day", "the first day of the period that was paid"),
    "period_end": ("day", "the last day of the period that was paid"),
    "kind": ("word", "worked, paid_not_worked, premium_only or allowance"),
    "against": ("word", "payroll, contract or supplier: what hours booked stand against"),
    "paid_hours": ("hours", "hours paid, or those of the contract"),
    "booked_hours": ("hours", "hours booked over all jobs, overhead and absence"),
    "difference_hours": ("hours", "paid less booked"),
    "clocked_hours": ("hours", "by the attendance clock, blank where it has nothing"),
    "beside_clock_hours": ("hours", "booked on the days that the clock has, likewise"),
    "unexplained_hours": ("hours", "the part of the difference without a reason"),
    "waiting_hours": ("hours", "of the difference, booked and to be in the next pay"),
    "settled": ("word", "yes or no: explained, or signed off with a reason"),
    "signed_by": ("handle", "who signed the row off in the record"),
    "signed_on": ("day", "when, in the yard's time zone"),
    "signed_reason": ("text", "why the row is waived"),
    "reason": ("word", "why hours paid and booked differ"),
    "hours": ("hours", "the reason's part of the difference, paid less booked"),
    "Kind of pay": ("word", "whether hours are worked, paid and not worked, or pay alone"),
    "Rows": ("count", "rows: one for each worker, period and kind of pay"),
    "Paid": ("hours", "hours paid, or those of the contract"),
    "Booked": ("hours", "hours booked"),
    "Difference": ("hours", "paid less booked"),
    "Explained": ("hours", "the part of the difference with a reason"),
    "Unexplained": ("hours", "the part of the difference without a reason"),
    "Open rows": ("count", "rows neither explained nor signed off"),
    "Reason": ("word", "why hours paid and booked differ"),
    "Hours": ("hours", "paid less booked; of banked hours the balance"),
    "Worker": ("code", "the worker, or the supplier"),
    "From": ("day", "the first day of the period"),
    "To": ("day", "the last day of the period"),
    "Status": ("text", "what keeps the row open, or who let it pass"),
    "Booked on its days": ("hours", "booked on the days that the attendance clock has"),
    "Clocked": ("hours", "by the attendance clock"),
    "Clocked − booked": ("hours", "what the clock has more than sheets, or less (−)"),
    "Note": ("text", "what was said of it"),
    "Step": ("text", "what is signed: the report on paper, or rows in the record"),
    "Name": ("name", "who signs"),
    "Signature": ("text", "to be signed, or how many rows are signed off in the record"),
    "Date": ("day", "when it was signed"),
}


def data_tables(view: Reconciliation) -> tuple[Table, ...]:
    """Return every row, and every reason of every row, in hours to four places."""
    rows = [Row((*_whose(row), *_amounts(row), *_signed(row))) for row in view.rows]
    reasons = [
        Row((*_whose(row), each.reason, hours_of(each.ms, 4)))
        for row in view.rows
        for each in row.reasons
    ]
    return (
        Table("Rows", "", ROWS, tuple(rows), "Nothing was paid or booked."),
        Table("Reasons", "", REASONS, tuple(reasons), "No difference has a reason."),
    )


def _whose(row: PaidRow) -> tuple[Cell, ...]:
    return row.worker_id, row.supplier, row.period_start, row.period_end, row.kind


def _amounts(row: PaidRow) -> tuple[Cell, ...]:
    amounts = (
        *(row.paid_ms, row.booked_ms, row.difference_ms, row.clocked_ms, row.beside_clock_ms),
        *(row.unexplained_ms, row.waiting_ms),
    )
    hours = (None if ms is None else hours_of(ms, 4) for ms in amounts)
    return row.name, row.against, *hours


def _signed(row: PaidRow) -> tuple[Cell, ...]:
    settled = "yes" if row.is_settled else "no"
    if row.signed is None:
        return settled, "", None, ""
    return settled, row.signed.by, row.signed.on, row.signed.reason


def dictionary(tables: Sequence[Table]) -> Table:
    """Return what each column of each sheet is, with its unit."""
    rows = [
        Row((table.name, column.head, *MEANINGS[column.head]))
        for table in tables
        for column in table.columns
    ]
    return Table("Data dictionary", "", DICTIONARY, tuple(rows))
