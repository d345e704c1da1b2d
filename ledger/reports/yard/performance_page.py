"""The performance report as a page: its words, its charts and its tables in their order."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from ledger.domain.allocation import hours_of, shown_adding_to
from ledger.domain.parsing import MS_PER_HOUR
from ledger.reports import page_parts
from ledger.reports.canonical import digest
from ledger.reports.dates import written
from ledger.reports.figures import whole_hours
from ledger.reports.tables import Cell, Column, Fact, Page, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, TEXT_LENGTH, cut, visible_throughout
from ledger.reports.yard.performance import (
    LabourFigures,
    PerformanceReport,
    TradeNeed,
    WeekStanding,
)
from ledger.reports.yard.performance_charts import hours_chart, index_chart
from ledger.reports.yard.performance_dictionary import dictionary, series_tables
from ledger.reports.yard.performance_words import (
    FORMULAS,
    KEYS,
    LABOUR_ALONE,
    METHOD,
    OUTSIDE,
    SEVERITIES,
    completion_words,
    headline,
    hours_text,
    incomplete_words,
    index_text,
    key_date_words,
    over_words,
    range_words,
)

TITLE = "Labour performance"
TWO = Decimal("0.01")
AMOUNTS = ("bac_ms", "pv_ms", "ev_ms", "ac_ms", "eac_ms")
HOURS = (
    Column("Budget (BAC)", "hours", "h"),
    Column("Planned (PV)", "hours", "h"),
    Column("Earned (EV)", "hours", "h"),
    Column("Booked (AC)", "hours", "h"),
    Column("Forecast (EAC)", "hours", "h"),
    Column("Over (−) or under", "hours", "h"),
)
INDICES = (Column("CPI", "days"), Column("SPI", "days"))
ACCOUNTS = (Column("Control account", "basis"), *HOURS, *INDICES)
PACKAGES = (Column("Code", "code"), Column("Work", "text"), *HOURS, *INDICES)
MONTHS = (
    Column("Week to", "date"),
    *HOURS[1:4],
    Column("EV − PV", "hours", "h"),
    Column("EV − AC", "hours", "h"),
)
INDEX_MONTHS = (
    Column("Week to", "date"),
    Column("CPI", "rate"),
    Column("SPI", "rate"),
    Column("SPI(t)", "rate"),
)
KEY_DATES = (
    Column("Trade", "text"),
    Column("To go", "hours", "h"),
    Column("Weeks left", "rate"),
    Column("People needed", "rate"),
    Column("People there", "rate"),
    Column("People short", "rate"),
)
FORECASTS = (
    Column("Forecast by", "text"),
    Column("Formula", "standing"),
    Column("Hours", "hours", "h", "undefined"),
)
NOTES = (Column("Figure", "text"), Column("Rule", "standing"), Column("Source", "basis"))
DOUBTS = (Column("What", "text"), Column("How grave", "basis"), Column("How many", "days"))


def performance_page(view: PerformanceReport) -> Page:
    """Return the report ready to be shown; the digest is that of the view as it was given.

    Sections without a title are for the workbook alone: every week, and what each column is.
    """
    seal = digest(view)
    visible_report: PerformanceReport = visible_throughout(view)
    code = cut(visible_report.job, NAME_LENGTH)
    title = cut(visible_report.title, page_parts.LINE_LENGTH)
    sections = sections_of(visible_report)
    data = tuple(Section("", table) for table in series_tables(visible_report))
    explained = Section("", dictionary([each.table for each in (*sections, *data)]))
    return Page(
        title=TITLE,
        subject=f"{code} · {title}",
        letterhead=page_parts.letterhead(visible_report.yard),
        facts=facts(visible_report),
        headline=headline(visible_report),
        figures=figures(visible_report),
        sections=(*sections, *data, explained),
        how_to_read=METHOD,
        caution=incomplete_words(visible_report),
        proof=page_parts.proof(visible_report.known_at, view, visible_report.remade_by),
        running=(f"{TITLE} · {code} · {cut(title, 60)}", written(visible_report.status_date)),
        foot=page_parts.foot(visible_report.known_at, seal),
        banner=page_parts.banner(rehearsal=visible_report.rehearsal),
        cover="Report",
    )


def facts(view: PerformanceReport) -> tuple[Fact, ...]:
    closed = f", as closed to {written(view.closed_to)}" if view.closed_to else ""
    return (
        Fact("Status date", written(view.status_date)),
        Fact("As recorded by", f"record stamp {view.known_at.sequence}{closed}"),
        Fact("What is counted", LABOUR_ALONE),
        Fact("Baseline", "current: the original and approved changes"),
    )


def figures(view: PerformanceReport) -> tuple[Fact, ...]:
    """Return the figures that a manager looks for first."""
    whole, time, between = view.whole, view.time, range_words(view)
    percent = "–" if view.percent_complete is None else f"{view.percent_complete} %"
    finish = time.finished_on or time.forecast_finish
    word = "finished" if time.finished_on else "forecast"
    return (
        Fact(
            "Labour earned",
            percent,
            f"{hours_text(whole.ev_ms)} of {hours_text(whole.bac_ms)} h (EV of BAC)",
        ),
        Fact(
            "Earned per hour booked (CPI)",
            index_text(whole.cpi),
            f"{hours_text(whole.ev_ms)} h for {hours_text(whole.ac_ms)} h booked"
            + (", incomplete" if view.incomplete else ""),
        ),
        Fact(
            "Labour at the end (EAC)",
            f"{hours_text(whole.eac_ms)} h",
            (over_words(whole.vac_ms) if whole.bac_ms else "no budget")
            + (f"; {between}" if between else ""),
        ),
        Fact(
            "Finish",
            written(finish) if finish else "undefined",
            f"{word}; planned {written(time.planned_finish)}",
        ),
    )


def sections_of(view: PerformanceReport) -> tuple[Section, ...]:
    return (
        Section("Hours over time", months_table(view), hours_chart(view)),
        Section("Indices over time", indices_table(view), index_chart(view), time_lead(view)),
        Section("Control accounts", accounts_table(view)),
        Section("The packages that matter most", packages_table(view)),
        Section("Key dates", key_dates_table(view)),
        Section("Figures worth a second look", notes_table(view)),
        Section("Open doubts about the record", doubts_table(view)),
        Section("Forecasts by formula", forecasts_table(view), lead=forecast_lead(view)),
    )


def month_ends(weeks: Sequence[WeekStanding]) -> list[WeekStanding]:
    """Return the last week that ends in each month, and the last of all."""
    pairs = zip(weeks, [*weeks[1:], None], strict=False)
    return [
        week
        for week, after in pairs
        if after is None
        or (week.period_end.year, week.period_end.month)
        != (after.period_end.year, after.period_end.month)
    ]


def months_table(view: PerformanceReport) -> Table:
    rows = [
        Row(
            (
                each.period_end,
                *(whole_hours(ms) for ms in (each.pv_ms, each.ev_ms, each.ac_ms)),
                whole_hours(each.ev_ms) - whole_hours(each.pv_ms),
                whole_hours(each.ev_ms) - whole_hours(each.ac_ms),
            )
        )
        for each in month_ends(view.weeks)
    ]
    caption = "Labour hours, cumulative, at the last week end of each month and the status date."
    return Table("Months", caption, MONTHS, tuple(rows), "Nothing is planned or booked yet.")


def indices_table(view: PerformanceReport) -> Table:
    rows = [
        Row((each.period_end, *map(_index, (each.cpi, each.spi, each.spi_time))))
        for each in month_ends(view.weeks)
    ]
    caption = "At the same week ends; 1 is as planned."
    return Table("Indices", caption, INDEX_MONTHS, tuple(rows), "No index is defined yet.")


def _index(value: Decimal | None) -> Decimal | None:
    return None if value is None else value.quantize(TWO)


def time_lead(view: PerformanceReport) -> str:
    """Return where the work stands in time, and what the rest would have to earn."""
    time = view.time
    words = []
    if time.earned_schedule is not None and time.actual_time is not None:
        now = "it was finished in week" if time.finished_on else "this is week"
        words.append(
            f"The work done was planned for week {_weeks(time.earned_schedule)}; {now} "
            f"{_weeks(time.actual_time)} of {_weeks(time.planned_duration)} planned."
        )
    if view.tcpi_bac is not None:
        words.append(
            f"To keep to the budget, each hour to come would have to earn "
            f"{index_text(view.tcpi_bac)} h (TCPI)."
        )
    elif view.whole.ac_ms > view.whole.bac_ms > view.whole.ev_ms:
        words.append("More is booked than the whole budget: it cannot be kept.")
    words += filter(None, (completion_words(time), _sentence(time.spi_doubt)))
    return " ".join(words)


def _sentence(text: str) -> str:
    return f"{text}." if text else ""


def _weeks(value: Decimal | None) -> str:
    return "–" if value is None else str(value.quantize(Decimal("0.1")))


def accounts_table(view: PerformanceReport) -> Table:
    """Return the control accounts, the job, and what stands outside it."""
    columns = adding_columns(view)
    rows = [
        Row((KEYS.get(row.key, cut(row.key, NAME_LENGTH)), *cells, *indices(row)))
        for row, cells in zip(view.accounts, columns, strict=True)
    ]
    whole = tuple(whole_hours(getattr(view.whole, name)) for name in AMOUNTS)
    label = "All labour of the job"
    rows.append(Row((label, *whole, whole[0] - whole[4], *indices(view.whole)), "total"))
    rows += outside_rows(view)
    caption = "Whole hours; the accounts add up to the job. What is not approved earns nothing."
    return Table("Accounts", caption, ACCOUNTS, tuple(rows))


def outside_rows(view: PerformanceReport) -> Iterator[Row]:
    """Yield what stands outside the job's row, and what all comes to."""
    for row in view.outside:
        cells: list[Cell] = [whole_hours(row.bac_ms), None, None, whole_hours(row.ac_ms)]
        cells += [whole_hours(row.eac_ms), None, None, None]
        yield Row((OUTSIDE[row.key], *cells), "aside")
    final = whole_hours(view.anticipated_final_ms)
    yield Row(("Anticipated final", None, None, None, None, final, None, None, None), "subtotal")


def adding_columns(view: PerformanceReport) -> list[tuple[Decimal, ...]]:
    """Return the whole hours of each account by column, adding up to the job's own."""
    columns = [
        shown_adding_to(
            whole_hours(getattr(view.whole, name)),
            [getattr(row, name) for row in view.accounts],
            MS_PER_HOUR,
            0,
        )
        for name in AMOUNTS
    ]
    return [(*cells, cells[0] - cells[4]) for cells in zip(*columns, strict=True)]


def indices(row: LabourFigures) -> tuple[Cell, ...]:
    return _index(row.cpi), _index(row.spi)


def packages_table(view: PerformanceReport) -> Table:
    rows = [
        Row(
            (
                cut(row.key, NAME_LENGTH),
                cut(row.title, TEXT_LENGTH),
                *(whole_hours(getattr(row, name)) for name in AMOUNTS),
                whole_hours(row.bac_ms) - whole_hours(row.eac_ms),
                *indices(row),
            ),
            "over" if row.vac_ms < 0 else "plain",
        )
        for row in view.packages
    ]
    caption = "By hours booked above what was earned, or planned and not earned; worst first."
    return Table("Packages", caption, PACKAGES, tuple(rows), "No package is over or behind.")


def key_dates_table(view: PerformanceReport) -> Table:
    """Return each key date with the trades that have hours to go before it."""
    rows: list[Row] = []
    for each in view.key_dates:
        label = f"{cut(each.name, NAME_LENGTH)}, {written(each.day)}: {key_date_words(each)}"
        rows.append(Row((label,), "group", span=len(KEY_DATES)))
        rows += [
            Row((cut(need.trade, NAME_LENGTH), whole_hours(need.to_go_ms), *people(need)))
            for need in each.trades
        ]
    caption = "By trade: hours to go before the date, people needed for them and people there."
    return Table("Key dates", caption, KEY_DATES, tuple(rows), "The job has no key dates.")


def people(need: TradeNeed) -> tuple[Cell, ...]:
    return need.weeks_left, need.needed, need.there, need.short


def notes_table(view: PerformanceReport) -> Table:
    rows = [
        Row((cut(each.text[:1].upper() + each.text[1:], TEXT_LENGTH), each.rule, each.source))
        for each in view.notes
    ]
    caption = "Queries to look into, not findings: each with its rule and where the rule is from."
    return Table("Notes", caption, NOTES, tuple(rows), "No figure is out of the ordinary.")


def doubts_table(view: PerformanceReport) -> Table:
    rows = [Row((each.meaning, SEVERITIES[each.severity], each.count)) for each in view.doubts]
    caption = "Of entries of this job, by kind: queries to look into, not findings."
    return Table("Doubts", caption, DOUBTS, tuple(rows), "No doubt about this job is open.")


def forecast_lead(view: PerformanceReport) -> str:
    by = f"; the largest share of what is to come: {view.method}" if view.method else ""
    return f"The forecast that counts is {hours_text(view.whole.eac_ms)} h{by}."


def forecasts_table(view: PerformanceReport) -> Table:
    rows = [
        Row(
            (*FORMULAS[each.name], None if each.ms is None else whole_hours(each.ms)),
            remark=each.why[:1].upper() + each.why[1:],
        )
        for each in view.forecasts
    ]
    whole = hours_of(view.whole.eac_ms, 0)
    rows.append(Row(("The forecast that counts", "by package and trade", whole), "total"))
    caption = "The same job by each formula; the lowest and the highest are the range."
    return Table("Forecasts", caption, FORECASTS, tuple(rows))
