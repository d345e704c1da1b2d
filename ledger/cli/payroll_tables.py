"""Hours paid beside hours booked, as tables for people and as CSV."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from ledger.cli.output import as_csv, give, hours_in_format
from ledger.cli.tables import as_table
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.commands.payroll import HoursKnown, Opened, Reconciled
    from ledger.payroll.hours import WorkerHours
    from ledger.payroll.reconciliation import PayRow

CAUTION = (
    "Hours are compared; what is to be paid for them is for local law, collective agreements and "
    "the contract."
)
CAUTION_OF_HOURS = (
    "What is working time, overtime or rest is for local law, collective agreements and the "
    "contract."
)
# Directive 2003/88/EC, art. 3 to 6.
REST = {
    "week_average": "above 48 h a week on average",
    "daily_rest": "less than 11 h of rest in a day",
    "break": "more than 6 h without a break",
    "weekly_rest": "seven days running without a free one",
}
HEAD = (
    *("worker_id", "supplier", "period_start", "period_end", "kind", "against"),
    *(
        "paid_hours",
        "booked_hours",
        "difference_hours",
        "clocked_hours",
        "beside_clock_hours",
        "reasons",
    ),
    *("unexplained_hours", "waiting_hours", "settled", "signed_by"),
)
PAID = ("pay_class", "period_start", "period_end", "supplier", "invoice", "fact")
BOOKED = ("day", "job", "booked_to", "pay_class", "entry", "sheet", "file", "line")
SHOWN: tuple[str, ...] = (
    *("worker", "period", "kind", "against", "paid", "booked", "difference", "reasons"),
    *("unexplained", "settled"),
)


HOURS = ("worked", "paid_not_worked", "other", "saturday", "overtime")
PARTS = {"trade": "by trade", "job": "by job or other place", "pay_class": "by pay class"}


def hours_table(known: "HoursKnown", format: str) -> None:
    """Give hours by worker and week or day; in a table the subtotals too."""
    hours, start = known.hours, known.asked.by if known.asked.by == "day" else "week"
    head = ("worker_id", start, *(f"{name}_hours" for name in HOURS), "hours")
    if format == "csv":
        give(as_csv(head, [_hours_of(row, format) for row in hours.rows]))
        return
    if not hours.rows:
        give("no hours in these days")
        return
    heads = ("worker", start, *(name.replace("_", " ") for name in HOURS), "all")
    rows = [_hours_of(row, format) for row in hours.rows]
    sums = [sum(getattr(row, f"{name}_ms") for row in hours.rows) for name in HOURS]
    every = sum(row.ms for row in hours.rows)
    give(as_table(heads, [*rows, ["all", "", *map(_hours, sums), _hours(every)]]))
    for part, title in PARTS.items():
        listed = [each for each in hours.subtotals if each.part == part]
        give(f"\n{title}")
        sums_of_part = [
            [e.name or "none", *map(_hours, (e.ms, e.saturday_ms, e.overtime_ms))] for e in listed
        ]
        give(as_table((part.replace("_", " "), "hours", "saturday", "overtime"), sums_of_part))
    give("\n".join(["", _overtime_said(known), *_cautions_said(known), CAUTION_OF_HOURS]))


def _cautions_said(known: "HoursKnown") -> Iterator[str]:
    """Yield a line for each caution: the first worker and days, and how many more there are."""
    for kind, words in REST.items():
        cautions = [each for each in known.hours.cautions if each.caution == kind]
        if cautions:
            first = cautions[0]
            days = str(first.day_from)
            if first.day_to != first.day_from:
                days += f" to {first.day_to}"
            more = f", and {len(cautions) - 1} more" if len(cautions) > 1 else ""
            yield f"{words}: worker {first.worker_id}, {days}, {_hours(first.ms)} h{more}"


def _hours_of(row: "WorkerHours", format: str) -> list[object]:
    amounts = (*(getattr(row, f"{name}_ms") for name in HOURS), row.ms)
    return [row.worker_id, row.period_start, *(hours_in_format(ms, format) for ms in amounts)]


def _overtime_said(known: "HoursKnown") -> str:
    policy = known.hours.policy
    if not policy.is_set:
        return "overtime: no threshold is set under [overtime] in the settings"
    if known.asked.job:
        return "overtime is over all jobs; leave out --job to see it"
    above = ((policy.weekly_ms, "a week"), (policy.daily_ms, "a day"))
    thresholds = " and ".join(f"{_hours(ms)} h {of}" for ms, of in above if ms is not None)
    leave = ", absence counted" if policy.leave_counts else ""
    above_which = f"overtime is above {thresholds}{leave}, over all jobs"
    return f"{above_which}; a week's in the days in which it ends"


def reconciliation_table(known: "Reconciled", format: str) -> None:
    """Give what was paid and booked, row by row, and in a table what it comes to."""
    if format == "csv":
        give(reconciliation_csv(known))
        return
    if not known.rows:
        give(f"nothing paid or booked in periods that end from {known.start} to {known.end}")
        _give_changed(known)
        _give_unused(known)
        return
    _give_rows(known.rows, _in_all(known.rows))
    if known.opened:
        _open(known.opened)
    clocked = [_clocked(row) for row in known.rows if row.is_off_clock]
    if clocked:
        give("\nattendance clock, where it differs from what is booked on the days it has")
        give(as_table(("worker", "period", "booked", "clocked", "difference"), clocked))
    if known.banked:
        give("\nbanked hours, below 0 owed by the worker")
        give(as_table(("worker", "hours"), [[who, _hours(ms)] for who, ms in known.banked.items()]))
    _give_changed(known)
    _give_unused(known)
    closed = f", as closed to {known.closed_to}" if known.closed_to else ""
    give(f"\n{_open_said(known.rows)}{closed}\n{CAUTION}")


def _give_rows(rows: Sequence["PayRow"], *sums: list[object]) -> None:
    """Give rows, and what they stand against where somebody has rows against more than one."""
    lines, head = [*map(_shown, rows), *sums], SHOWN
    whose = {(row.worker_id or row.supplier, row.against) for row in rows}
    if len(whose) == len({who for who, _ in whose}):
        at = SHOWN.index("against")
        lines = [[*line[:at], *line[at + 1 :]] for line in lines]
        head = (*SHOWN[:at], *SHOWN[at + 1 :])
    give(as_table(head, lines))


def _open_said(rows: Sequence["PayRow"]) -> str:
    waiting = sum(row.waits for row in rows)
    summary = f"{counted(sum(not row.is_settled for row in rows), 'row', 'rows')} not settled"
    return f"{summary}, {waiting} waiting for pay" if waiting else summary


def reconciliation_csv(known: "Reconciled") -> str:
    """Return what was paid and booked as CSV, row by row."""
    return as_csv(HEAD, [_of_csv(row) for row in known.rows])


def _give_changed(known: "Reconciled") -> None:
    """Give the rows of closed periods that are not as they were closed."""
    if known.changed:
        give("\nof closed periods, not as they were closed")
        _give_rows(known.changed)
        give(f"of closed periods {_open_said(known.changed)}")


def _give_unused(known: "Reconciled") -> None:
    """Give the notes that belong to no row."""
    if not known.unused:
        return
    give("\nnotes that explain nothing: no row has all their days")
    rows = [
        [
            *(note.worker_id or note.supplier, f"{note.period_start} to {note.period_end}"),
            *(note.kind.replace("_", " "), note.reason.replace("_", " "), _hours(note.ms)),
        ]
        for note in known.unused
    ]
    give(as_table(("worker", "period", "kind", "reason", "hours"), rows))


def _open(opened: "Opened") -> None:
    """Give the lines of a worker: what was paid, then what was booked."""
    for title, head, lines in (
        ("paid", PAID, opened.paid),
        ("booked", BOOKED, opened.booked),
    ):
        rows = [[_hours(line["ms"]), *(line[name] for name in head)] for line in lines]
        give(f"\n{title}")
        give(as_table(("hours", *head), rows) if rows else "nothing")


def _of_csv(row: "PayRow") -> list[object]:
    hours = (
        *(row.paid_ms, row.booked_ms, row.difference_ms),
        *(row.clocked_ms, row.beside_clock_ms),
    )
    return [
        *(row.worker_id, row.supplier, row.period_start, row.period_end, row.kind, row.against),
        *(hours_in_format(ms, "csv") for ms in hours),
        _reasons(row, "csv"),
        hours_in_format(row.unexplained_ms, "csv"),
        hours_in_format(row.waiting_ms, "csv"),
        str(row.is_settled).lower(),
        row.signed_by,
    ]


def _reasons(row: "PayRow", format: str) -> str:
    return ", ".join(f"{reason} {hours_in_format(ms, format)}" for reason, ms in row.reasons)


def _why(row: "PayRow") -> str:
    """Return the reasons of a row in words, with the minus sign that numbers of tables have."""
    if row.is_pay_alone:
        return f"pay without time {_hours(row.difference_ms)}"
    return _reasons(row, "table").replace("_", " ").replace("-", "−")


def _shown(row: "PayRow") -> list[object]:
    return [
        *_of(row),
        *(row.kind.replace("_", " "), row.against),
        *map(_hours, (row.paid_ms, row.booked_ms, row.difference_ms)),
        _why(row),
        _hours(left) if (left := _left(row)) else "",
        _settled(row),
    ]


def _left(row: "PayRow") -> int:
    """Return what no reason explains, in ms; nothing of an allowance, which is pay without time."""
    return 0 if row.is_pay_alone else row.unexplained_ms


def _settled(row: "PayRow") -> str:
    if row.is_signed:
        return f"{'waived' if row.signed_reason else 'signed off'} by {row.signed_by}"
    if row.is_settled:
        return "waits for pay" if row.waits else "yes"
    return f"open again, signed off by {row.signed_by}" if row.signed_by else "no"


def _of(row: "PayRow") -> list[object]:
    return [row.worker_id or row.supplier, f"{row.period_start} to {row.period_end}"]


def _hours(ms: int | None) -> object:
    return hours_in_format(ms, "table")


def _in_all(rows: Sequence["PayRow"]) -> list[object]:
    paid, booked = sum(row.paid_ms for row in rows), sum(row.booked_ms for row in rows)
    unexplained = sum(map(_left, rows))
    sums = map(_hours, (paid, booked, paid - booked))
    return ["all", "", "", "", *sums, "", _hours(unexplained) if unexplained else "", ""]


def _clocked(row: "PayRow") -> list[object]:
    booked, clocked = row.beside_clock_ms or 0, row.clocked_ms or 0
    return [*_of(row), *map(_hours, (booked, clocked, clocked - booked))]
