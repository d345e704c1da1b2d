"""The charts of the overview, each with its values where the pointer or the keyboard is."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal

from ledger.domain.overrun import STEP_TITLES
from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports.chart_values import of_days, of_rows, told_chart
from ledger.reports.charts import WaterfallBar, side_by_side, waterfall
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.line_charts import ChartLine, Plot, line_chart
from ledger.reports.tables import Chart
from ledger.reports.text import cut
from ledger.reports.yard.overview import JobOverview, WeekEnd
from ledger.reports.yard.performance_charts import hours_axis

BEGIN, END = "original_budget", "anticipated_final"
HUNDREDTH = MS_PER_HOUR // 100
WEEK = timedelta(days=7)
NAME_ROOM = 34  # Letters of a name beside a drawing.


def growth_chart(jobs: Sequence[JobOverview]) -> Chart | None:
    """Return how far each job will end above or below its estimate; None without any."""
    if not jobs:
        return None
    grown = [(each.job, _amount(each, END) - _amount(each, BEGIN)) for each in jobs]
    bars = [WaterfallBar(cut(job, NAME_ROOM), ms // HUNDREDTH) for job, ms in grown]
    words = [f"{job}: {number_text(hours(ms), signed=True)} h" for job, ms in grown]
    title = "Hours anticipated above or below the original estimate, job by job"
    return told_chart(side_by_side(bars), of_rows(words), title)


def _amount(job: JobOverview, step: str) -> int:
    return next(each.amount for each in job.steps if each.step == step)


def steps_chart(job: JobOverview, amounts: Mapping[str, Decimal]) -> Chart:
    """Return the steps from the original estimate to the anticipated final, as shown in hours."""
    bars = [
        WaterfallBar(STEP_TITLES[s], int(v.scaleb(2)), s in {BEGIN, END})
        for s, v in amounts.items()
    ]
    words = [
        f"{STEP_TITLES[s]}: {number_text(v, signed=s not in {BEGIN, END})} h"
        for s, v in amounts.items()
    ]
    title = f"{job.job}: steps from the original estimate to the anticipated final, in hours"
    return told_chart(waterfall(bars), of_rows(words), title)


def weeks_chart(job: JobOverview, drawn_to: WeekEnd) -> Chart:
    """Return planned, earned and booked hours by week; the upright line is the week's last day."""
    begin = job.weeks[0].end - WEEK, 0
    done = [each for each in job.weeks if each.ac is not None]
    plot = Plot(
        (
            ChartLine("planned (PV)", (begin, *_points(job.weeks, "pv")), "muted", "1.2", "5 3"),
            ChartLine("earned (EV)", (begin, *_points(done, "ev")), "slate", "2.6"),
            ChartLine("booked (AC)", (begin, *_points(done, "ac")), "ochre", "1.4"),
        ),
        hours_axis(max(_most(each) for each in job.weeks)),
        begin[0],
        job.weeks[-1].end,
        drawn_to.end,
    )
    words = [(each.end, week_words(each)) for each in job.weeks]
    title = f"{job.job}: hours planned, earned and booked by the end of each week"
    return told_chart(line_chart(plot), of_days(plot, words), title)


def _points(weeks: Sequence[WeekEnd], name: str) -> Iterator[tuple[date, int]]:
    return ((each.end, getattr(each, name) // MS_PER_HOUR) for each in weeks)


def _most(week: WeekEnd) -> int:
    return max(week.pv, week.ev or 0, week.ac or 0) // MS_PER_HOUR


def week_words(week: WeekEnd) -> str:
    """Return a week in words."""
    amounts = (("planned", week.pv), ("earned", week.ev), ("booked", week.ac))
    amount_words = ", ".join(
        f"{name} {number_text(hours(ms))} h" for name, ms in amounts if ms is not None
    )
    return f"{written(week.end)}: {amount_words}"
