"""The columns of every frame, each with its type, its unit and what it is."""

from collections.abc import Iterator
from dataclasses import dataclass

import polars as pl

TEXT, DAY, WHOLE = pl.String(), pl.Date(), pl.Int64()
AMOUNT, RATIO, EXACT = pl.Decimal(38, 4), pl.Decimal(38, 6), pl.Decimal(38, 0)


@dataclass(frozen=True)
class ColumnOf:
    """A column of a frame; `of_cost` ones are there only where cost is asked for."""

    name: str
    type: pl.DataType
    unit: str
    meaning: str
    of_cost: bool = False


def _columns(kind: pl.DataType, unit: str, **meanings: str) -> Iterator[ColumnOf]:
    return (ColumnOf(name, kind, unit, meaning) for name, meaning in meanings.items())


AS_ASKED = (
    ColumnOf("job", TEXT, "code", "the job"),
    ColumnOf("status_date", DAY, "day", "work up to and including it counts"),
)
ENTRIES = (
    ColumnOf("entry", TEXT, "batch.row", "the entry; `trace` takes it"),
    ColumnOf("day", DAY, "day", "the day worked"),
    ColumnOf("worker_id", TEXT, "code", "who worked; names are not in frames"),
    ColumnOf("job", TEXT, "code", "the job, null of overhead and absence"),
    ColumnOf("booked_to", TEXT, "code or word", "package, change or kind of time it stands at"),
    ColumnOf("cause", TEXT, "word", "why time was lost"),
    ColumnOf("rework", TEXT, "word", "why work was done again"),
    ColumnOf("trade", TEXT, "word", "the trade worked, null of a worker not in the crew"),
    ColumnOf("pay_class", TEXT, "word", "as the sheet has it"),
    ColumnOf("booking_code", TEXT, "code", "as the sheet has it"),
    ColumnOf("sheet", TEXT, "name", "the sheet it came on"),
    ColumnOf("note", TEXT, "text", "as the sheet has it"),
    ColumnOf("ms", EXACT, "milliseconds", "the time, exact"),
    ColumnOf("hours", AMOUNT, "hours", "the time"),
    ColumnOf("cost_per_hour", AMOUNT, "currency an hour", "the rate of the day worked", True),
    ColumnOf("cost", AMOUNT, "currency", "time x rate", True),
)
CHANGES = (
    *AS_ASKED,
    *_columns(
        TEXT,
        "code or word",
        change="the change",
        title="what it is",
        basis="fixed_price, daywork or no_charge",
        origin="who or what it comes from",
        price_state="where its price stands",
        instruction="whether its work is instructed",
        work="whether its work is complete",
    ),
    ColumnOf("revision", WHOLE, "number", "the revision that counts"),
    ColumnOf("price", AMOUNT, "currency", "what the owner pays, null without a price"),
    *_columns(
        AMOUNT,
        "hours",
        hours_priced="as priced",
        hours_booked="as booked",
        hours_anticipated="as it will end",
    ),
    *_columns(WHOLE, "days", days_requested="asked for", days_granted="decided"),
    ColumnOf("decision_needed_by", DAY, "day", "when the owner has to decide"),
    ColumnOf("exposure_hours", AMOUNT, "hours", "worked without a price agreed"),
    ColumnOf("exposure_value", AMOUNT, "currency", "the same at contract rates"),
    ColumnOf("margin", AMOUNT, "currency", "price less cost", True),
    ColumnOf("margin_percent", AMOUNT, "percent of price", "the same", True),
)
OVERRUN = (
    *AS_ASKED,
    ColumnOf("group", TEXT, "word", "step, asked_by or borne_by; each adds up by itself"),
    ColumnOf("name", TEXT, "word", "the step, who asked, or who bears it"),
    ColumnOf("amount", AMOUNT, "hours, or currency in cost", "signed"),
    ColumnOf("to_date", AMOUNT, "hours, or currency in cost", "of a step with a forecast"),
    ColumnOf("to_come", AMOUNT, "hours, or currency in cost", "of a step with a forecast"),
)
SERIES = (
    *AS_ASKED,
    ColumnOf("key", TEXT, "code or word", "the job, account, package or trade"),
    ColumnOf("period_end", DAY, "day", "the last day of the week or month"),
    *_columns(
        AMOUNT,
        "hours, or currency in cost",
        bac="budget at completion, in the scope of the status date",
        pv="planned value, cumulative",
        ev="earned value, cumulative",
        ac="actual cost, cumulative",
        pv_in_period="planned in the period",
        ev_in_period="earned in the period",
        ac_in_period="booked in the period",
    ),
    *_columns(RATIO, "ratio", spi="EV / PV", cpi="EV / AC"),
    ColumnOf("known_at", WHOLE, "batch", "the batch that the period is known at"),
)
_FIGURES = {
    "bac": "budget at completion",
    "pv": "planned value",
    "ev": "earned value",
    "ac": "actual cost",
    "sv": "EV - PV",
    "cv": "EV - AC",
    "spi": "EV / PV",
    "cpi": "EV / AC",
    "percent_complete": "EV of BAC",
    "eac_budget_rate": "AC + (BAC - EV)",
    "eac_cpi": "BAC / CPI",
    "eac_cpi_spi": "AC + (BAC - EV) / (CPI x SPI)",
    "eac_weighted": "AC + (BAC - EV) / (0.8 CPI + 0.2 SPI)",
    "eac_recent": "AC + (BAC - EV) / CPI of the last four weeks",
    "eac_own_estimate": "AC + own estimates to complete",
    "eac": "the forecast that counts",
    "etc": "the forecast less AC",
    "vac": "BAC less the forecast",
    "tcpi_bac": "(BAC - EV) / (BAC - AC)",
    "tcpi_eac": "(BAC - EV) / (EAC - AC)",
    "cpi_measured": "CPI without level of effort",
    "spi_measured": "SPI without level of effort",
}
RATIOS = ("spi", "cpi", "tcpi_bac", "tcpi_eac", "cpi_measured", "spi_measured")
PERFORMANCE = (
    *AS_ASKED,
    ColumnOf("key", TEXT, "code or word", "the job, account, package or trade"),
    *(
        ColumnOf(name, RATIO, "ratio", meaning)
        if name in RATIOS
        else ColumnOf(name, AMOUNT, "percent", meaning)
        if name == "percent_complete"
        else ColumnOf(name, AMOUNT, "hours, or currency in cost", meaning)
        for name, meaning in _FIGURES.items()
    ),
)
FRAMES: dict[str, tuple[ColumnOf, ...]] = {
    "entries": ENTRIES,
    "changes": CHANGES,
    "performance": PERFORMANCE,
    "series": SERIES,
    "overrun": OVERRUN,
}


def schema_of(frame: str, *, cost: bool) -> dict[str, pl.DataType]:
    """Return the columns of a frame with their types, those of cost where it is asked for."""
    return {each.name: each.type for each in FRAMES[frame] if cost or not each.of_cost}
