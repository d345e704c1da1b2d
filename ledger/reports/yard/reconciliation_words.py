"""The words of the report of hours paid and booked."""

from collections import Counter
from collections.abc import Collection, Sequence

from ledger.domain.counting import counted
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.yard.reconciliation import PaidRow, Reconciliation

KINDS = {
    "worked": "Worked",
    "paid_not_worked": "Paid, not worked",
    "premium_only": "Premium only",
    "allowance": "Allowance",
}
REASONS = {
    "rounding": "Rounding",
    "leave": "Leave",
    "late_sheet": "Late sheet",
    "other_job": "Other job",
    "premium_hours": "Premium hours",
    "missing_sheet": "Missing sheet",
    "attendance": "Attendance clock",
    "banked_hours": "Banked hours",
    "call_out_minimum": "Call-out minimum",
    "travel": "Travel",
    "paid_break": "Paid break",
    "period_cut": "Period cut",
    "unpaid": "Not paid",
    # Not a reason of the record: an allowance is settled as it is.
    "allowance": "Pay without time",
}
AGAINST = {"payroll": "payroll", "contract": "contract hours", "supplier": "supplier's hours"}
HOW_TO_READ = (
    "Difference = hours paid − hours booked. Hourly people stand against payroll, salaried people "
    "against the hours of their contract, agencies and subcontractors against the hours they "
    "charged.",
    "A row is a worker, a period and a kind of pay. Notes of people explain first, then what the "
    "record shows, as far as its facts reach.",
    "Reasons that the record finds are evidence to look into, not findings. A row stays open while "
    "hours are unexplained, booked and not paid, or paid without a sheet, until they are noted "
    "or signed off.",
    "Parts are rounded so that they add up to the totals shown; the .xlsx file has hours to four "
    "places.",
)
CAUTION = (
    "Hours are compared. What is to be paid for them is for local law, collective agreements and "
    "the contract. This report holds personal data: who may see it is for local law."
)


def headline(view: Reconciliation) -> str:
    """Return what was paid and booked in all, and how many rows are open."""
    if not view.rows:
        return "Nothing was paid or booked in periods that end in these days."
    paid = sum(row.paid_ms for row in view.rows)
    booked = sum(row.booked_ms for row in view.rows)
    apart = hours(paid) - hours(booked)
    words = f"{number_text(hours(paid))} h paid, {number_text(hours(booked))} h booked: "
    if apart:
        side = "more paid than booked" if apart > 0 else "more booked than paid"
        words += f"{number_text(abs(apart))} h {side}. "
    else:
        words += "no difference in all. "
    return words + open_words(view.rows)


def open_words(rows: Sequence[PaidRow]) -> str:
    """Return how many rows are not settled."""
    count = sum(not row.is_settled for row in rows)
    if not count:
        return "All rows are settled."
    return f"{count} of {counted(len(rows), 'row is', 'rows are')} not settled."


def kind_words(row: PaidRow, several: Collection[str]) -> str:
    """Return the kind of pay; with what it stands against if its party has rows of several."""
    kind = KINDS[row.kind]
    return f"{kind}, {AGAINST[row.against]}" if party_words(row) in several else kind


def against_several(rows: Sequence[PaidRow]) -> set[str]:
    """Return the parties that have rows against more than one of those that pay."""
    pairs = {(party_words(row), row.against) for row in rows}
    return {party for party, count in Counter(party for party, _ in pairs).items() if count > 1}


def party_words(row: PaidRow) -> str:
    """Return whose row it is: a worker by number and name, or a supplier."""
    if not row.worker_id:
        return f"{row.supplier}, all its people together"
    name = f" · {row.name}" if row.name else ""
    return f"{row.worker_id}{name}" + (f" · {row.supplier}" if row.supplier else "")


def status_words(row: PaidRow) -> str:
    """Return how a row stands: what keeps it open, or who signed it off; else nothing."""
    by = f"by {signer_words(row)} on {written(row.signed.on)}" if row.signed else ""
    if row.signed and row.is_signed:
        return f"Waived {by}: {row.signed.reason}" if row.is_waived else f"Signed off {by}"
    if row.is_settled:
        waiting = number_text(hours(-row.waiting_ms))
        return f"{waiting} h waiting for pay" if row.waiting_ms else ""
    causes = []
    if row.unexplained_ms:
        causes.append(f"{number_text(hours(row.unexplained_ms))} h unexplained")
    if row.owed_ms:
        why = "booked and not paid" if row.owed_ms < 0 else "paid without a sheet"
        causes.append(f"{number_text(hours(abs(row.owed_ms)))} h {why}")
    return f"Open{f' again, signed off {by}' if by else ''}: {', '.join(causes)}"


def signer_words(row: PaidRow) -> str:
    """Return who signed a row off, by handle and name."""
    assert row.signed is not None
    return f"{row.signed.by} ({row.signed.name})" if row.signed.name else row.signed.by


def reasons_words(reasons: Sequence[tuple[str, str]]) -> str:
    """Return reasons with their hours in one line."""
    return ", ".join(f"{REASONS[reason]} {amount}" for reason, amount in reasons)
