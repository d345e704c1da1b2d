"""Labour variances and measured miles as tables for people and as CSV."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from ledger.cli.output import as_csv, give
from ledger.cli.tables import as_table
from ledger.domain.allocation import hours_of, rounded, shown_adding_to, to_places
from ledger.domain.counting import grouped
from ledger.domain.measured_mile import CAUTION
from ledger.domain.parsing import MS_PER_HOUR

if TYPE_CHECKING:
    from ledger.commands.labour import LabourVariancesKnown, MileKnown
    from ledger.domain.labour_variances import Variances
    from ledger.domain.measured_mile import Stretch
    from ledger.performance.labour_variances import LabourVariances
    from ledger.performance.measured_mile import PackageDays


def labour_variances_table(known: "LabourVariancesKnown", format: str) -> None:
    """Give the trades with their variances; for people the parts add up as shown."""
    from ledger.commands.labour_as_json import labour_variances_json

    variances = known.variances
    if format == "csv":
        rows = labour_variances_json(known)["rows"]
        names = list(rows[0]) if rows else ["trade"]
        give(as_csv(names, [list(row.values()) for row in rows]))
        return
    give(f"{variances.job} on {variances.status_date}: labour cost against what its work earned")
    if not variances.labour:
        give("nothing is booked or earned yet")
        return
    kinds = ("rate", *(("premium",) if variances.has_premium else ()), "idle", "mix", "yield")
    head = ("trade", *kinds, "all", "earned h", "worked h", "idle h")
    give(as_table(head, list(_variance_rows(variances))))
    give("favourable above zero, adverse below; efficiency is mix and yield together")
    if variances.total.mix is None:
        give("nothing is earned yet: there is no standard mix, and yield is all of efficiency")
    for trade in variances.without_rate:
        give(f"{trade} has no standard rate: it is taken at what it was paid")


def _variance_rows(variances: "LabourVariances") -> Iterator[list[object]]:
    """Yield a row a trade and one for all: rows add to the last, parts to their total."""
    by_trade = [_parts(each, has_premium=variances.has_premium) for each in variances.variances]
    columns = [_shown(column) for column in zip(*by_trade, strict=True)]
    hours = [(t.standard_ms, t.worked_ms, t.idle_ms) for t in variances.labour]
    for trade, *amounts, worked in zip(variances.labour, *columns, hours, strict=True):
        yield [trade.trade, *amounts, sum(amounts), *map(hours_of, worked)]
    sums = [sum(column) for column in columns]
    yield ["all", *sums, sum(sums), *(hours_of(sum(each)) for each in zip(*hours, strict=True))]


def _parts(variances: "Variances", *, has_premium: bool) -> tuple[int, ...]:
    """Return rate, premium if any, idle, mix and yield; with nothing earned efficiency is yield."""
    mix = variances.mix or Fraction(0)
    premium = (variances.premium,) if has_premium else ()
    amounts = (variances.rate, *premium, variances.idle, mix, variances.efficiency - mix)
    return tuple(map(rounded, amounts))


def _shown(by_trade: tuple[int, ...]) -> list[Decimal]:
    """Return a variance of each trade to two places, adding to the rounded sum of all."""
    from ledger.commands.labour_as_json import PER_COST

    return shown_adding_to(to_places(sum(by_trade), 2, PER_COST), by_trade, PER_COST)


def measured_mile_table(known: "MileKnown", format: str) -> None:
    """Give both stretches and what was lost between them."""
    measured, mile = known.measured, known.measured.mile
    stretches = (
        ("least affected", measured.least_affected, mile.least_affected),
        ("affected", measured.affected, mile.affected),
    )
    head = (
        "stretch",
        "work package",
        "from",
        "to",
        "hours",
        measured.unit,
        f"h per {measured.unit}",
    )
    if format == "csv":
        names = ("stretch", "work_package", "from", "to", "hours", "units", "hours_per_unit")
        give(as_csv(names, [_stretch_row(*each, places=4) for each in stretches]))
        return
    give(as_table(head, [_stretch_row(*each, places=2) for each in stretches]))
    expected = to_places(mile.expected_ms, 2, MS_PER_HOUR)
    hours, lost = grouped(expected), grouped(hours_of(mile.affected.ms) - expected)
    give(f"expected at the least affected rate {hours} h; lost {lost} h{_shares(known)}")
    give(CAUTION)


def _stretch_row(
    name: str, span: "PackageDays", stretch: "Stretch", *, places: int
) -> tuple[object, ...]:
    rate = to_places(stretch.ms_per_unit, places, MS_PER_HOUR)
    units = to_places(stretch.units, 2)
    hours = hours_of(stretch.ms, places)
    return (name, span.package, span.first, span.last, hours, units, rate)


def _shares(known: "MileKnown") -> str:
    mile = known.measured.mile
    if mile.of_expected is None or mile.of_actual is None:
        return ""
    expected, actual = (to_places(each * 100, 2) for each in (mile.of_expected, mile.of_actual))
    return f", {expected} % of expected, {actual} % of worked"
