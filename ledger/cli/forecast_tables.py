"""The labour forecast for people: one figure and one reason in front, the formulas last."""

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from ledger.cli.tables import as_table
from ledger.cli.wording.reasons import words_of
from ledger.domain.allocation import to_places
from ledger.domain.counting import grouped

if TYPE_CHECKING:
    from ledger.domain.measures import Figure
    from ledger.performance.forecast_range import ForecastRange

BY = {
    "eac": "the forecast itself",
    "eac_budget_rate": "at the budget's rate",
    "eac_cpi": "at CPI",
    "eac_cpi_spi": "at CPI x SPI",
    "eac_weighted": "at 0.8 CPI + 0.2 SPI",
    "eac_recent": "at recent CPI",
    "eac_own_estimate": "by your own estimates",
}


def forecast_line(forecast: "ForecastRange", unit: str) -> str:
    """Return the forecast of the job with its range and main reason.

    Whole hours or units of money: a forecast is not known to the hundredth.
    """
    eac, hours = _rounded(forecast.eac, unit), " h" if unit == "hours" else ""
    between, reason = _between(forecast, unit), words_of(forecast.method.reason)
    return f"labour forecast (EAC) {eac}{hours}, {between}; largest share to come: {reason}"


def _between(forecast: "ForecastRange", unit: str) -> str:
    """Return the range with the formulas at its ends, or why it is none."""
    spread = forecast.spread
    if spread is None:
        assert forecast.why_no_spread is not None
        return words_of(forecast.why_no_spread)
    low, high = (_rounded(value, unit) for value in (spread.low, spread.high))
    if low != high:
        return f"between {low} ({BY[spread.low_by]}) and {high} ({BY[spread.high_by]})"
    defined = [value for value in forecast.formulas.values() if value is not None]
    return "all formulas agree on it" if len(defined) > 1 else "no other formula is defined yet"


def formulas_table(forecast: "ForecastRange", unit: str) -> str:
    """Return the forecast by each formula, on the sums of the job."""
    from ledger.performance.forecast_range import FORMULAS

    amounts = {name: _amount(value, unit) for name, value in forecast.formulas.items()}
    whys = {name: f"; undefined: {words_of(why)}" for name, why in forecast.undefined.items()}
    rows = [(BY[name], f"{by}{whys.get(name, '')}", amounts[name]) for name, by in FORMULAS.items()]
    return as_table(("forecast by formula", "formula", "labour"), rows)


def _rounded(value: "Figure", unit: str) -> str:
    amount = _amount(value, unit, 0)
    return "-" if amount is None else grouped(amount)


def _amount(value: "Figure", unit: str, places: int = 2) -> Decimal | None:
    from ledger.performance.report import UNIT

    return None if value is None else to_places(Fraction(value), places, UNIT[unit])
