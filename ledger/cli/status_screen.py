"""Where a job stands, on a screen of 80 columns and 24 lines."""

import textwrap
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from ledger.cli.colour import joined, marked
from ledger.cli.figures_tables import finish_words
from ledger.cli.tables import title_of
from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import hours_of, to_places
from ledger.domain.attention import GRAVE
from ledger.domain.counting import counted

if TYPE_CHECKING:
    from ledger.performance.change_list import ChangeList
    from ledger.performance.job_status import JobStatus, Over, ToDo

WIDTH, HEIGHT = 80, 24
LABEL = 13
OF_PLACES = {"non_productive": "non-productive time", "untagged": "time without a known code"}
MORE = "`fairhours changes --job {} --status-date {}` shows {} more"


def screen_of(status: "JobStatus") -> str:
    """Return the screen: money, hours, time, the largest overruns, changes, and what to do."""
    listed = status.changes
    head = f"{listed.job}, {status.title}, on {listed.status_date}"
    lines = [textwrap.shorten(head, WIDTH, placeholder=" ...")]
    money = f"money, {listed.currency}".rstrip(" ,")
    lines += _block(money, _money(status))
    lines += _block("hours", _hours(status))
    lines += _block("time", _time(status))
    lines += _block("over budget", map(_over, status.largest))
    lines += _block("changes", _changes(status))
    lines += _block("to do", _to_do(status, HEIGHT - len(lines)))
    return joined("\n", lines)


def _block(label: str, lines: Iterable[str]) -> list[str]:
    """Return lines beside a label, which the first of them bears."""
    return [
        joined("", (f"{label if not number else '':<{LABEL}}", line))
        for number, line in enumerate(lines)
    ]


def _money(status: "JobStatus") -> Iterator[str]:
    listed = status.changes
    for line in _sums(listed):
        yield from textwrap.wrap(line, WIDTH - LABEL)
    if listed.exposure.ms or listed.exposure.value != 0:
        value = "no charge rate" if listed.exposure.value is None else listed.exposure.value
        risk = f"{value} ({hours_of(listed.exposure.ms)} h)"
        yield marked(f"worked without a price or signature {risk}", risk)


def _sums(listed: "ChangeList") -> Iterator[str]:
    sums = listed.sums
    if sums is None:
        yield f"contract sum {listed.original_sum}"
        yield f"not defined: {listed.undefined['sums']}"
        return
    yield f"contract sum {sums.original}, approved {sums.approved}, omitted {-sums.omitted}"
    yield f"adjusted sum {sums.adjusted}, with daywork movement {sums.daywork_movement}"
    yield f"anticipated final sum {sums.anticipated_final}; submitted, not added {sums.submitted}"
    if sums.time_beyond:  # Of a job paid by the hour alone.
        yield f"time beyond the estimate {sums.time_beyond}, in the anticipated final sum"


def _hours(status: "JobStatus") -> Iterator[str]:
    hours, figures = status.hours, status.figures.figures
    original, budget, booked, final = map(
        hours_of, (hours.original_ms, hours.budget_ms, hours.booked_ms, hours.anticipated_ms)
    )
    yield f"estimate {original}, with changes {budget}; booked {booked}"
    cpi = figures["cpi"]
    shown = "-" if cpi is None else f"{to_places(cpi, 3)}"
    index = f"earned per hour booked (CPI) {shown}"
    line = f"anticipated final {final}; {index}"
    yield marked(line, index) if cpi is not None and cpi < 1 else line
    if status.completeness.reasons:
        yield marked("INCOMPLETE: `fairhours performance` says what is missing", "INCOMPLETE")


def _time(status: "JobStatus") -> Iterator[str]:
    time, completion = status.time, status.changes.completion
    if time.earned_schedule is None or time.actual_time is None:
        yield words_of(time.undefined["earned_schedule"])
    else:
        earned, now = to_places(time.earned_schedule, 2), to_places(time.actual_time, 2)
        yield f"work earned equals plan week {earned}, this is week {now}"
    agreed = completion.moved_to
    date = f"completion date {agreed}" if agreed else "no completion date"
    granted = f", {counted(completion.days_granted, 'day', 'days')} granted"
    line = f"{finish_words(time)}; {date}{granted if completion.days_granted else ''}"
    late = agreed and time.forecast_finish and time.forecast_finish > agreed
    yield marked(line, finish_words(time)) if late else line


def _over(over: "Over") -> str:
    name = OF_PLACES.get(over.key) or f"{over.key} {over.title}".rstrip()
    amount = f"{hours_of(over.ms)} h"
    room = WIDTH - LABEL - len(amount) - 1
    return f"{textwrap.shorten(name, room, placeholder=' ...'):<{room}} {amount}"


def _changes(status: "JobStatus") -> list[str]:
    states = [f"{count} {title_of(state)}" for state, count in status.price_states.items()]
    total = len(status.changes.changes)
    text = f"{total}: {', '.join(states)}" if total else "none requested"
    return textwrap.wrap(text, WIDTH - LABEL)


def _to_do(status: "JobStatus", room: int) -> list[str]:
    """Return what to do, worst first, in as many lines as there is room for."""
    of_sheets = [_of_sheets(each) for each in status.to_do if not each.changes]
    lines = textwrap.wrap("; ".join(of_sheets), WIDTH - LABEL)
    of_changes = [_of_changes(each) for each in status.to_do if each.changes]
    if not lines and not of_changes:
        return ["nothing"]
    left = room - len(lines)
    if len(of_changes) <= left:
        return [*lines, *of_changes]
    shown = max(left - 1, 0)
    more = MORE.format(status.changes.job, status.changes.status_date, len(of_changes) - shown)
    return [*lines, *of_changes[:shown], more]


def _of_sheets(to_do: "ToDo") -> str:
    hours = "" if to_do.ms is None else f"{hours_of(to_do.ms)} h "
    return {
        "held": f"{hours}held in {counted(to_do.count, 'line', 'lines')}",
        "untagged": f"{hours}untagged",
        "doubts": f"{counted(to_do.count, 'doubt', 'doubts')} to look into",
        "to_notify": f"{hours}to notify{f' by {to_do.due}' if to_do.due else ''}",
        "replies_overdue": f"{counted(to_do.count, 'reply', 'replies')} overdue since {to_do.due}",
        "missing": f"{counted(to_do.count, 'sheet', 'sheets')} missing",
        "unmeasured": f"{hours}in {counted(to_do.count, 'package', 'packages')} since measured",
    }[to_do.kind]


def _of_changes(to_do: "ToDo") -> str:
    what = f"{title_of(to_do.kind)}{f' {to_do.due}' if to_do.due else ''}"
    line = textwrap.shorten(
        f"{what}: {', '.join(to_do.changes)}", WIDTH - LABEL, placeholder=" ..."
    )
    return marked(line, what) if to_do.kind in GRAVE else line
