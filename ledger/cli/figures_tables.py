"""Performance and overrun as tables, for people and as CSV."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from ledger.cli.colour import marked
from ledger.cli.forecast_tables import forecast_line, formulas_table
from ledger.cli.output import as_csv, give, say
from ledger.cli.tables import as_table, table_width
from ledger.cli.time_tables import outlook_lines
from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import to_places
from ledger.domain.counting import grouped, hours_text
from ledger.domain.measures import NO_BUDGET
from ledger.domain.overrun import (
    ASKED_BY_TITLES,
    BORNE_BY_TITLES,
    PREMIUM_STEP,
    STEP_TITLES,
    net_growth_percent,
    shown_marks,
    shown_steps,
    total_change_percent,
)
from ledger.domain.premium import OVERTIME_PREMIUM

if TYPE_CHECKING:
    from ledger.domain.schedule import TimeFigures
    from ledger.outcomes import Outcome, Reason
    from ledger.performance.completeness import Completeness
    from ledger.performance.overrun import Overrun
    from ledger.performance.report import Performance, PerformanceRow

SHOWN = ("bac", "pv", "ev", "ac", "sv", "cv", "spi", "cpi", "percent_complete", "eac", "etc", "vac")
# What fits a terminal of 80 columns.
NARROW = ("bac", "ev", "ac", "spi", "cpi", "eac", "vac")
HEADS = {
    "bac": "budget (BAC)",
    "pv": "planned (PV)",
    "ev": "earned (EV)",
    "ac": "booked (AC)",
    "sv": "EV-PV",
    "cv": "EV-AC",
    "spi": "SPI",
    "cpi": "CPI",
    "percent_complete": "% earned",
    "eac": "forecast (EAC)",
    "etc": "to go (ETC)",
    "vac": "VAC",
}
CPI_WITH_MISSING = "CPI with missing sheets"
INDICES = (HEADS["spi"], HEADS["cpi"], CPI_WITH_MISSING)
MACHINE = ("cpi_with_missing", "eac_method", "eac_method_reason", "undefined")
OUTSIDE = {
    "instructed": "instructed",
    "not_instructed": "not instructed",
    "contingency": "contingency",
}
# Time booked to a job and to none of its packages.
OF_PLACES = {"non_productive": "non-productive time", "untagged": "time without a known code"}

# The methods of forecasts, as they are titled.
METHODS = {
    "finished": "finished",
    "own_estimate": "own estimate",
    "index": "index",
    "budget_rate": "budget rate",
    "level_of_effort": "working days",
    "as_booked": "as booked",
    "several": "several",
    "latest_price": "latest price",
    "contingency_left": "what is left",
}


def performance_table(result: "Performance", format: str) -> None:
    """Give the rows, and for people what stands beside them."""
    if result.incomplete:
        say(incomplete_line(result.incomplete))
    if format == "csv":
        _performance_csv(result)
        return
    unit = "labour hours" if result.asked.unit == "hours" else "labour cost"
    give(f"{result.asked.job} on {result.status_date}, {unit}, {result.asked.baseline} baseline")
    if result.forecast:
        give(forecast_line(result.forecast, result.asked.unit))
    head, rows = _rounded_rows(result)
    give(as_table(head, rows, list(_poor_indices(head, rows))))
    for line in (*_footing(result), *_methods(result), *_undefined(result)):
        give(line)
    for note in result.notes:
        give(words_of(note))
    if result.forecast:
        give(formulas_table(result.forecast, result.asked.unit))
    give(time_line(result.time))
    for line in outlook_lines(result.outlook):
        give(line)
    give(completeness_line(result.completeness))


def incomplete_line(reasons: "list[Outcome]") -> str:
    """Return why figures are headed incomplete."""
    from ledger.cli.wording.completeness import reason

    return marked("INCOMPLETE: " + "; ".join(map(reason, reasons)), "INCOMPLETE")


def _performance_csv(result: "Performance") -> None:
    from ledger.commands.figures_as_json import figure_of
    from ledger.performance.report import ORDER, UNIT

    per = UNIT[result.asked.unit]
    rows: list[list[Any]] = []
    for row in [*result.rows, *result.outside]:
        cells = [figure_of(name, row.figures[name], per) for name in ORDER]
        cells.append(figure_of("cpi", result.cpi_with_missing.get(row.key), per))
        why = "; ".join(f"{name}: {words_of(each)}" for name, each in row.undefined.items())
        by = "; ".join(words_of(method.reason) for method in row.methods) or None
        rows.append([row.key, *cells, row.eac_method, by, why])
    give(as_csv(["key", *ORDER, *MACHINE], rows))


def _rounded_rows(result: "Performance") -> tuple[list[str], list[list[Any]]]:
    from ledger.performance.rounded import rounded_amounts

    columns = SHOWN if table_width() is None else NARROW
    head = ["key", *(HEADS[name] for name in columns), "forecast by"]
    every = list(zip([*result.rows, *result.outside], rounded_amounts(result), strict=True))
    own, outside = every[: len(result.rows)], every[len(result.rows) :]
    rows: list[list[Any]] = []
    listed = [*sorted(own, key=_worst_first), *outside]
    for row, amounts in listed:
        cells = [amounts[n] if n in amounts else _ratio(n, row.figures[n]) for n in columns]
        by = METHODS[row.eac_method] if row.eac_method else None
        rows.append([_title_of(row.key), *cells, by])
    if result.completeness.missing:
        head.append(CPI_WITH_MISSING)
        cpi = result.cpi_with_missing
        keys = [row.key for row, _ in listed]
        rows = [[*row, _ratio("cpi", cpi.get(key))] for row, key in zip(rows, keys, strict=True)]
    return head, rows


def _title_of(key: str) -> str:
    """Return what a row is called: a code, or the words for what is no part of the job."""
    return OUTSIDE.get(key) or OF_PLACES.get(key, key)


def _poor_indices(head: list[str], rows: list[list[Any]]) -> Iterator[tuple[int, int]]:
    """Yield the cells of indices that are below 1 as shown: under plan, or over what was earned."""
    for column, name in enumerate(head):
        if name in INDICES:
            for number, row in enumerate(rows):
                if row[column] is not None and row[column] < 1:
                    yield number, column


def _worst_first(
    listed: "tuple[PerformanceRow, Mapping[str, Decimal | None]]",
) -> tuple[bool, Decimal]:
    """Order rows by how far they will end above their budget; undefined ones come last."""
    vac = listed[1].get("vac")
    return vac is None, vac or Decimal(0)


def _ratio(name: str, value: Fraction | int | None) -> Decimal | None:
    return None if value is None else to_places(value, 1 if name == "percent_complete" else 3)


def _footing(result: "Performance") -> Iterator[str]:
    """Yield how the rows come to the anticipated final and to all that is booked."""
    from ledger.performance.report import UNIT
    from ledger.performance.rounded import rounded_heads

    if result.anticipated_final is None or result.job_booked is None:
        return
    per, heads = UNIT[result.asked.unit], rounded_heads(result)
    final, booked = (to_places(v, 2, per) for v in (result.anticipated_final, result.job_booked))
    outside = {name: heads[f"eac {name}"] for name in OUTSIDE}
    own = final - sum(outside.values())
    added = "".join(f" + {OUTSIDE[name]} {grouped(amount)}" for name, amount in outside.items())
    of = " on the current baseline" if result.asked.baseline == "original" else ""
    yield f"anticipated final {grouped(final)} = forecast (EAC){of} {grouped(own)}{added}"
    others = {name: heads[f"ac {name}"] for name in ("instructed", "not_instructed")}
    own = booked - sum(others.values())
    added = "".join(f" + {OUTSIDE[name]} {grouped(amount)}" for name, amount in others.items())
    yield f"booked to the job {grouped(booked)} = AC{of} {grouped(own)}{added}"


def _methods(result: "Performance") -> Iterator[str]:
    """Yield each method that a forecast was made by, with its reason."""
    outside = [row for row in result.outside if row.figures["bac"] or row.figures["eac"]]
    every = [method for row in [*result.rows, *outside] for method in row.methods]
    for method in dict.fromkeys(every):
        yield f"forecast method, {METHODS[method.name]}: {words_of(method.reason)}"


def _undefined(result: "Performance") -> Iterator[str]:
    """Yield why figures that are shown as - are not defined, and of which rows."""
    by_reason: dict[Reason, dict[str, None]] = {}
    for row in [*result.rows, *result.outside]:
        for name in SHOWN:
            if name in row.undefined:
                by_reason.setdefault(row.undefined[name], {})[_title_of(row.key)] = None
    for reason, keys in by_reason.items():
        yield f"undefined (-) for {', '.join(keys)}: {words_of(reason)}"


def time_line(time: "TimeFigures") -> str:
    """Return where the job stands in time, in a line; what is not defined with its reason."""
    if time.earned_schedule is None:
        return f"time: {words_of(time.undefined['earned_schedule'])}"
    assert time.actual_time is not None
    planned, actual = (to_places(each, 2) for each in (time.earned_schedule, time.actual_time))
    now = "done in week" if time.finished_on else "this is week"
    return f"work earned equals plan week {planned}, {now} {actual}; {finish_words(time)}"


def finish_words(time: "TimeFigures") -> str:
    """Return when the job will be finished, or was; why it is not known."""
    if time.finished_on:
        return f"finished on {time.finished_on}"
    if time.forecast_finish:
        return f"forecast finish {time.forecast_finish}"
    return f"forecast finish {words_of(time.undefined['forecast_finish'])}"


def completeness_line(complete: "Completeness") -> str:
    """Return what stands beside every CPI, in a line."""
    held, untagged = (hours_text(ms) for ms in (complete.held_ms, complete.untagged_ms))
    newest = [
        f"newest {what} {complete.newest.get(what, 'none')}" for what in ("measurement", "entry")
    ]
    thin = f", {len(complete.thin)} of them thin" if complete.thin else ""
    line = (
        f"sheets of the yard: {complete.sheets_in} of {len(complete.sheets)} in{thin}; "
        f"{held} h held, {untagged} h untagged; {', '.join(newest)}"
    )
    return marked(line, f"{held} h held") if complete.held_ms else line


def overrun_table(result: "Overrun", format: str) -> None:
    """Give the steps and both marks; for people they add up as shown."""
    from ledger.performance.report import COSTED, UNIT

    per = UNIT[result.unit]
    groups = {
        "step": result.steps.amounts,
        "asked by": result.asked_by,
        "of that by changes": result.asked_by_changes,
        "borne by": result.borne_by,
    }
    if result.premium is not None:
        groups[f"of the step {PREMIUM_STEP}"] = {OVERTIME_PREMIUM: result.premium}
    if format == "csv":
        rows = [
            [group, name, to_places(amount, 4, per)]
            for group, amounts in groups.items()
            for name, amount in amounts.items()
        ]
        give(as_csv(("group", "name", "amount"), rows))
        return
    unit = "hours" if result.unit == "hours" else "labour cost"
    give(f"{result.job} on {result.status_date}: why the {unit} changed")
    if result.unit == "cost":
        give(words_of(COSTED))
    steps = shown_steps(result.steps.amounts, per)
    give(as_table(("step", unit, "to date", "to come"), list(_step_rows(result, steps, per))))
    if result.premium is not None:
        amount, title = to_places(result.premium, 2, per), STEP_TITLES[PREMIUM_STEP]
        give(f'of the step "{title}" {grouped(amount)} is overtime premium')
    give(_agreed_line(result))
    asked = shown_marks(result.asked_by, steps, per)
    _give_marks(("asked by", unit), asked, ASKED_BY_TITLES)
    changes = {name: to_places(ms, 2, per) for name, ms in result.asked_by_changes.items()}
    _give_marks(("asked by, through changes", unit), changes, ASKED_BY_TITLES)
    borne = shown_marks(result.borne_by, steps, per)
    _give_marks(("borne by", unit), borne, BORNE_BY_TITLES)


def _agreed_line(result: "Overrun") -> str:
    """Return what approved changes come to in percent of the original estimate."""
    net = net_growth_percent(result.steps.amounts)
    total = total_change_percent(result.steps.amounts)
    if net is None or total is None:
        return f"net growth and total change agreed: undefined, {words_of(NO_BUDGET)}"
    return (
        f"of the original estimate: net growth agreed {to_places(net, 2)} % (additions less "
        f"omissions), total change {to_places(total, 2)} % (additions plus omissions)"
    )


def _give_marks(
    head: tuple[str, str], amounts: Mapping[str, Decimal], titles: Mapping[str, str]
) -> None:
    give(as_table(head, [(titles[name], amount) for name, amount in amounts.items()]))


def _step_rows(result: "Overrun", steps: dict[str, Decimal], per: int) -> Iterator[list[Any]]:
    for step, amount in steps.items():
        to_date = result.steps.to_date.get(step)
        rounded = None if to_date is None else to_places(to_date, 2, per)
        yield [STEP_TITLES[step], amount, rounded, None if rounded is None else amount - rounded]
