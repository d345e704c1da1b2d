"""The command `to-notify`: time that the owner caused and that no change has yet."""

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING, Any

import typer

from ledger.cli.colour import marked
from ledger.cli.context import Day, Format, Job, chosen, day_of, to_read
from ledger.cli.output import FORMATS, as_csv, give, hours_in_format, say, to_json
from ledger.cli.tables import as_table
from ledger.domain.counting import grouped, hours_text

if TYPE_CHECKING:
    from ledger.commands.notices import ToNotifyKnown
    from ledger.performance.to_notify import ToNotify

MACHINE = ("first_day", "last_day", "attention")
HEAD = ("cause", "kind", "week", "entries", "hours", "value", "notify_by", "days_left")
RAISE = "to raise it: `fairhours request change --job {job} --cause {cause} --title TITLE`"
NOTIFY = "  then: `fairhours issue notice --job {job} CHANGE --aware-on {day} --out notice.pdf`"
CAUTION = (
    "which events need a notice, what it has to say and from when its limit runs is for the "
    "contract"
)


def to_notify(
    context: typer.Context, job: Job, status_date: Day = None, format: Format = "table"
) -> None:
    """List hours that the owner caused and no change has: by cause, week and days left to notify.

    It is for the yard alone; `request change --cause` raises the hours as a change.

    Example: fairhours to-notify --job FERRY
    """
    from ledger.commands.notices import to_notify as known_to_notify
    from ledger.commands.notices_as_json import to_notify_json

    chosen("--format", format, FORMATS)
    known = known_to_notify(to_read(context), job, day_of(status_date))
    if format == "json":
        give(to_json(to_notify_json(known)))
    else:
        _give_rows(known, format)


def _give_rows(known: "ToNotifyKnown", format: str) -> None:
    from ledger.commands.notices_as_json import row_of

    to_notify = known.to_notify
    rows: list[dict[str, Any]] = []
    for each in to_notify.rows:
        row = {**row_of(each, to_notify), "hours": hours_in_format(each.ms, format)}
        if format == "table":
            row |= {"value": each.value, "kind": KINDS[each.kind]}
        rows.append(row)
    if format == "csv":
        give(as_csv((*HEAD, *MACHINE), [[row[n] for n in (*HEAD, *MACHINE)] for row in rows]))
        return
    if not rows:
        say(f"{to_notify.job} on {to_notify.status_date}: nothing to notify")
        return
    give(f"{to_notify.job} on {to_notify.status_date}, {to_notify.currency}")
    missed = [
        (number, HEAD.index("days_left"))
        for number, each in enumerate(to_notify.rows)
        if each.attention and each.attention.is_grave
    ]
    give(as_table(HEAD, [[row[name] for name in HEAD] for row in rows], missed))
    give(_sum_line(known))
    for why in dict.fromkeys(each.unpriced for each in to_notify.rows if each.unpriced):
        say(f"value not defined: {why}")
    if to_notify.notice_days is None:
        say(f"job {to_notify.job} has no notice limit; [notice_limits] of its file sets one")
    for line in _next_steps(to_notify):
        say(line)
    say(CAUTION)


def _next_steps(to_notify: "ToNotify") -> Iterator[str]:
    """Yield for each cause the commands that raise its hours and give notice of its first day."""
    first: dict[str, date] = {}
    for each in to_notify.rows:
        first[each.cause] = min(each.first_day, first.get(each.cause, each.first_day))
    for cause, day in first.items():
        yield RAISE.format(job=to_notify.job, cause=cause)
        yield NOTIFY.format(job=to_notify.job, day=day)


def _sum_line(known: "ToNotifyKnown") -> str:
    to_notify = known.to_notify
    value = (
        ""
        if to_notify.value is None
        else f", {grouped(to_notify.value)} {to_notify.currency} at charge rates"
    )
    line = f"{hours_text(to_notify.ms)} h{value}"
    if to_notify.first_due is None:
        return line
    due = f"first to notify by {to_notify.first_due}"
    late = to_notify.first_due < to_notify.status_date
    return marked(f"{line}; {due}", due) if late else f"{line}; {due}"


KINDS = {"lost": "time lost", "rework": "rework"}


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command("to-notify")(to_notify)
