"""What stands beside a job's time figures: completion, whether SPI can be trusted, key dates."""

from dataclasses import dataclass
from datetime import date

from ledger.changes.completion import Completion, completion
from ledger.domain.key_dates import KeyDate
from ledger.domain.measures import RowSums
from ledger.domain.schedule import why_spi_misleads
from ledger.outcomes import Reason
from ledger.performance.key_dates import KeyDates
from ledger.performance.measure import Measured


@dataclass(frozen=True)
class TimeOutlook:
    """The completion date, and the working days that the forecast finish is later than it.

    `late_by` is without days granted, `late_by_granted` with them; below 0 is early, None not
    defined. `spi_doubt` says why SPI can no longer be trusted, None while it can.
    """

    completion: Completion
    late_by: int | None
    late_by_granted: int | None
    spi_doubt: Reason | None
    key_dates: tuple[KeyDate, ...]


def time_outlook(measured: Measured, hours: Measured) -> TimeOutlook:
    """Return what stands beside the time figures of a job; `hours` is the same job in hours."""
    card, states = measured.baseline.card, measured.states.values()
    agreed = completion(measured.book, card.job, card.completion_date, card.days, states)
    cells = [cell for cell in hours.cells.values() if not cell.level_of_effort]
    bac, pv, ev, ac = (sum(getattr(c, n) for c in cells) for n in ("bac", "pv", "ev", "ac"))
    return TimeOutlook(
        agreed,
        _late_by(measured, agreed.agreed),
        _late_by(measured, agreed.moved_to),
        why_spi_misleads(RowSums(bac, pv, ev, ac), is_finished=bool(measured.time.finished_on)),
        tuple(KeyDates(hours).all),
    )


def _late_by(measured: Measured, day: date | None) -> int | None:
    """Return the working days from a day to the forecast finish, below 0 where that is earlier."""
    finish, calendar = measured.time.forecast_finish, measured.baseline.calendar
    return None if finish is None or day is None else calendar.upto(finish) - calendar.upto(day)
