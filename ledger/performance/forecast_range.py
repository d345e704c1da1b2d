"""The forecast in front: one figure with its main reason, and the range of the formulas."""

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from ledger.domain.measures import Figure
from ledger.outcomes import Reason
from ledger.performance.measure import Measured, row_of
from ledger.performance.methods import METHODS, Method, methods_of

# The formulas whose results span the range, as printed in the appendix.
FORMULAS = {
    "eac_budget_rate": "AC + (BAC - EV)",
    "eac_cpi": "BAC / CPI",
    "eac_cpi_spi": "AC + (BAC - EV) / (CPI x SPI)",
    "eac_weighted": "AC + (BAC - EV) / (0.8 CPI + 0.2 SPI)",
    "eac_recent": "AC + (BAC - EV) / CPI of the last four week ends",
    "eac_own_estimate": "the sum of your own estimates",
}


@dataclass(frozen=True)
class ForecastRange:
    """The labour forecast of a job, EAC, in whole units, and the method most of it rests on.

    `low` and `high` are the least and the most that EAC and the formulas come to, by their names;
    a formula that is not defined, or comes to less than AC, is left out. `formulas` are all.
    """

    eac: int
    method: Method
    low: Fraction
    low_by: str
    high: Fraction
    high_by: str
    formulas: dict[str, Figure]
    undefined: dict[str, Reason]


def forecast_range(measured: Measured) -> ForecastRange | None:
    """Return the forecast of a job with its range; None where cost is not defined."""
    if measured.undefined_cost or not measured.cells:
        return None
    row = row_of(list(measured.cells.values()))
    figures = row.figures
    spent = Fraction(figures["ac"] or 0)
    known = {
        name: Fraction(value)
        for name in ("eac", *FORMULAS)
        if (value := figures[name]) is not None and value >= spent
    }
    low, high = min(known, key=known.__getitem__), max(known, key=known.__getitem__)
    formulas = {name: figures[name] for name in FORMULAS}
    undefined = {name: why for name, why in row.undefined.items() if name in FORMULAS}
    ends = (known[low], low, known[high], high)
    return ForecastRange(measured.eac, main_method(measured), *ends, formulas, undefined)


def main_method(measured: Measured) -> Method:
    """Return the method by which most of what is still to come is forecast, with its reason."""
    to_come: dict[str, int] = defaultdict(int)
    for cell in measured.cells.values():
        to_come[cell.taken.name] += cell.forecast - cell.ac
    largest = max(METHODS, key=lambda name: to_come.get(name, -1))
    of_it = (cell.taken for cell in measured.cells.values() if cell.taken.name == largest)
    return methods_of(of_it, measured.efficiency)[0]
