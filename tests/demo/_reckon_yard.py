"""A yard reckoned from its files: each job, at any status date, on either baseline."""

from datetime import date
from fractions import Fraction
from functools import cache

from tests.demo._reckon_amounts import Booked
from tests.demo._reckon_baseline import Baseline
from tests.demo._reckon_files import MS_AN_HOUR, WEEK, Files, Load, day_of
from tests.demo._reckon_forecast import Forecast
from tests.demo._reckon_overrun import Overrun, overrun_of
from tests.demo._reckon_sheets import UNTAGGED, Line, Sheets


class ReckonedYard:
    """Everything that follows from the loads of a yard."""

    def __init__(self, loads: list[Load]) -> None:
        self.files = Files(loads)
        self.sheets = Sheets(self.files)
        self.baseline = cache(self._baseline)
        self.booked = cache(self._booked)
        self.job = cache(self._job)

    def _baseline(self, job: str) -> Baseline:
        return Baseline(self.files, job)

    def _booked(self, job: str) -> Booked:
        return Booked(self.sheets.entries, job)

    def _job(self, job: str, day: date, on: str, unit: str) -> Forecast:
        return Forecast(self.baseline(job), self.booked(job), day, on, unit)

    def overrun(self, job: str, day: date, unit: str) -> Overrun:
        return overrun_of(self.job(job, day, "current", unit))

    def status_date(self, job: str) -> date:
        """Return the last week end with a measurement and an entry of the job in its week."""
        week_end = self.files.job(job).week_end
        measured = {week_end(day) for day in self.baseline(job).measures.days()}
        return max(measured & {week_end(entry.day) for entry in self.booked(job).entries})

    def days_granted(self, job: str, day: date) -> int:
        """Return the days that approvals have granted by a day."""
        every = self.baseline(job).changes.events.values()
        own = [event for events in every for event in events if event.day <= day]
        return sum(int(e.row.get("days_granted") or 0) for e in own if e.word == "approved")

    # how complete the figures are

    def held_of(self, job: str, day: date) -> list[Line]:
        """Return the held lines of a job: of a day up to the one given, or of none established."""
        return [
            line
            for line in self.sheets.lines
            if line.held and self.sheets.job_of(line) == job and (dated(line) or day) <= day
        ]

    def incomplete(self, job: str, day: date) -> bool:
        """Tell whether over 1 % is held or untagged, or measures and entries lie a week apart.

        Or over 5 % of AC is booked to packages after their own last measurement. Of a held line
        only the hours count that are established.
        """
        booked, measures = self.booked(job), self.baseline(job).measures
        held = sum(line.ms for line in self.held_of(job, day) if line.ms <= 24 * MS_AN_HOUR)
        doubtful = held + booked.at(UNTAGGED, day, "hours")
        total = held + booked.all_ms(day)
        measured, entered = measures.newest(day), booked.newest(day)
        apart = measured and entered and abs(measured - entered) > WEEK
        late, ac = sum(self.unmeasured(job, day).values()), self.actual_ms(job, day)
        return (
            bool(apart)
            or Fraction(doubtful, total) > Fraction(1, 100)
            or late > ac * Fraction(5, 100)
        )

    def actual_ms(self, job: str, day: date) -> int:
        parts = self.job(job, day, "current", "hours")
        return parts.totals(parts.all, day, lost=True).ac

    def unmeasured(self, job: str, day: date) -> dict[str, int]:
        """Return the ms booked to each measured package after its own last measurement."""
        parts, found = self.job(job, day, "current", "hours"), {}
        for package in sorted(parts.own_places):
            own = [p for part, p in parts.baseline.packages.items() if part[0] == package]
            if any(p.technique == "level_of_effort" for p in own):
                continue
            base = "".join({p.row.get("base_package") or "" for p in own}) or package
            measured = parts.baseline.measures.of_package(base, day)
            last = max((fact.row["date"] for fact in measured), default="")
            entries = self.booked(job).by_place[package]
            late = [e.ms for e in entries if last < str(e.day) <= str(day)]
            if sum(late):
                found[package] = sum(late)
        return found


def dated(line: Line) -> date | None:
    return day_of(line.row["date"].strip())
