"""The command that shows a job over time."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli.context import Day, Format, Job, chosen, day_of, to_read
from ledger.cli.figures import say_closed
from ledger.cli.figures_tables import incomplete_line
from ledger.cli.output import FORMATS, as_csv, give, say, to_json
from ledger.cli.tables import as_table
from ledger.domain.allocation import to_places

if TYPE_CHECKING:
    from ledger.commands.series import SeriesKnown
    from ledger.performance.series import Series

HEADS = {
    "period_end": "{every} to",
    "pv": "planned (PV)",
    "ev": "earned (EV)",
    "ac": "booked (AC)",
    "spi": "SPI",
    "cpi": "CPI",
    "pv_in_period": "planned in {every}",
    "ev_in_period": "earned in {every}",
    "ac_in_period": "booked in {every}",
}
RATIOS = frozenset({"spi", "cpi"})
FIGURES = (
    *("key", "period_end", "bac", "pv", "ev", "ac", "spi", "cpi"),
    *("pv_in_period", "ev_in_period", "ac_in_period"),
)


def series(
    context: typer.Context,
    job: Job,
    status_date: Day = None,
    every: Annotated[str, typer.Option(help="week or month")] = "week",
    by: Annotated[
        str, typer.Option("--by", help="job, control-account, work-package or trade")
    ] = "job",
    in_: Annotated[str, typer.Option("--in", help="hours or cost")] = "hours",
    baseline: Annotated[str, typer.Option(help="current or original")] = "current",
    as_known_then: Annotated[
        bool, typer.Option("--as-known-then", help="each period as it was known at its own end")
    ] = False,
    format: Format = "table",
) -> None:
    """Show planned, earned and booked hours week by week, up to the status date.

    The scope of the status date holds at every earlier date: a change approved late makes no step.
    With --as-known-then each period is as recorded when it was closed, else by the end of its last
    day.

    Example: fairhours series --job FERRY --every month --by control-account
    """
    from ledger.cli.wording.completeness import reason
    from ledger.commands.series import series as over_time
    from ledger.commands.series_as_json import series_json
    from ledger.performance.grouping import GROUPS
    from ledger.performance.series import EVERY, SeriesAsked

    asked = SeriesAsked(
        job,
        day_of(status_date),
        chosen("--baseline", baseline, ("current", "original")),
        chosen("--in", in_, ("hours", "cost")),
        chosen("--by", by, GROUPS),
        chosen("--every", every, EVERY),
        as_known_then,
    )
    chosen("--format", format, FORMATS)
    known = over_time(to_read(context), asked)
    if format == "json":
        give(to_json(series_json(known, reason=reason)))
        return
    say_closed(known.closed_to, known.stamp)
    if known.completeness.reasons:
        say(incomplete_line(known.completeness.reasons))
    (_give_csv if format == "csv" else _give_table)(known)


def _give_csv(known: "SeriesKnown") -> None:
    from ledger.cli.wording.completeness import reason
    from ledger.commands.series_as_json import series_rows

    series = known.series
    head = [*FIGURES, *(["known_at"] if series.asked.as_known_then else [])]
    rows = [
        [*(row[name] for name in head), "; ".join(f"{n}: {w}" for n, w in whys.items())]
        for row, whys in series_rows(series, reason)
    ]
    give(as_csv([*head, "undefined"], rows))
    _say_undefined(series)


def _give_table(known: "SeriesKnown") -> None:
    series = known.series
    asked = series.asked
    unit = "labour hours" if asked.unit == "hours" else "labour cost"
    then = ", each period as known then" if asked.as_known_then else ""
    give(f"{asked.job} to {series.status_date}, {unit}, {asked.baseline} baseline{then}")
    keyed = asked.by != "job"
    head = [*(["key"] if keyed else []), *(h.format(every=asked.every) for h in HEADS.values())]
    rows = list(_rows(series, keyed))
    low = [
        (number, column)
        for number, row in enumerate(rows)
        for column in (head.index("SPI"), head.index("CPI"))
        if row[column] is not None and row[column] < 1
    ]
    give(as_table(head, rows, low))
    _say_undefined(series)


def _rows(series: "Series", keyed: bool) -> Iterator[list[Any]]:
    """Yield the cells of a table's rows; what is gained adds up to what is shown as reached."""
    from ledger.performance.report import UNIT

    per = UNIT[series.asked.unit]
    before: dict[str, Decimal] = {}
    for number, row in enumerate(series.rows):
        reached = {n: to_places(getattr(row, n), 2, per) for n in ("pv", "ev", "ac")}
        if not number % len(series.ends):
            before = dict.fromkeys(reached, Decimal(0))
        gained = {f"{n}_in_period": reached[n] - before[n] for n in reached}
        before = reached
        ratios = {n: None if (v := getattr(row, n)) is None else to_places(v, 3) for n in RATIOS}
        cells: dict[str, Any] = {"period_end": row.period_end, **reached, **gained, **ratios}
        yield [*([row.key] if keyed else []), *(cells[name] for name in HEADS)]


def _say_undefined(series: "Series") -> None:
    from ledger.cli.wording.reasons import words_of

    if series.undefined:
        say(f"undefined: {words_of(series.undefined)}")
    elif not series.ends:
        say(f"nothing of {series.asked.job} was recorded by the end of any {series.asked.every}")


def add_to(app: typer.Typer) -> None:
    """Add this command to the program."""
    app.command()(series)
