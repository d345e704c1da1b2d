"""Reports of hours paid and booked as the tests make them."""

from datetime import date
from typing import Any

from ledger.reports.yard.reconciliation import (
    Banked,
    DifferenceReason,
    NoteShown,
    PaidRow,
    Reconciliation,
    Signed,
)
from tests.reports._yard_pages import HARBOUR, HOUR, LONG, STAMP

MONTH = (date(2026, 6, 1), date(2026, 6, 30))
SIGNED = Signed("pm", "Oda Finch", date(2026, 7, 3), "")


def row(number: int, paid: int, booked: int, *reasons: tuple[str, int], **facts: Any) -> PaidRow:
    """Return a row of a worker in ms; what no reason explains is unexplained and keeps it open."""
    left = paid - booked - sum(ms for _, ms in reasons)
    given: dict[str, Any] = {
        "worker_id": str(100 + number),
        "name": f"Worker {number}",
        "supplier": "",
        "period_start": MONTH[0],
        "period_end": MONTH[1],
        "kind": "worked",
        "against": "payroll",
        "clocked_ms": None,
        "beside_clock_ms": None,
        "owed_ms": 0,
        "waiting_ms": 0,
        "is_settled": not left,
        "is_signed": "signed" in facts,
        "signed": None,
    }
    why = tuple(DifferenceReason(*each) for each in reasons)
    return PaidRow(
        **given | facts, paid_ms=paid, booked_ms=booked, reasons=why, unexplained_ms=left
    )


def report(*rows: PaidRow, **facts: Any) -> Reconciliation:
    """Return a report of rows."""
    given: dict[str, Any] = {
        "yard": HARBOUR,
        "start": MONTH[0],
        "end": MONTH[1],
        "closed_to": None,
        "tolerance_minutes": 15,
        "known_at": STAMP,
        "remade_by": "fairhours --known-at 57 report reconciliation --out reconciliation.pdf",
        "rehearsal": False,
        "rows": rows,
        "changed": (),
        "banked": (),
        "notes": (),
    }
    return Reconciliation(**given | facts)


def noted(**facts: Any) -> NoteShown:
    given: dict[str, Any] = {
        "party": "103",
        "period_start": MONTH[0],
        "period_end": MONTH[1],
        "kind": "worked",
        "reason": "banked_hours",
        "ms": -4 * HOUR,
        "note": "agreed",
        "is_used": True,
    }
    return NoteShown(**given | facts)


# Twenty minutes are a third of an hour, so that sums of rounded rows are not the rounded sum.
THIRD = HOUR // 3
USUAL = report(
    *(row(number, THIRD, THIRD) for number in range(8)),
    row(10, 40 * HOUR, 39 * HOUR + 2 * THIRD, ("rounding", THIRD), signed=SIGNED),
    row(11, 40 * HOUR + THIRD, 44 * HOUR, ("banked_hours", -4 * HOUR), is_settled=False),
    row(12, 0, 8 * HOUR, ("unpaid", -8 * HOUR), owed_ms=-8 * HOUR, is_settled=False),
    row(12, 6 * HOUR, 0, kind="allowance", is_settled=True),
    row(
        *(13, 38 * HOUR, 40 * HOUR),
        clocked_ms=41 * HOUR,
        beside_clock_ms=40 * HOUR,
        is_settled=True,
        signed=Signed("pm", "", date(2026, 7, 3), "paid in July"),
    ),
    banked=(Banked("103", "Worker 3", 4 * HOUR), Banked("104", "", -HOUR)),
    changed=(
        row(
            14, 32 * HOUR, 40 * HOUR, ("late_sheet", -8 * HOUR), owed_ms=-8 * HOUR, is_settled=False
        ),
        row(15, 30 * HOUR, 40 * HOUR, ("late_sheet", -10 * HOUR), waiting_ms=-10 * HOUR),
    ),
    notes=(noted(), noted(party="104", is_used=False)),
)
EMPTY = report()
LONG_NAMES = report(
    *(
        row(number, 40 * HOUR, 39 * HOUR, ("rounding", HOUR), name=LONG, supplier=LONG)
        for number in range(30)
    ),
    row(90, HOUR, 0, worker_id="", supplier=LONG, signed=Signed("pm", LONG, MONTH[1], LONG)),
    notes=(noted(note=LONG, party=LONG),),
)
VIEWS = {"usual": USUAL, "empty": EMPTY, "long names": LONG_NAMES}
