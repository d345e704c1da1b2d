"""Base time of a job that is paid by the hour: what it comes to, and what beyond the estimate."""

from collections.abc import Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from ledger.changes.daywork_lines import WorkedHours
from ledger.changes.daywork_terms import DayworkTerms
from ledger.changes.prices import NOTHING, PriceList
from ledger.changes.standing import Standing
from ledger.domain.contracts import TIME_CHARGE
from ledger.jobs.jobs import job_card
from ledger.store.book import Book


def worked_base(book: Book, job: str, day: date, prices: PriceList) -> WorkedHours:
    """Return the time worked on the packages of a job by a day, rework left out."""
    hours = WorkedHours()
    for trade, grade, worked_on, ms in book.rows("owner/worked_base", job=job, status_date=day):
        hours.add(prices, (trade, grade), worked_on, int(ms))
    return hours


def base_value(hours: WorkedHours) -> Decimal:
    """Return what base time comes to as it is claimed; time without a charge rate is nothing."""
    return sum((line.amount for line in hours.daywork_lines(DayworkTerms())), NOTHING)


def base_estimate(estimate: Decimal, prices: PriceList, every: Sequence[Standing]) -> Decimal:
    """Return what is left of an estimate for base time, two places.

    That is without the provisional sums, which changes spend, and without what approved changes
    take out of the base.

    Raises: Refused when a change cannot be priced.
    """
    named = (each.amount for each in prices.provisional_sums.values())
    whole = estimate.quantize(NOTHING, ROUND_HALF_UP)
    return whole - sum(named, NOTHING) + sum(map(_omitted, every), NOTHING)


def time_beyond(
    book: Book, job: str, day: date, estimate: Decimal, every: Sequence[Standing]
) -> Decimal:
    """Return what base time to a day comes to beyond its estimate, not below 0.

    Nothing of a job that is not paid by the hour.

    Raises: Refused when there is no such job, or a change cannot be priced.
    """
    if job_card(book, job).contract_basis != TIME_CHARGE:
        return NOTHING
    return max(NOTHING, time_against_estimate(book, job, day, estimate, every))


def time_against_estimate(
    book: Book, job: str, day: date, estimate: Decimal, every: Sequence[Standing]
) -> Decimal:
    """Return what base time to a day comes to less its estimate, signed.

    The estimate is the contract sum in force. Once the yard and the owner agree what base time
    comes to, a baseline change moves the contract sum by it, and nothing is beyond it.

    Raises: Refused when a change cannot be priced.
    """
    prices = every[0].known.prices if every else PriceList(book, job)
    value = base_value(worked_base(book, job, day, prices))
    return value - base_estimate(estimate, prices, every)


def _omitted(standing: Standing) -> Decimal:
    """Return what a change takes out of the base, signed: a value agreed is of the whole change."""
    if not standing.approved or standing.agreed_value is not None:
        return NOTHING
    omitted = (line for line in standing.price_lines if line.amount < 0)
    return sum((e.amount for e in omitted if e.price_kind != "provisional_sum"), NOTHING)
