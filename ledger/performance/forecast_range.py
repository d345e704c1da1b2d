"""The forecast in front: one figure with its main reason, and the range of the formulas."""

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction

from ledger.domain.forecast import is_early
from ledger.domain.measures import Figure, RowFigures
from ledger.outcomes import Reason, because
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


TOO_EARLY = because("too_little_earned")


@dataclass(frozen=True)
class ForecastSpread:
    """The least and the most that EAC and the formulas come to, each by its name.

    A formula that is not defined, or comes to less than AC, is left out.
    """

    low: Fraction
    low_by: str
    high: Fraction
    high_by: str


@dataclass(frozen=True)
class ForecastRange:
    """The labour forecast of a job, EAC, in whole units, and its main method.

    There is no spread while too little is earned. `formulas` are all, defined or not.
    """

    eac: int
    method: Method
    spread: ForecastSpread | None
    formulas: dict[str, Figure]
    undefined: dict[str, Reason]

    @property
    def why_no_spread(self) -> Reason | None:
        return None if self.spread else TOO_EARLY


def forecast_range(measured: Measured) -> ForecastRange | None:
    """Return the forecast of a job with its range; None where cost is not defined."""
    if measured.undefined_cost or not measured.cells:
        return None
    row = row_of(list(measured.cells.values()))
    formulas = {name: row.figures[name] for name in FORMULAS}
    undefined = {name: why for name, why in row.undefined.items() if name in FORMULAS}
    spread = None if is_early(row.sums.ev, row.sums.bac) else _spread(row)
    return ForecastRange(measured.eac, main_method(measured), spread, formulas, undefined)


def _spread(row: RowFigures) -> ForecastSpread:
    known = {
        name: Fraction(value)
        for name in ("eac", *FORMULAS)
        if (value := row.figures[name]) is not None and value >= row.sums.ac
    }
    low, high = min(known, key=known.__getitem__), max(known, key=known.__getitem__)
    return ForecastSpread(known[low], low, known[high], high)


def main_method(measured: Measured) -> Method:
    """Return the method of the largest share of what is still to come, with its reason."""
    to_come: dict[str, int] = defaultdict(int)
    for cell in measured.cells.values():
        to_come[cell.taken.name] += cell.forecast - cell.ac
    largest = max(METHODS, key=lambda name: to_come.get(name, -1))
    of_it = (cell.taken for cell in measured.cells.values() if cell.taken.name == largest)
    return methods_of(of_it, measured.efficiency)[0]
