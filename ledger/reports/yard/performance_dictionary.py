"""What only the workbook has: every week as data, and what each column is."""

from collections.abc import Iterator, Sequence

from ledger.domain.allocation import hours_of
from ledger.reports.tables import Cell, Column, Row, Table
from ledger.reports.yard.performance import PerformanceReport

JOB_WEEKS = (
    Column("week_end", "date"),
    *(Column(name, "hours") for name in ("pv", "ev", "ac")),
    *(Column(name, "rate") for name in ("cpi", "spi", "spi_time")),
)
PLANNED = (Column("week_end", "date"), Column("pv", "hours"))
ACCOUNT_WEEKS = (
    Column("control_account", "basis"),
    Column("week_end", "date"),
    *(Column(name, "hours") for name in ("pv", "ev", "ac")),
)
MEANINGS = {
    "week_end": ("day", "the last day of the week"),
    "control_account": ("name", "the account, or time lost, or time not tagged yet"),
    "pv": ("hours", "planned value: budget of the work planned by the day, cumulative"),
    "ev": ("hours", "earned value: budget of the work done by the day, cumulative"),
    "ac": ("hours", "actual: hours booked by the day, cumulative"),
    "cpi": ("ratio", "EV / AC"),
    "spi": ("ratio", "EV / PV"),
    "spi_time": ("ratio", "earned schedule / actual time, level of effort left out"),
    "Control account": ("name", "the account, or what stands outside the job"),
    "Code": ("code", "work package or change"),
    "Work": ("text", "its title"),
    "Budget (BAC)": ("hours", "budget at completion"),
    "Planned (PV)": ("hours", "planned value by the status date or week"),
    "Earned (EV)": ("hours", "earned value by the status date or week"),
    "Booked (AC)": ("hours", "hours booked by the status date or week"),
    "Forecast (EAC)": ("hours", "forecast at completion"),
    "Over (−) or under": ("hours", "BAC less EAC as shown"),
    "CPI": ("ratio", "EV / AC"),
    "SPI": ("ratio", "EV / PV"),
    "SPI(t)": ("ratio", "earned schedule / actual time, level of effort left out"),
    "Week to": ("day", "the last day of the week"),
    "EV − PV": ("hours", "ahead of the plan, or behind (−)"),
    "EV − AC": ("hours", "earned above what was booked, or below (−)"),
    "Trade": ("name", "the trade planned, under its key date"),
    "To go": ("hours", "forecast less booked of its packages"),
    "Weeks left": ("weeks", "from the status date to the key date, by working days"),
    "People needed": ("people", "hours to go / (weeks left × hours a week of one)"),
    "People there": ("people", "mean of the last four weeks worked, less who is known to be away"),
    "People short": ("people", "needed less there, below 0 where there are more"),
    "Forecast by": ("text", "what the formula supposes"),
    "Formula": ("text", "the formula"),
    "Hours": ("hours", "forecast of all labour, undefined with the reason"),
    "Figure": ("text", "the figure that is worth a second look"),
    "Rule": ("text", "why it is"),
    "Source": ("text", "where the rule is from"),
    "What": ("text", "the kind of doubt"),
    "How grave": ("word", "to be looked into, or noted"),
    "How many": ("count", "doubts of this kind that are open"),
    "Remark": ("text", "why a figure is undefined"),
}
DICTIONARY = (
    Column("Sheet", "basis"),
    Column("Column", "basis"),
    Column("Unit", "unit"),
    Column("Meaning", "note"),
)


def series_tables(view: PerformanceReport) -> tuple[Table, ...]:
    """Return every week of the job and of its accounts, hours to four places."""
    weeks = [
        Row(
            (
                each.period_end,
                *_hours(each.pv_ms, each.ev_ms, each.ac_ms),
                each.cpi,
                each.spi,
                each.spi_time,
            )
        )
        for each in view.weeks
    ]
    planned = [Row((each.period_end, *_hours(each.pv_ms))) for each in view.to_come]
    accounts = [
        Row((each.key, each.period_end, *_hours(each.pv_ms, each.ev_ms, each.ac_ms)))
        for each in view.account_weeks
    ]
    return (
        Table("Series", "", JOB_WEEKS, tuple(weeks), "No week has begun."),
        Table("Series planned", "", PLANNED, tuple(planned), "Nothing is planned after it."),
        Table("Series by account", "", ACCOUNT_WEEKS, tuple(accounts), "No week has begun."),
    )


def _hours(*amounts: int) -> Iterator[Cell]:
    return (hours_of(ms, 4) for ms in amounts)


def dictionary(tables: Sequence[Table]) -> Table:
    """Return what each column of each sheet is, with its unit."""
    rows = [
        Row((table.name, column.head, *MEANINGS[column.head]))
        for table in tables
        for column in table.columns
    ]
    return Table("Data dictionary", "", DICTIONARY, tuple(rows))
