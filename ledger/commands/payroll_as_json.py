"""Hours paid beside hours booked for machines: hours of 4 places, each rounded by itself."""

from collections.abc import Sequence
from typing import Any

from ledger.commands.as_json import Json, known_at
from ledger.commands.payroll import Opened, Reconciled
from ledger.domain.allocation import hours_of
from ledger.payroll.reconciliation import PayRow


def reconciliation_json(known: Reconciled, *, exact: bool = False) -> Json:
    """Return what was paid and booked, row by row and in all; `exact` adds whole ms."""
    return {
        "from": known.start,
        "to": known.end,
        "rows": [_row(row, exact=exact) for row in known.rows],
        **_sums(known.rows),
        **(_opened(known.opened) if known.opened else {}),
        "known_at": known_at(known.stamp),
    }


def _opened(opened: Opened) -> Json:
    named = {"paid_lines": opened.paid, "booked_lines": opened.booked}
    return {name: [_line(line) for line in lines] for name, lines in named.items()}


def _line(line: dict[str, Any]) -> Json:
    shown = {name: value for name, value in line.items() if name != "ms"}
    return shown | {"hours": hours_of(line["ms"], 4)}


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
        "reasons": [{"reason": reason, "hours": hours_of(ms, 4)} for reason, ms in row.reasons],
        "unexplained_hours": hours_of(row.unexplained_ms, 4),
        "settled": row.is_settled,
    }
    if exact:
        whole = ("paid_ms", "booked_ms", "difference_ms", "unexplained_ms")
        out["exact"] = {name: {"ms": getattr(row, name)} for name in whole}
    return out
