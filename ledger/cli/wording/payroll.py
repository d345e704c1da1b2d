"""What was signed off, in words."""

from ledger.commands.payroll import OffDone
from ledger.domain.counting import counted, hours_text
from ledger.payroll.closing import Checklist
from ledger.payroll.reconciliation import PayRow


def signed_lines(done: OffDone) -> list[str]:
    """Return what is said of rows that were signed off, and of each that was left."""
    signed = done.signed
    said = f"{counted(signed.signed, 'row', 'rows')} signed off"
    if unexplained := signed.waived - signed.unpaid - signed.unsheeted - signed.waiting:
        said += f", {unexplained} of them with hours unexplained"
    if signed.unpaid:
        said += f", {signed.unpaid} of them with hours not paid"
    if signed.unsheeted:
        said += f", {signed.unsheeted} of them paid without a sheet"
    if signed.waiting:
        said += f", {signed.waiting} of them waiting for pay"
    if signed.as_before:
        said += f"; {signed.as_before} signed off before"
    if signed.as_closed:
        said += f"; {signed.as_closed} of a closed period left as closed"
    if not signed.left:
        return [said]
    left = [f"left: {row_said(row)}" for row in signed.left]
    return [said, *left, "explain them by payroll-notes, or give a --reason to let them pass"]


def checklist_lines(found: Checklist) -> list[str]:
    """Return how a period that is closed stands, a line each."""
    since = f"from {found.start}" if found.start else "from the first day"
    return [
        f"checklist {since} to {found.end}:",
        f"  sheets: {_sheets(found)}",
        f"  held lines: {found.held_lines}",
        f"  open doubts: {found.doubts}",
        *(f"  {line}" for line in _pay_lines(found)),
    ]


def _sheets(found: Checklist) -> str:
    if not found.sheets_expected:
        return "none expected by the calendar of any job"
    return f"{found.sheets_in} of {found.sheets_expected} in"


def _pay_lines(found: Checklist) -> list[str]:
    if found.rows is None:
        return ["hours paid: none loaded, not compared"]
    left = [row for row in found.rows if not row.is_settled]
    waived = found.waived
    waiting = found.waiting
    settled = len(found.rows) - len(left) - len(waived) - len(waiting)
    said = f"hours paid: {settled} of {counted(len(found.rows), 'row', 'rows')} settled"
    by_whom = [f"waived by {row.signed_by}: {row_said(row)}" for row in waived]
    banked = [f"banked: worker {who} {hours_text(ms)} h" for who, ms in found.banked.items()]
    if waiting:
        hours = hours_text(-sum(row.waiting_ms for row in waiting))
        said += f", {len(waiting)} waiting for pay with {hours} h"
    not_settled = [f"not settled: {row_said(row)}" for row in left]
    return [said, *not_settled, *by_whom, *map(_changed_said, found.changed), *banked]


def _changed_said(row: PayRow) -> str:
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
