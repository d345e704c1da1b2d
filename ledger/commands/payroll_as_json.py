"""Hours paid beside hours booked for machines: hours of 4 places, each rounded by itself."""

from collections.abc import Sequence
from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.payroll import HoursKnown, Opened, Reconciled
from ledger.domain.allocation import hours_of
from ledger.payroll.reconciliation import PayNote, PayRow


def reconciliation_json(known: Reconciled, *, exact: bool = False) -> Json:
    """Return what was paid and booked, row by row and in all; `exact` adds whole ms."""
    return {
        "from": known.start,
        "to": known.end,
        "rows": [_row(row, exact=exact) for row in known.rows],
        **_sums(known.rows),
        "changed_since_closed": [_row(row, exact=exact) for row in known.changed],
        "banked": [
            {"worker_id": worker, "hours": hours_of(ms, 4)} for worker, ms in known.banked.items()
        ],
        "notes_unused": [_note(each) for each in known.unused],
        **(_opened(known.opened) if known.opened else {}),
        "known_at": known_at(known.stamp),
    }


AMOUNTS = ("worked", "paid_not_worked", "other", "saturday", "overtime")


def hours_json(known: HoursKnown) -> Json:
    """Return hours of each worker by week or day, and by trade, job and pay class."""
    rows, policy = known.hours.rows, known.hours.policy
    return {
        "from": known.asked.start,
        "to": known.asked.end,
        "by": known.asked.by,
        "job": known.asked.job,
        "overtime_policy": {
            "weekly_hours": None if policy.weekly_ms is None else hours_of(policy.weekly_ms, 4),
            "daily_hours": None if policy.daily_ms is None else hours_of(policy.daily_ms, 4),
            "paid_leave_counts": policy.leave_counts,
        },
        "rows": [
            {
                "worker_id": row.worker_id,
                "period_start": row.period_start,
                **{f"{n}_hours": hours_of(getattr(row, f"{n}_ms"), 4) for n in AMOUNTS},
                "hours": hours_of(row.ms, 4),
            }
            for row in rows
        ],
        "subtotals": {part: _subtotals(known, part) for part in ("trade", "job", "pay_class")},
        "cautions": [
            {
                "caution": each.caution,
                "worker_id": each.worker_id,
                "from": each.day_from,
                "to": each.day_to,
                "hours": hours_of(each.ms, 4),
            }
            for each in known.hours.cautions
        ],
        **{f"{n}_hours": hours_of(sum(getattr(r, f"{n}_ms") for r in rows), 4) for n in AMOUNTS},
        "hours": hours_of(sum(row.ms for row in rows), 4),
        "known_at": known_at(known.stamp),
    }


def _subtotals(known: HoursKnown, part: str) -> list[Json]:
    return [
        {
            part: each.name,
            "hours": hours_of(each.ms, 4),
            "saturday_hours": hours_of(each.saturday_ms, 4),
            "overtime_hours": hours_of(each.overtime_ms, 4),
        }
        for each in known.hours.subtotals
        if each.part == part
    ]


def _opened(opened: Opened) -> Json:
    named = {"paid_lines": opened.paid, "booked_lines": opened.booked}
    return {name: [_line(line) for line in lines] for name, lines in named.items()}


def _line(line: dict[str, Any]) -> Json:
    fields = {name: value for name, value in line.items() if name != "ms"}
    return fields | {"hours": hours_of(line["ms"], 4)}


def _note(note: PayNote) -> Json:
    return {
        "worker_id": note.worker_id,
        "supplier": note.supplier,
        "period_start": note.period_start,
        "period_end": note.period_end,
        "kind": note.kind,
        "reason": note.reason,
        "hours": hours_of(note.ms, 4),
    }


def _sums(rows: Sequence[PayRow]) -> Json:
    paid, booked = sum(row.paid_ms for row in rows), sum(row.booked_ms for row in rows)
    return {
        "paid_hours": hours_of(paid, 4),
        "booked_hours": hours_of(booked, 4),
        "difference_hours": hours_of(paid - booked, 4),
    }


def _row(row: PayRow, *, exact: bool) -> Json:
    out: Json = {
        "worker_id": row.worker_id,
        "supplier": row.supplier,
        "period_start": row.period_start,
        "period_end": row.period_end,
        "kind": row.kind,
        "against": row.against,
        **_sums([row]),
        "clocked_hours": None if row.clocked_ms is None else hours_of(row.clocked_ms, 4),
        "beside_clock_hours": (
            None if row.beside_clock_ms is None else hours_of(row.beside_clock_ms, 4)
        ),
        "reasons": [{"reason": reason, "hours": hours_of(ms, 4)} for reason, ms in row.reasons],
        "unexplained_hours": hours_of(row.unexplained_ms, 4),
        "waiting_hours": hours_of(row.waiting_ms, 4),
        "settled": row.is_settled,
        "signed_by": row.signed_by,
        "signed_at": row.signed_at,
        "signed_reason": row.signed_reason,
    }
    if exact:
        whole = ("paid_ms", "booked_ms", "difference_ms", "unexplained_ms")
        out["exact"] = {name: {"ms": getattr(row, name)} for name in whole}
    return out
