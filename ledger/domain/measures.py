"""The figures of earned value for one row: indices, forecasts by their formulas, to-complete.

Source of the formulas: EIA-748; GAO-20-195G, ch. 18; Lester, ch. 32. Amounts are whole units (ms,
or ms x 1/10000 of the currency); None is an amount that is not defined.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from ledger.outcomes import Reason, because

Figure = Fraction | int | None


@dataclass(frozen=True)
class RowSums:
    """BAC, PV, EV and AC of a row."""

    bac: int
    pv: int
    ev: int
    ac: int


@dataclass(frozen=True)
class Recent:
    """EV and AC gained over the last four week ends.

    Without a measurement in these weeks there is an AC whose EV is not known yet.
    """

    ev: int
    ac: int
    is_measured: bool = True


@dataclass(frozen=True)
class Outlook:
    """The row's own forecast, and the sum of own estimates (None: an open part has none)."""

    eac: int | None
    own: int | None


NO_AC = because("nothing_booked")
NO_EV = because("nothing_earned")
NO_BUDGET = because("no_budget")
NO_PV = because("nothing_planned_yet")
SPENT = because("target_spent")
NO_RECENT_AC = because("nothing_booked_lately")
NO_RECENT_EV = because("nothing_earned_lately")
NOT_MEASURED = because("nothing_measured_lately")
NO_OWN = because("own_estimate_missing")
NO_MEASURED = because("only_level_of_effort")
PART_WITHOUT_FORECAST = because("part_without_forecast")
NO_FORECAST = because("no_forecast")


class RowFigures:
    """The figures of one row, and the reason of each that is not defined."""

    def __init__(self, sums: RowSums, measured: RowSums, recent: Recent, outlook: Outlook) -> None:
        self.sums = sums
        self.undefined: dict[str, Reason] = {}
        self.figures: dict[str, Figure] = {}
        self._indices(sums)
        self._forecasts(sums, recent, outlook)
        self._to_complete(sums, outlook)
        self._measured(measured)

    def _put(self, name: str, value: Figure, reason: Reason | None = None) -> Figure:
        self.figures[name] = value
        if value is None:
            assert reason is not None
            self.undefined[name] = reason
        return value

    def _indices(self, s: RowSums) -> None:
        for name in ("bac", "pv", "ev", "ac"):
            self._put(name, getattr(s, name))
        self._put("sv", s.ev - s.pv)
        self._put("cv", s.ev - s.ac)
        self._put("spi", index(s.ev, s.pv) if s.bac else None, NO_PV if s.bac else NO_BUDGET)
        self._put("cpi", index(s.ev, s.ac) if s.bac else None, NO_AC if s.bac else NO_BUDGET)
        percent = Fraction(100 * s.ev, s.bac) if s.bac else None
        self._put("percent_complete", percent, NO_BUDGET)

    def _forecasts(self, s: RowSums, recent: Recent, outlook: Outlook) -> None:
        cpi, spi = self.figures["cpi"], self.figures["spi"]
        rest = s.bac - s.ev
        missing = self.undefined.get("cpi", NO_EV)
        late = self.undefined.get("spi", NO_EV)
        self._put("eac_budget_rate", s.ac + rest)
        self._put("eac_cpi", Fraction(s.bac) / cpi if cpi else None, missing)
        both = Fraction(cpi) * Fraction(spi) if cpi and spi else None
        product = s.ac + Fraction(rest) / both if both else None
        self._put("eac_cpi_spi", product, late if cpi else missing)
        weighted = None
        if cpi is not None and spi is not None:
            weighted = Fraction(4, 5) * cpi + Fraction(1, 5) * spi
        self._put(
            "eac_weighted",
            s.ac + rest / weighted if weighted else None,
            missing if cpi is None else late,
        )
        why = _why_not_recent(s, recent)
        at_recent = None if why else s.ac + Fraction(rest * recent.ac, recent.ev)
        self._put("eac_recent", at_recent, why)
        self._put("eac_own_estimate", outlook.own, NO_OWN)

    def _to_complete(self, s: RowSums, outlook: Outlook) -> None:
        eac = self._put("eac", outlook.eac, PART_WITHOUT_FORECAST)
        self._put("etc", None if eac is None else eac - s.ac, NO_FORECAST)
        self._put("vac", None if eac is None else s.bac - eac, NO_FORECAST)
        rest = s.bac - s.ev
        reason = SPENT if s.bac else NO_BUDGET
        self._put("tcpi_bac", _to_go(rest, s.bac - s.ac) if s.bac else None, reason)
        left = Fraction(eac) - s.ac if eac is not None else Fraction(0)
        self._put("tcpi_eac", _to_go(rest, left) if s.bac else None, reason)

    def _measured(self, m: RowSums) -> None:
        none = NO_MEASURED if self.sums.bac else NO_BUDGET
        reason = NO_AC if m.bac else none
        self._put("cpi_measured", index(m.ev, m.ac) if m.bac else None, reason)
        reason = NO_PV if m.bac else none
        self._put("spi_measured", index(m.ev, m.pv) if m.bac else None, reason)


def _why_not_recent(sums: RowSums, recent: Recent) -> Reason | None:
    """Return why the last four weeks have no CPI to forecast by, None where they have."""
    if not sums.bac:
        return NO_BUDGET
    if not recent.ac:
        return NO_RECENT_AC
    if not recent.is_measured:
        return NOT_MEASURED
    return None if recent.ev else NO_RECENT_EV


def index(over: int, under: int) -> Fraction | None:
    """Return a ratio, exact; None when what it is measured against is nothing."""
    return Fraction(over, under) if under > 0 else None


def _to_go(work: int, funds: Fraction | int) -> Fraction | None:
    return Fraction(work) / Fraction(funds) if funds > 0 else None


def total(amounts: Sequence[int | None]) -> int | None:
    """Return the sum, None when any part is not defined."""
    known = [amount for amount in amounts if amount is not None]
    return sum(known) if len(known) == len(amounts) else None
