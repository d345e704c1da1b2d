"""The command `trace`: an entry from its raw line to the figures, and a figure to its entries."""

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

import typer

from ledger.cli.context import Day, Format, chosen, day_of, to_read
from ledger.cli.output import FORMATS, as_csv, give, give_rows, hours_in_format, say, to_json
from ledger.cli.tables import as_table, table_width
from ledger.domain.counting import counted
from ledger.errors import WrongUsage

if TYPE_CHECKING:
    from ledger.commands.tracing import EntryLife, FigureKnown
    from ledger.performance.tracing import FigureTraced

Name = str | None
LIFE = ("batch", "recorded_at", "actor", "event", "entry", "hours", "place", "detail")
IN = ("job", "booked_to", "hours", "step", "asked_by", "borne_by", "daywork_sheets")
WORKED = ("entry", "worker_id", "day", "hours", "booked_to", "booking_code", "why", "file", "line")
OF_CSV = ("what", *WORKED[:5], "cause", "rework", *WORKED[5:])
# On a terminal so many entries are shown.
SHOWN = 20
TITLES = {
    "worked": "worked",
    "to_come": "forecast to come",
    "budget": "budget of the original work",
    "agreed": "hours agreed by changes",
}
GROUPS = {
    "step": "step",
    "asked_by": "asked by",
    "borne_by": "borne by",
    "place": "booked to",
}


class FigureAsked(NamedTuple):
    """A figure of a job on a day, by its group and name as typed."""

    job: str
    day: date | None
    group: str
    name: str


def trace(
    context: typer.Context,
    entry: Annotated[
        Name, typer.Argument(help="an entry, or with --line a sheet line: batch.row")
    ] = None,
    line: Annotated[bool, typer.Option("--line", help="the id is that of a sheet line")] = False,
    step: Annotated[Name, typer.Option("--step", help="a step of the overrun")] = None,
    place: Annotated[
        Name, typer.Option("--place", help="a package, a change, non_productive or untagged")
    ] = None,
    asked_by: Annotated[Name, typer.Option("--asked-by", help="a mark of the overrun")] = None,
    borne_by: Annotated[Name, typer.Option("--borne-by", help="a mark of the overrun")] = None,
    job: Annotated[Name, typer.Option("--job", help="the job of the figure")] = None,
    status_date: Day = None,
    format: Format = "table",
) -> None:
    """Show an entry's history and the figures it is in, or open a figure down to its entries.

    Of a figure the entries' hours, and what is budget or forecast, add up to what `overrun` shows.

    Example: fairhours trace --job FERRY --step rework --status-date 2026-05-31
    """
    chosen("--format", format, FORMATS)
    named = {"step": step, "place": place, "asked_by": asked_by, "borne_by": borne_by}
    figures = {group: name for group, name in named.items() if name is not None}
    if len(figures) + (entry is not None) != 1 or (line and entry is None):
        raise WrongUsage("trace_not_chosen")
    if (entry is None) != (job is not None):
        if job is None:
            raise WrongUsage("options_missing", options=("--job",))
        raise WrongUsage("trace_job")
    day = day_of(status_date)
    if entry is not None:
        _entry(context, entry, day, format, of_line=line)
    else:
        _figure(context, FigureAsked(str(job), day, *figures.popitem()), format)


def _entry(
    context: typer.Context, entry: str, day: date | None, format: str, *, of_line: bool
) -> None:
    from ledger.commands.tracing import trace as life_of
    from ledger.commands.tracing_as_json import life_json

    life = life_of(to_read(context), entry, day, of_line=of_line)
    if format == "json":
        give(to_json(life_json(life, entry, of_line=of_line)))
        return
    for row in life.rows:
        row["hours"] = hours_in_format(row.pop("ms"), format)
    give_rows(format, LIFE, life.rows)
    if format == "table" and life.figures:
        _give_figures(life)


def _give_figures(life: "EntryLife") -> None:
    from ledger.cli.wording.tracing import figure_words
    from ledger.commands.tracing_as_json import figures_row

    days = sorted({each.status_date for each in life.figures if each.status_date})
    on = f" on {' and '.join(map(str, days))}" if days else ""
    give(f"\nfigures it is in{on}")
    rows = []
    for each in life.figures:
        row = figures_row(each) | figure_words(each)
        rows.append([*(row[name] for name in IN[:2]), hours_in_format(each.ms, "table")])
        rows[-1] += [row[name] for name in IN[3:]]
    give(as_table(IN, rows))


def _figure(context: typer.Context, asked: FigureAsked, format: str) -> None:
    from ledger.commands.tracing import trace_figure
    from ledger.commands.tracing_as_json import figure_json
    from ledger.domain.overrun import ASKED_BY, BORNE_BY, STEPS

    words = {"step": STEPS, "asked_by": ASKED_BY, "borne_by": BORNE_BY}
    name = asked.name
    if asked.group in words:
        option = f"--{asked.group.replace('_', '-')}"
        name = chosen(option, name.strip().lower().replace("-", "_"), words[asked.group])
    known = trace_figure(to_read(context), asked.job, asked.day, asked.group, name)
    if format == "json":
        give(to_json(figure_json(known)))
    elif format == "csv":
        give(as_csv(OF_CSV, _csv_rows(known.traced)))
    else:
        _give_figure(known)


def _csv_rows(traced: "FigureTraced") -> list[list[Any]]:
    from ledger.cli.wording.tracing import why

    rows: list[list[Any]] = []
    for entry in traced.entries:
        row = {**entry, "what": "worked", "why": why(entry)}
        row["hours"] = hours_in_format(entry["ms"], "csv")
        rows.append([row[name] for name in OF_CSV])
    for what, ms in traced.not_worked.items():
        row = {"what": what, "hours": hours_in_format(ms, "csv")}
        rows.append([row.get(name) for name in OF_CSV])
    return rows


def _give_figure(known: "FigureKnown") -> None:
    """Give the figure with what it is made of, then its entries, which add to the time worked."""
    from ledger.cli.figures import say_closed
    from ledger.cli.wording.tracing import figure_title, rounded_figure
    from ledger.domain.allocation import shown_adding_to

    say_closed(known.closed_to, known.stamp)
    traced = known.traced
    whole = rounded_figure(traced)
    pieces = {"worked": traced.worked_ms, **traced.not_worked}
    amounts = dict(zip(pieces, shown_adding_to(whole, list(pieces.values())), strict=True))
    title = f"{GROUPS[traced.group]} {figure_title(traced)}"
    give(f"{traced.job} on {traced.status_date}: {title}")
    rows: list[list[object]] = [[TITLES[what], amount] for what, amount in amounts.items()]
    if len(rows) > 1:
        rows.append([figure_title(traced), whole])
    give(as_table(("of it", "hours"), rows))
    entries = traced.entries
    if not entries:
        return
    give(counted(len({row["entry"] for row in entries}), "entry", "entries"))
    hours = shown_adding_to(amounts["worked"], [row["ms"] for row in entries])
    listed = entries if table_width() is None else entries[:SHOWN]
    cells = [_cells(row, amount) for row, amount in zip(listed, hours, strict=False)]
    give(as_table(WORKED, cells))
    if len(listed) < len(entries):
        more = counted(len(entries) - len(listed), "more row", "more rows")
        say(f"{more}; `--format csv` lists all")


def _cells(row: dict[str, Any], hours: Decimal) -> list[object]:
    from ledger.cli.wording.tracing import place_words, why

    booked = place_words(row["booked_to"], row["cause"], row["rework"])
    cells = {**row, "hours": hours, "why": why(row), "booked_to": booked}
    return [cells[name] for name in WORKED]


def add_to(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command()(trace)
