"""The measured mile of two stretches of a job's work, each a package over some days."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from ledger.baseline.job_baseline import JobBaseline
from ledger.domain.measured_mile import MeasuredMile, Stretch
from ledger.errors import Refused
from ledger.performance.actuals import Actuals, Booked
from ledger.store.book import Book


@dataclass(frozen=True)
class PackageDays:
    """A package from a day to another, both included."""

    package: str
    first: date
    last: date

    def __str__(self) -> str:
        return f"{self.package}:{self.first}..{self.last}"


@dataclass(frozen=True)
class Mile:
    """The measured mile of a job: both spans, the unit of both, and the figures."""

    job: str
    least_affected: PackageDays
    affected: PackageDays
    unit: str
    mile: MeasuredMile


def mile_of(book: Book, job: str, least_affected: PackageDays, affected: PackageDays) -> Mile:
    """Return hours lost in the affected span against those of the other.

    Raises: Refused when a package is unknown or has no unit, the units differ, days are missing a
    measured quantity, or no unit was done.
    """
    last = max(least_affected.last, affected.last)
    work = _Work(JobBaseline(book, job, last), Actuals(book, job, last, "hours"), _units(book, job))
    units = [work.unit_of(span) for span in (least_affected, affected)]
    if units[0] != units[1]:
        packages = (least_affected.package, affected.package)
        raise Refused("units_differ", packages=packages, units=tuple(units))
    mile = MeasuredMile(work.stretch(least_affected), work.stretch(affected))
    return Mile(job, least_affected, affected, units[0], mile)


def _units(book: Book, job: str) -> dict[str, str | None]:
    return dict(book.rows("performance/package_units", job=job))


@dataclass(frozen=True)
class _Work:
    baseline: JobBaseline
    actuals: Actuals
    units: Mapping[str, str | None]

    def unit_of(self, span: PackageDays) -> str:
        if span.package not in self.units:
            raise Refused("place_not_in_job", place=span.package, job=self.baseline.job)
        if unit := self.units[span.package]:
            return unit
        raise Refused("package_without_unit", package=span.package)

    def stretch(self, span: PackageDays) -> Stretch:
        """Return the hours and units of a span."""
        booked = [each for each in self.actuals.booked if each.part == span.package]
        before = span.first - timedelta(days=1)
        done = self._done_by(span, span.last, booked) - self._done_by(span, before, booked)
        if done <= 0:
            raise Refused("no_units_done", package=span.package, first=span.first, last=span.last)
        ms = sum(each.ms for each in booked if span.first <= each.day <= span.last)
        return Stretch(ms, Fraction(done))

    def _done_by(self, span: PackageDays, day: date, booked: list[Booked]) -> Decimal:
        """Return the units done by a day: none may be unmeasured, so no hour lies between."""
        measures = [
            each
            for each in self.baseline.measures_of(span.package, None)
            if each.day <= day and each.quantity_done is not None
        ]
        newest = max(measures, key=lambda each: (each.day, each.recorded), default=None)
        since = newest.day if newest else date.min
        if any(since < each.day <= day and each.ms for each in booked):
            if not newest:
                raise Refused("units_never_measured", package=span.package, day=day)
            raise Refused(
                "units_not_measured", package=span.package, day=day, measured_on=newest.day
            )
        return newest.quantity_done or Decimal(0) if newest else Decimal(0)
