"""The working days of a job, written out from what its card says."""

import json
from collections.abc import Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from ledger.domain.calendar import FULL, weighted_days
from ledger.errors import Refused
from ledger.jobs.public_holidays import holidays_of, no_holidays
from ledger.store.batches import Batch
from ledger.store.book import Book

# How far a job's calendar is written out before its start and after its finish.
BEFORE = timedelta(days=366)
AFTER = timedelta(days=6 * 366)
# What of a job's card its working days follow from.
OF_CALENDAR = ("working_week", "days_off", "days_on", "holidays")
Days = dict[date, Decimal]


def working_days_of(book: Book, card: Mapping[str, Any]) -> Days:
    """Return the working days of a job with their weights: its holidays are its own or the yard's.

    What the job lists stands above holidays, and what is worked above what is off.
    """
    first, last = card["planned_start"] - BEFORE, card["planned_finish"] + AFTER
    off = {date.fromisoformat(day) for day in json.loads(card["days_off"])}
    own = card["holidays"]
    if country := book.setting("yard.holidays", "") if own is None else own:
        off |= _holidays(country, first, last)
    on = {date.fromisoformat(day): weight for day, weight in _weighted(card["days_on"]).items()}
    return weighted_days((first, last), _weighted(card["working_week"]), frozenset(off), on)


def write_days(book: Book, batch: Batch, job: str, days: Days) -> None:
    """Write a job's working days out unless they are so already."""
    if list(days.items()) != book.rows("jobs/job_calendar", job=job):
        weights = list(days.values())
        batch.append("job_day", {"job": [job] * len(days), "day": list(days), "weight": weights})


def _weighted(kept: str) -> dict[str, Decimal]:
    """Return days or weekdays with their weights, from JSON: a list is of full days."""
    weights = json.loads(kept)
    if isinstance(weights, list):
        return dict.fromkeys(weights, FULL)
    return {name: Decimal(weight) for name, weight in weights.items()}


def _holidays(place: str, first: date, last: date) -> set[date]:
    days = holidays_of(place, range(first.year, last.year + 1))
    if days is None:
        raise Refused("holidays_unknown", why=no_holidays(place))
    return days
