"""Where a job stands, on a screen of 80 columns and 24 lines, the last left to the prompt."""

import textwrap
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import TYPE_CHECKING

from ledger.cli.colour import joined, marked
from ledger.cli.figures_tables import OF_PLACES, finish_words
from ledger.cli.tables import title_of
from ledger.cli.wording.reasons import words_of
from ledger.cli.wrapping import laid_out, lines_of
from ledger.domain.allocation import to_places
from ledger.domain.attention import GRAVE
from ledger.domain.counting import counted, grouped, hours_text

if TYPE_CHECKING:
    from ledger.performance.change_list import ChangeList
    from ledger.performance.job_status import JobStatus, OverBudget, ToDo

WIDTH, HEIGHT = 80, 23
LABEL = 13
# What is to do and not shown: the first of these that fits.
MORE = (
    "{} more: `fairhours changes --job {} --status-date {}`",
    "{} more: see `fairhours changes`",
)


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
    return laid_out(joined("\n", lines))


def _block(label: str, lines: Iterable[str]) -> list[str]:
    """Return lines beside a label, which the first of them bears."""
    fitting = chain.from_iterable(lines_of(line, WIDTH - LABEL) for line in lines)
    return [
        joined("", (f"{label if not number else '':<{LABEL}}", line))
        for number, line in enumerate(fitting)
    ]


def _money(status: "JobStatus") -> Iterator[str]:
    listed = status.changes
    yield from _sums(listed)
    if listed.exposure.ms or listed.exposure.value != 0:
        worth, hours = listed.exposure.value, hours_text(listed.exposure.ms)
        risk = f"{'no charge rate' if worth is None else grouped(worth)} ({hours} h)"
        yield marked(f"worked without a price or signature {risk}", risk)


def _sums(listed: "ChangeList") -> Iterator[str]:
    sums = listed.sums
    if sums is None:
        yield f"contract sum {grouped(listed.original_sum)}"
        yield f"not defined: {listed.undefined['sums']}"
        return
    original, approved, omitted = map(grouped, (sums.original, sums.approved, -sums.omitted))
    yield f"contract sum {original}, approved {approved}, omitted {omitted}"
    adjusted, daywork = grouped(sums.adjusted), grouped(sums.daywork_movement)
    yield f"adjusted sum {adjusted}, with daywork movement {daywork}"
    final, submitted = grouped(sums.anticipated_final), grouped(sums.submitted)
    yield f"anticipated final sum {final}; submitted, not added {submitted}"
    if sums.time_beyond:  # Of a job paid by the hour alone.
        beyond = grouped(sums.time_beyond)
        yield f"time beyond the estimate {beyond}, in the anticipated final sum"


def _hours(status: "JobStatus") -> Iterator[str]:
    hours, figures = status.hours, status.figures.figures
    original, budget, booked, final = map(
        hours_text, (hours.original_ms, hours.budget_ms, hours.booked_ms, hours.anticipated_ms)
    )
    yield f"estimate {original}, with changes {budget}; booked {booked}"
    cpi = figures["cpi"]
    cpi_text = "-" if cpi is None else f"{to_places(cpi, 3)}"
    index = f"earned per hour booked (CPI) {cpi_text}"
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
    date = f"completion {agreed}" if agreed else "no completion date"
    granted = f", {counted(completion.days_granted, 'day', 'days')} granted"
    line = f"{finish_words(time)}; {date}{granted if completion.days_granted else ''}"
    late = agreed and time.forecast_finish and time.forecast_finish > agreed
    yield marked(line, finish_words(time)) if late else line


def _over(over: "OverBudget") -> str:
    name = OF_PLACES.get(over.key) or f"{over.key} {over.title}".rstrip()
    amount = f"{hours_text(over.ms)} h"
    room = WIDTH - LABEL - len(amount) - 1
    return f"{textwrap.shorten(name, room, placeholder=' ...'):<{room}} {amount}"


def _changes(status: "JobStatus") -> Iterator[str]:
    states = [f"{count} {title_of(state)}" for state, count in status.price_states.items()]
    total = len(status.changes.changes)
    yield f"{total}: {', '.join(states)}" if total else "none requested"


def _to_do(status: "JobStatus", room: int) -> list[str]:
    """Return what to do, worst first, in as many lines as there is room for."""
    of_sheets = [_of_sheets(each) for each in status.to_do if not each.changes]
    lines = list(lines_of("; ".join(of_sheets), WIDTH - LABEL)) if of_sheets else []
    of_changes = [_of_changes(each) for each in status.to_do if each.changes]
    if not lines and not of_changes:
        return ["nothing"]
    left = room - len(lines)
    if len(of_changes) <= left:
        return [*lines, *of_changes]
    fitting_count = max(left - 1, 0)
    left_out = (len(of_changes) - fitting_count, status.changes.job, status.changes.status_date)
    more = [text.format(*left_out) for text in MORE]
    fitting = [text for text in more if len(text) <= WIDTH - LABEL]
    return [*lines, *of_changes[:fitting_count], fitting[0]]


def _of_sheets(to_do: "ToDo") -> str:
    hours = "" if to_do.ms is None else f"{hours_text(to_do.ms)} h "
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
