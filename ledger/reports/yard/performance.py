"""The yard's performance report: what it may hold, and that it adds up.

It is labour alone: materials, subcontract and plant are in no figure. Durations are whole
milliseconds, ratios exact fractions as decimals of six places.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from ledger.domain.forecast import is_early
from ledger.reports.identity import StampShown, Yard


@dataclass(frozen=True)
class LabourFigures:
    """Labour of one row in ms: budget, planned, earned, booked, forecast; its indices or None."""

    key: str
    title: str
    bac_ms: int
    pv_ms: int
    ev_ms: int
    ac_ms: int
    eac_ms: int
    cpi: Decimal | None
    spi: Decimal | None

    @property
    def vac_ms(self) -> int:
        """The budget less the forecast: below zero where the work will take more."""
        return self.bac_ms - self.eac_ms

    @property
    def at_stake_ms(self) -> int:
        """The hours booked above what was earned, or planned and not earned, whichever is more."""
        return max(self.ac_ms, self.pv_ms) - self.ev_ms


@dataclass(frozen=True)
class OutsideShown:
    """What stands in no row of the job, in ms: nothing of it is planned or earned."""

    key: str
    bac_ms: int
    ac_ms: int
    eac_ms: int


@dataclass(frozen=True)
class ForecastBy:
    """What a formula forecasts for the whole job, None with the reason where it cannot."""

    name: str
    ms: int | None
    why: str = ""


@dataclass(frozen=True)
class WeekStanding:
    """Where the job stood at the end of a week, cumulative, in the scope of the status date."""

    period_end: date
    pv_ms: int
    ev_ms: int
    ac_ms: int
    cpi: Decimal | None
    spi: Decimal | None
    spi_time: Decimal | None


@dataclass(frozen=True)
class PlannedWeek:
    """What is planned by the end of a week after the status date, cumulative."""

    period_end: date
    pv_ms: int


@dataclass(frozen=True)
class AccountWeek:
    """A control account at the end of a week, cumulative."""

    key: str
    period_end: date
    pv_ms: int
    ev_ms: int
    ac_ms: int


@dataclass(frozen=True)
class TimeStanding:
    """Time in weeks, level of effort left out; None where it is not defined.

    `late_by` are working days from the completion date to the forecast finish, without and with the
    days granted, below 0 where it is early. `spi_doubt` says why SPI can no longer be trusted.
    """

    earned_schedule: Decimal | None
    actual_time: Decimal | None
    spi_time: Decimal | None
    planned_duration: Decimal | None
    planned_finish: date
    forecast_finish: date | None
    finished_on: date | None
    completion_date: date | None
    completion_with_days: date | None
    days_granted: int
    late_by: int | None
    late_by_with_days: int | None
    spi_doubt: str


@dataclass(frozen=True)
class TradeNeed:
    """What a trade has to go before a key date, in ms: people needed, there, and short of it.

    To one place; None where no time is left, or nobody of any trade was there of late.
    """

    trade: str
    to_go_ms: int
    weeks_left: Decimal
    needed: Decimal | None
    there: Decimal

    @property
    def short(self) -> Decimal | None:
        """People needed beyond those there, as shown; below 0 where there are more."""
        return None if self.needed is None else self.needed - self.there


@dataclass(frozen=True)
class KeyDateShown:
    """A date of the contract: what of its packages is done, and who is needed for the rest.

    `reached_on` is when the slowest trade is done with the people there, `misses_by` the working
    days that is too late; both None where not defined, with the reason.
    """

    name: str
    day: date
    packages: int
    complete: int
    trades: tuple[TradeNeed, ...]
    reached_on: date | None
    misses_by: int | None
    why: str = ""


@dataclass(frozen=True)
class DoubtsOfKind:
    """So many open doubts of one kind: what they say, and how grave they are."""

    kind: str
    severity: str
    meaning: str
    count: int


@dataclass(frozen=True)
class Implausible:
    """A figure that is worth a second look: what it is, by which rule, and whose rule that is."""

    text: str
    rule: str
    source: str


@dataclass(frozen=True)
class PerformanceReport:
    """The performance of a job's labour by a day.

    `outside` are budget, booked and forecast of what is in no row: changes not approved and what is
    left of the contingency. `method` says how the largest share of what is to come is forecast, and
    `forecast_range_ms` is the least and the most of the forecast and its formulas, None while too
    little is earned. `incomplete` are the reasons why the figures are not whole.
    """

    yard: Yard
    job: str
    title: str
    status_date: date
    closed_to: date | None
    known_at: StampShown
    remade_by: str
    rehearsal: bool
    whole: LabourFigures
    percent_complete: Decimal | None
    tcpi_bac: Decimal | None
    tcpi_eac: Decimal | None
    method: str
    forecast_range_ms: tuple[int, int] | None
    forecasts: tuple[ForecastBy, ...]
    outside: tuple[OutsideShown, ...]
    anticipated_final_ms: int
    time: TimeStanding
    weeks: tuple[WeekStanding, ...]
    to_come: tuple[PlannedWeek, ...]
    account_weeks: tuple[AccountWeek, ...]
    accounts: tuple[LabourFigures, ...]
    packages: tuple[LabourFigures, ...]
    key_dates: tuple[KeyDateShown, ...]
    incomplete: tuple[str, ...]
    cpi_with_missing: Decimal | None
    notes: tuple[Implausible, ...]
    doubts: tuple[DoubtsOfKind, ...]

    @property
    def is_early(self) -> bool:
        """Whether too little is earned for a range."""
        return is_early(self.whole.ev_ms, self.whole.bac_ms)

    def __post_init__(self) -> None:
        """Raises: AssertionError when the accounts are not the job, or the curve ends elsewhere."""
        for name in ("bac_ms", "pv_ms", "ev_ms", "ac_ms", "eac_ms"):
            total = sum(getattr(row, name) for row in self.accounts)
            assert total == getattr(self.whole, name), f"{name} of the accounts does not add up"
        assert self.is_early == (self.forecast_range_ms is None), "a range too early, or none"
        low, high = self.forecast_range_ms or (self.whole.eac_ms,) * 2
        assert low <= self.whole.eac_ms <= high, "the forecast lies outside its range"
        outside = sum(row.eac_ms for row in self.outside)
        assert self.whole.eac_ms + outside == self.anticipated_final_ms, "the final does not add up"
        if self.weeks:
            last = self.weeks[-1]
            ends = (self.whole.pv_ms, self.whole.ev_ms, self.whole.ac_ms)
            assert (last.pv_ms, last.ev_ms, last.ac_ms) == ends, (
                "the curve does not end at the status date"
            )
