"""What was signed off, in words."""

from ledger.commands.payroll import OffDone
from ledger.domain.counting import counted, hours_text
from ledger.payroll.closing import Checklist
from ledger.payroll.reconciliation import PayRow


def signed_lines(done: OffDone) -> list[str]:
    """Return what is said of rows that were signed off, and of each that was left."""
    signed = done.signed
    summary = f"{counted(signed.signed, 'row', 'rows')} signed off"
    if unexplained := signed.waived - signed.unpaid - signed.unsheeted - signed.waiting:
        summary += f", {unexplained} of them with hours unexplained"
    if signed.unpaid:
        summary += f", {signed.unpaid} of them with hours not paid"
    if signed.unsheeted:
        summary += f", {signed.unsheeted} of them paid without a sheet"
    if signed.waiting:
        summary += f", {signed.waiting} of them waiting for pay"
    if signed.as_before:
        summary += f"; {signed.as_before} signed off before"
    if signed.as_closed:
        summary += f"; {signed.as_closed} of a closed period left as closed"
    if not signed.left:
        return [summary]
    left = [f"left: {row_said(row)}" for row in signed.left]
    return [summary, *left, "explain them by payroll-notes, or give a --reason to let them pass"]


def checklist_lines(checklist: Checklist) -> list[str]:
    """Return how a period that is closed stands, a line each."""
    since = f"from {checklist.start}" if checklist.start else "from the first day"
    return [
        f"checklist {since} to {checklist.end}:",
        f"  sheets: {_sheets(checklist)}",
        f"  held lines: {checklist.held_lines}",
        f"  open doubts: {checklist.doubts}",
        *(f"  {line}" for line in _pay_lines(checklist)),
    ]


def _sheets(checklist: Checklist) -> str:
    if not checklist.sheets_expected:
        return "none expected by the calendar of any job"
    return f"{checklist.sheets_in} of {checklist.sheets_expected} in"


def _pay_lines(checklist: Checklist) -> list[str]:
    if checklist.rows is None:
        return ["hours paid: none loaded, not compared"]
    left = [row for row in checklist.rows if not row.is_settled]
    waived = checklist.waived
    waiting = checklist.waiting
    settled = len(checklist.rows) - len(left) - len(waived) - len(waiting)
    summary = f"hours paid: {settled} of {counted(len(checklist.rows), 'row', 'rows')} settled"
    by_whom = [f"waived by {row.signed_by}: {row_said(row)}" for row in waived]
    banked = [f"banked: worker {who} {hours_text(ms)} h" for who, ms in checklist.banked.items()]
    if waiting:
        hours = hours_text(-sum(row.waiting_ms for row in waiting))
        summary += f", {len(waiting)} waiting for pay with {hours} h"
    not_settled = [f"not settled: {row_said(row)}" for row in left]
    return [summary, *not_settled, *by_whom, *map(_changed_line, checklist.changed), *banked]


def _changed_line(row: PayRow) -> str:
    """Return a row of a period closed before, with how it stands now."""
    if not row.is_settled:
        return f"closed before, not settled: {row_said(row)}"
    if row.waits:
        return f"closed before: {row_said(row)}"
    return f"closed before, waived by {row.signed_by}: {row_said(row)}"


def row_said(row: PayRow) -> str:
    """Return a row by who, period and kind, with what of it is open."""
    who = f"worker {row.worker_id}" if row.worker_id else row.supplier
    days = f"{row.period_start} to {row.period_end}"
    left = [f"{hours_text(row.unexplained_ms)} h unexplained"] if row.unexplained_ms else []
    if row.owed_ms:
        why = "booked and not paid" if row.owed_ms < 0 else "paid without a sheet"
        left.append(f"{hours_text(abs(row.owed_ms))} h {why}")
    if row.waiting_ms:
        left.append(f"{hours_text(-row.waiting_ms)} h waiting for pay")
    return f"{who}, {days}, {row.kind.replace('_', ' ')}: {', '.join(left)}"
