"""All jobs of a yard as a page: tables with a row a job, the yard's own lines, then job by job."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import cast

from ledger.domain.overrun import STEP_TITLES, shown_steps
from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.figures import hours, number_text
from ledger.reports.tables import Cell, Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut, visible_throughout
from ledger.reports.yard import week_words
from ledger.reports.yard.overview import JobOverview, Overview, WeekEnd
from ledger.reports.yard.overview_charts import BEGIN, END, growth_chart, steps_chart, weeks_chart
from ledger.reports.yard.week import WeekRemark
from ledger.reports.yard.week_page import COLUMNS

TITLE = "All jobs"
HOW_TO_READ = (
    "Heads sort their tables. The values of a chart are told under it where the pointer is; by "
    "keyboard, go to the chart with Tab and along it with the arrow keys. All values stand in "
    "tables too.",
)
CAUTION = (
    "The yard's own figures: not meant for owners, whoever they are mailed to. "
    + week_words.CAUTION
)
# A column of the first tables: its head, kind and unit, and the line and figure that it shows.
Shown = tuple[Column, str, str]
HOURS: tuple[Shown, ...] = (
    (Column("Booked in the week", "hours", "h"), "hours", "booked"),
    (Column("Booked to date", "hours", "h"), "to_date", "booked"),
    (Column("Anticipated at the end", "hours", "h"), "to_date", "final"),
    (Column("Earned per hour booked (CPI)", "rate"), "indices", "cpi"),
    (Column("SPI(t)", "rate"), "indices", "spi_time"),
    (Column("Finish", "date"), "finish", "forecast"),
    (Column("Completion date", "date"), "finish", "completion"),
    (Column("Late (\N{MINUS SIGN}: early)", "days", "working days"), "finish", "late"),
    (Column("Key dates missed", "days"), "missed", "count"),
    (Column("Changes to see to", "days"), "attention", "count"),
)
GROWTH = (
    Column("Job", "code"),
    Column("Estimated", "hours", "h"),
    Column("Anticipated", "hours", "h"),
)
NO_JOBS = "No job has hours."
LABELS = {"missed": "Key dates", "sums": "Contract", "account": "Account"}


def overview_page(view: Overview) -> Page:
    """Return the overview ready to be shown; the digest is that of the view as it was given."""
    seal = digest(view)
    overview: Overview = visible_throughout(view)
    days = f"{written(overview.first)} to {written(overview.last)}"
    return Page(
        title=TITLE,
        subject=days,
        letterhead=page_parts.letterhead(overview.yard),
        facts=(
            Fact("Jobs", number_text(len(overview.jobs))),
            Fact("As recorded by", f"record stamp {overview.known_at.sequence}"),
        ),
        headline="",
        figures=(),
        sections=tuple(_sections(overview)),
        how_to_read=HOW_TO_READ,
        caution=CAUTION,
        proof=page_parts.proof(overview.known_at, view, overview.remade_by),
        running=(TITLE, days),
        foot=page_parts.foot(overview.known_at, seal),
        banner=page_parts.banner(rehearsal=overview.rehearsal),
        cover="Overview",
    )


def _sections(view: Overview) -> Iterator[Section]:
    yield Section("Hours and dates", _by_job(view, "Hours and dates", HOURS), is_sortable=True)
    yield Section("Money", _by_job(view, "Money", _money(view.currency)), is_sortable=True)
    growth = Table(
        "Growth",
        "Hours as estimated and as anticipated, job by job",
        GROWTH,
        tuple(
            Row((cut(each.job, NAME_LENGTH), _step(each, BEGIN), _step(each, END)))
            for each in view.jobs
        ),
        NO_JOBS,
    )
    yield Section("Above or below the estimate", growth, growth_chart(view.jobs))
    yield Section("The yard", _lines("Yard", view.of_yard, ""))
    for number, each in enumerate(view.jobs, start=1):
        yield from _of_job(each, number)


def _money(currency: str) -> tuple[Shown, ...]:
    return (
        (Column("Adjusted sum", "money", currency), "sums", "adjusted"),
        (Column("Anticipated final sum", "money", currency), "sums", "final"),
        (Column("May be claimed", "money", currency), "claimable", "due"),
        (Column("Outstanding, tax included", "money", currency), "account", "outstanding"),
    )


def _by_job(view: Overview, name: str, figures: Sequence[Shown]) -> Table:
    """Return a table with a row a job; the job is linked to what else is told of it."""
    rows = [
        Row(
            (cut(each.job, NAME_LENGTH), *(_cell(each.value(*of)) for _, *of in figures)),
            link=_anchor(number),
        )
        for number, each in enumerate(view.jobs, start=1)
    ]
    columns = (Column("Job", "code"), *(column for column, *_ in figures))
    return Table(name, f"{name}, a row a job", columns, tuple(rows), NO_JOBS)


def _cell(value: object) -> Cell:
    return cast(Cell, value)


def _anchor(number: int) -> str:
    return f"job-{number}"


def _step(job: JobOverview, step: str) -> Decimal:
    return hours(next(each.amount for each in job.steps if each.step == step))


def _of_job(job: JobOverview, number: int) -> Iterator[Section]:
    code, week = cut(job.job, NAME_LENGTH), job.lines_of
    title = f"{code} {cut(week.title, page_parts.LINE_LENGTH)}"
    lines = _lines(code, week.lines, week.currency)
    yield Section(title, lines, anchor=_anchor(number))
    done = [each for each in job.weeks if each.ac is not None]
    if done:
        chart = weeks_chart(job, done[-1])
        yield Section("Hours week by week", _weeks(job, code), chart, job.weeks_opened_by, level=3)
    steps = shown_steps({each.step: each.amount for each in job.steps}, MS_PER_HOUR)
    yield Section(
        "From the estimate to the end",
        _steps(code, steps),
        steps_chart(job, steps),
        job.steps_opened_by,
        level=3,
    )


def _lines(name: str, lines: Sequence[WeekRemark], currency: str) -> Table:
    rows = [Row((_label(each), _words(each, currency), each.opened_by)) for each in lines]
    return Table(name, f"{name}: figures of the week, and what opens them", COLUMNS, tuple(rows))


def _label(line: WeekRemark) -> str:
    return LABELS.get(line.what) or week_words.LABELS[line.what]


def _words(line: WeekRemark, currency: str) -> str:
    if line.what == "missed":
        return f"{line['count']} of {line['dates']} missed as the work goes"
    if line.what == "sums":
        adjusted, final = (
            _money_words(line["adjusted"], currency),
            _money_words(line["final"], currency),
        )
        return f"adjusted sum {adjusted}, anticipated final sum {final}"
    if line.what == "account":
        return f"{_money_words(line['outstanding'], currency)} outstanding, tax included"
    return week_words.words(line, currency)


def _money_words(value: object, currency: str) -> str:
    return f"{number_text(value)} {currency}".strip() if isinstance(value, Decimal) else "not known"


def _weeks(job: JobOverview, code: str) -> Table:
    columns = (
        Column("Week to", "date"),
        Column("Planned (PV)", "hours", "h"),
        Column("Earned (EV)", "hours", "h"),
        Column("Booked (AC)", "hours", "h"),
    )
    rows = tuple(Row(_week(each)) for each in job.weeks)
    return Table(f"{code} weeks", f"{code}: cumulative hours week by week", columns, rows)


def _week(week: WeekEnd) -> tuple[Cell, ...]:
    return (week.end, *(None if ms is None else hours(ms) for ms in (week.pv, week.ev, week.ac)))


def _steps(code: str, amounts: Mapping[str, Decimal]) -> Table:
    columns = (Column("Step", "text"), Column("Hours", "hours", "h"))
    rows = tuple(
        Row((STEP_TITLES[step], amount), "total" if step in {BEGIN, END} else "step")
        for step, amount in amounts.items()
    )
    return Table(f"{code} steps", f"{code}: steps of the hours", columns, rows)
