"""The measured mile in an evidence pack: two stretches of work that its maker names, compared."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from ledger.domain.allocation import hours_of, to_places
from ledger.domain.measured_mile import CAUTION, Stretch
from ledger.domain.parsing import MS_PER_HOUR
from ledger.performance.measured_mile import PackageDays, mile_of
from ledger.reports.dates import written
from ledger.reports.figures import number_text
from ledger.reports.tables import Column, Row, Section, Table
from ledger.reports.text import NAME_LENGTH, cut
from ledger.store.book import Book

METHOD = (
    "Method: measured mile (AACE International, Recommended Practice 25R-03). Hours expected are "
    "the units of the affected stretch at the hours a unit of the other; no factor is applied."
)


@dataclass(frozen=True)
class StretchShown:
    """A stretch of work: its hours and units, and what a unit took; all of two places."""

    package: str
    first: date
    last: date
    hours: Decimal
    units: Decimal
    hours_per_unit: Decimal


@dataclass(frozen=True)
class MileShown:
    """Two stretches compared; hours lost are those worked less those expected, as shown.

    Shares are percent of two places, None where there are no hours to share.
    """

    unit: str
    least_affected: StretchShown
    affected: StretchShown
    expected_hours: Decimal
    percent_of_expected: Decimal | None
    percent_of_worked: Decimal | None

    @property
    def lost_hours(self) -> Decimal:
        return self.affected.hours - self.expected_hours


def mile_shown(book: Book, job: str, spans: tuple[PackageDays, PackageDays]) -> MileShown:
    """Return the measured mile of two stretches, the least affected one first.

    Raises: Refused as `mile_of` does: without units there is none.
    """
    measured = mile_of(book, job, *spans)
    mile = measured.mile
    return MileShown(
        measured.unit,
        _shown(measured.least_affected, mile.least_affected),
        _shown(measured.affected, mile.affected),
        to_places(mile.expected_ms, 2, MS_PER_HOUR),
        _percent(mile.of_expected),
        _percent(mile.of_actual),
    )


def _shown(span: PackageDays, stretch: Stretch) -> StretchShown:
    rate = to_places(stretch.ms_per_unit, 2, MS_PER_HOUR)
    units = to_places(stretch.units, 2)
    return StretchShown(span.package, span.first, span.last, hours_of(stretch.ms), units, rate)


def _percent(share: Fraction | None) -> Decimal | None:
    return None if share is None else to_places(share * 100, 2)


def mile_section(mile: MileShown) -> Section:
    """Return the comparison with its method and its caution."""
    unit = cut(mile.unit, NAME_LENGTH)
    columns = (
        Column("Stretch", "text"),
        Column("Work package", "code"),
        Column("From", "text"),
        Column("To", "text"),
        Column("Hours", "hours", "h"),
        Column("Units", "quantity", unit),
        Column("Hours a unit", "hours", "h"),
    )
    rows = (
        _row("Least affected", mile.least_affected),
        _row("Affected", mile.affected),
        Row(("Expected at the least affected rate", mile.expected_hours, "", ""), "plain", span=4),
        Row(("Lost, worked less expected", mile.lost_hours, "", ""), "subtotal", span=4),
    )
    table = Table("mile", "Hours a unit of two stretches of work", columns, rows)
    return Section("Measured mile", table, lead=f"{METHOD}{_shares(mile)} {CAUTION}")


def _row(name: str, each: StretchShown) -> Row:
    days = written(each.first), written(each.last)
    package = cut(each.package, NAME_LENGTH)
    return Row((name, package, *days, each.hours, each.units, each.hours_per_unit))


def _shares(mile: MileShown) -> str:
    if mile.percent_of_expected is None or mile.percent_of_worked is None:
        return ""
    expected, worked = map(number_text, (mile.percent_of_expected, mile.percent_of_worked))
    return f" What was lost is {expected} % of the hours expected, {worked} % of those worked."
