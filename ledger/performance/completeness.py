"""How complete a job's figures are: sheets in, hours held and untagged, newest dates."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from ledger.baseline.job_baseline import LOE, Key
from ledger.outcomes import Outcome
from ledger.performance.actuals import NON_PRODUCTIVE, UNTAGGED
from ledger.performance.measure import Measured
from ledger.performance.sheets import Expected, expected_sheets
from ledger.performance.status_dates import is_measurable
from ledger.sheets.held_lines import stage_held
from ledger.sheets.known_codes import stage_codes
from ledger.store.book import Book

MEAN_WEEKS = 4


@dataclass(frozen=True)
class Unmeasured:
    """Time booked to a package after its last measurement; since None it never was measured."""

    package: str
    measured_on: date | None
    ms: int


@dataclass(frozen=True)
class SheetsOut(Outcome):
    """Of the sheets expected fewer are in than count as complete."""

    sheets_in: int
    expected: int


@dataclass(frozen=True)
class HoursDoubtful(Outcome):
    """Time that is held and untagged, of all that is held or booked."""

    held_ms: int
    untagged_ms: int
    whole_ms: int


@dataclass(frozen=True)
class NothingBy(Outcome):
    """There is no entry, or no measurement, by a day."""

    what: str
    day: date


@dataclass(frozen=True)
class DatesApart(Outcome):
    """The newest measurement and the newest entry, over a week apart."""

    measurement: date
    entry: date


@dataclass(frozen=True)
class BookedSinceMeasured(Outcome):
    """Packages to which much of AC was booked after their last measurement."""

    packages: tuple[Unmeasured, ...]
    actual_ms: int


@dataclass(frozen=True)
class Completeness:
    """What stands beside every CPI, and why the figures are headed incomplete, if they are."""

    sheets: list[Expected]
    held_ms: int
    unread_lines: int
    held_lines: int
    untagged_ms: int
    booked_ms: int
    newest: dict[str, date]
    day: date
    unmeasured: list[Unmeasured]
    actual_ms: int
    # Whether anything of the job is there to be measured.
    is_measurable: bool

    @property
    def sheets_in(self) -> int:
        return sum(each.is_in for each in self.sheets)

    @property
    def missing(self) -> list[Expected]:
        return [each for each in self.sheets if not each.is_in]

    @property
    def thin(self) -> list[Expected]:
        return [each for each in self.sheets if each.is_thin]

    @property
    def unmeasured_ms(self) -> int:
        return sum(each.ms for each in self.unmeasured)

    @property
    def reasons(self) -> list[Outcome]:
        """Return why: under 98 % in, over 1 % held and untagged, dates over a week apart.

        Without anything to measure no measurement is missed. Or over 5 % of AC booked to packages
        after their own last measurement.
        """
        reasons: list[Outcome] = []
        if self.sheets_in * 100 < 98 * len(self.sheets):
            reasons.append(SheetsOut(self.sheets_in, len(self.sheets)))
        doubtful, whole = self.held_ms + self.untagged_ms, self.held_ms + self.booked_ms
        if doubtful * 100 > whole:
            reasons.append(HoursDoubtful(self.held_ms, self.untagged_ms, whole))
        return reasons + self._apart() + self._unmeasured()

    def _unmeasured(self) -> list[Outcome]:
        if self.unmeasured_ms * 100 <= 5 * self.actual_ms:
            return []
        return [BookedSinceMeasured(tuple(self.unmeasured), self.actual_ms)]

    def _apart(self) -> list[Outcome]:
        asked = {"entry", "measurement"} if self.is_measurable else {"entry"}
        if lacking := sorted(asked - set(self.newest)):
            return [NothingBy(what, self.day) for what in lacking]
        if not self.is_measurable:
            return []
        entry, measurement = self.newest["entry"], self.newest["measurement"]
        if abs(entry - measurement) <= timedelta(days=7):
            return []
        return [DatesApart(measurement, entry)]


def completeness(book: Book, measured: Measured) -> Completeness:
    """Return how complete the figures of a measured job are."""
    job, day = measured.job, measured.day
    stage_held(book)
    stage_codes(book)
    held = book.records("performance/held_time", job=job, status_date=day)[0]
    booked = book.records("performance/booked_and_untagged", job=job, status_date=day)[0]
    newest: dict[str, date] = {}
    for when, what in book.rows("performance/status_dates", job=job):
        if when <= day:
            newest[what] = max(when, newest.get(what, when))
    return Completeness(
        expected_sheets(book, job, day),
        int(held["held_ms"]),
        held["unread_lines"],
        held["held_lines"],
        int(booked["untagged_ms"]),
        int(booked["booked_ms"]),
        newest,
        day,
        _unmeasured(measured),
        measured.actuals.booked_ms(besides=[c for c in measured.states if measured.is_outside(c)]),
        is_measurable(book, job),
    )


def _unmeasured(measured: Measured) -> list[Unmeasured]:
    """Return what was booked to each measured package of the job after its last measurement.

    Level of effort is not measured; an apportioned package is when its base is.
    """
    asked: dict[str, date | None] = {}
    for part in measured.actuals.places - {NON_PRODUCTIVE, UNTAGGED}:
        if measured.is_outside(part) or measured.baseline.technique(part) == LOE:
            continue
        package = measured.baseline.package(part)
        base = str((package and package["base_package"]) or part)
        days = [measure.day for _, measure in measured.baseline.measures.get(base, [])]
        asked[part] = max((day for day in days if day <= measured.day), default=None)
    booked = measured.actuals.ms_after(asked)
    return [Unmeasured(part, asked[part], ms) for part, ms in sorted(booked.items())]


def missing_amounts(measured: Measured, complete: Completeness) -> dict[Key, Fraction]:
    """Return what missing sheets would add by place and trade: each worker's four-week mean.

    The mean is of their last four weeks with a sheet in before the missing one, else of their
    first four after it; a worker without any adds nothing. Whole units of the measured scope.
    """
    absent = sorted({each.worker_id for each in complete.missing})
    if not absent or measured.undefined_cost:
        return {}
    booked = measured.actuals.by_worker_week(absent, measured.baseline.calendar.week_start)
    weeks: dict[str, list[date]] = defaultdict(list)
    for each in complete.sheets:
        if each.is_in:
            weeks[each.worker_id].append(each.week)
    added: dict[Key, Fraction] = defaultdict(Fraction)
    for each in complete.missing:
        chosen = _around(weeks[each.worker_id], each.week)
        for week in chosen:
            for part, trade, amount in booked.get((each.worker_id, week), []):
                if not measured.left_out(part):
                    added[part, trade] += Fraction(amount, len(chosen))
    return dict(added)


def _around(weeks: list[date], missing: date) -> list[date]:
    """Return the last four of the weeks before one, else the first four after it."""
    before = [week for week in weeks if week < missing]
    return before[-MEAN_WEEKS:] or weeks[:MEAN_WEEKS]
